"""What the scale said of the batch as cooked, and what of it is eaten: bones and shells that went in lie on that scale too."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.amounts import format_grams
from scriptkit.problems import note
from scriptkit.recipe.dish import Ingredient
from scriptkit.recipe.forms import DishForm
from scriptkit.recipe.value_parser import FieldParser

_STATED = re.compile(
    r"^(?P<weight>.*?)[\s,]+(?P<how>with|without)\s+(?:the |its |their |all )?(?:bones?|shells?)$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class BatchWeight:
    """``eaten_g`` is None where nobody weighed it, or it cannot be read. ``uneaten_g``: bones and shells that lay on the scale with it."""

    eaten_g: float | None
    uneaten_g: float = 0.0

    def serving_g(self, grams: float | None, servings: float) -> float | None:
        """A stated serving without its bones: it was weighed as the batch was, where so many of it make that rather than what is eaten."""
        if grams is None or not self.eaten_g or not self.uneaten_g:
            return grams
        whole, made = self.eaten_g + self.uneaten_g, grams * servings
        return grams * self.eaten_g / whole if abs(made - whole) < abs(made - self.eaten_g) else grams


def batch_weight(
    bench: FieldParser, form: DishForm, ingredients: Sequence[Ingredient], expected_g: float | None
) -> BatchWeight:
    """By `cooked_weight:`. Where the food went in on the bone it counts as weighed with the bones or without, whichever comes nearer to
    ``expected_g``, what cooking is estimated to leave of what is eaten; that is told. The file may say *with bones* or *without bones*."""
    stated = _STATED.match(form.cooked_weight or "")
    grams = bench.grams(stated["weight"] if stated else form.cooked_weight, "cooked_weight")
    if grams is None:
        return BatchWeight(None)
    on = [i for i in ingredients if i.with_it and i.grams is not None and i.scale_g is not None]
    uneaten = sum(((i.scale_g or 0.0) - (i.grams or 0.0)) * (1 - i.left_share - i.strained_share) for i in on)
    if not uneaten or (stated and stated["how"].lower() == "without"):
        return BatchWeight(grams)
    what = " and ".join(dict.fromkeys(i.with_it for i in on))
    if uneaten >= grams:
        return BatchWeight(grams)  # it was weighed without them
    if stated:
        return BatchWeight(grams - uneaten, uneaten)
    eaten_alone = (
        expected_g is not None and expected_g > 0 and _off(grams, expected_g) < _off(grams - uneaten, expected_g)
    )
    counts = (
        f"without {what}, as cooking leaves about so much of it; with {what} {format_grams(grams - uneaten)} would be eaten"
        if eaten_alone
        else f"with {what}: about {format_grams(uneaten)} of it is {what}, {format_grams(grams - uneaten)} is eaten"
    )
    this, other = ("without", "with") if eaten_alone else ("with", "without")
    bench.problems.append(
        note(
            bench.tree.place("cooked_weight"), "cooked-with-bones", f"{form.cooked_weight} counts as weighed {counts}",
            f"write `cooked_weight: {form.cooked_weight} {this} {what}` if so, else `cooked_weight: {form.cooked_weight} {other} {what}`",
        )
    )  # fmt: skip
    return BatchWeight(grams) if eaten_alone else BatchWeight(grams - uneaten, uneaten)


def _off(grams: float, expected_g: float) -> float:
    """How many times more or less, as a distance."""
    return abs(math.log(grams / expected_g))
