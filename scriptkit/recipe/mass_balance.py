"""What a scale can have shown; and what a batch can weigh: no less than its dry matter, and no more than went in and what that can soak up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.measure.amounts import format_grams
from scriptkit.pantry.food import Composition, Food
from scriptkit.pantry.physics import MASS_G, MASS_SHARE
from scriptkit.pantry.weighing import Weighed
from scriptkit.problems import Place, Problem, error, note, warning
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.dish import Ingredient
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path

_DRY = ("fat_g", "protein_g", "carbohydrate_g")
_DRIED_SHARE = 0.55
"""A food with more protein and carbohydrate than this is dried: it swells in water."""
_SWELLS, _SETS, _MOIST = 4.0, 50.0, 0.15
"""Grams of water that a gram takes up: a dried grain, pulse or paste; what sets to a gel; any other food (common practice, no
source: rice and pasta end at two to three and a half times their weight)."""
_SETTING = (
    "agar", "gelatine", "pectin", "psyllium", "glucomannan", "konjac", "xanthan", "chia", "flaxseed", "mushroom", "kelp", "kombu",
    "wakame", "nori", "tapioca", "cornflour", "arrowroot", "starch", "inulin", "stock", "tea", "coffee", "coconut flour", "oat fibre",
)  # fmt: skip
FAR_ABOVE, A_SLIP = 5.0, 50.0
"""Times what went in and soaks up: from there on a warning asks for the unit and the water; beyond, the unit slipped."""
_GAINED = 1.05
"""What does not swell weighs no more than went in, and a little fat out of the pan (common sense, no source)."""
_UNLISTED = 1.25
"""From here on a note says that water is not listed."""


def dry_matter_g(
    ingredients: Sequence[Ingredient],
    taken_out: Sequence[Ingredient] = (),
    cooking: Sequence[CookedIngredient] = (),
) -> float:
    """Grams of fat, protein and carbohydrate that must be in the batch, as far as they are known: heat drives off none of it, but
    what runs out may be left behind, whatever is said of it."""
    by_key = {one.key: one.cooked.per_100_g_raw for one in cooking if one.cooked is not None}
    kept = sum(_dry(i, by_key.get(i.key)) * (1 - i.lost_share) for i in ingredients)
    return max(kept - sum(i.grams or 0.0 for i in taken_out), 0.0)


def _dry(ingredient: Ingredient, cooked: Composition | None = None) -> float:
    grams = ingredient.grams or 0.0
    if (part := ingredient.dish) is not None:
        return (
            dry_matter_g(part.ingredients, part.taken_out, part.cooking) * grams / part.cooked_g
            if part.cooked_g
            else 0.0
        )
    raw = ingredient.food.composition
    of = raw if cooked is None else cooked
    return sum(min(getattr(raw, n) or 0.0, getattr(of, n) or 0.0) for n in _DRY) * grams / 100


def most_g(ingredients: Sequence[Ingredient]) -> float:
    """Grams of the batch with all the water that its ingredients can take up."""
    return sum((i.grams or 0.0) * (1 + _soaks_up(i.food)) for i in ingredients)


def _soaks_up(food: Food) -> float:
    if any(word in food.name for word in _SETTING):
        return _SETS
    dry = (food.composition.protein_g or 0.0) + (food.composition.carbohydrate_g or 0.0)
    return _SWELLS if dry > _DRIED_SHARE * 100 else _MOIST


def _only_shrinks(ingredients: Sequence[Ingredient]) -> bool:
    """Whether it is a dish of meat or fish in which nothing swells: of a soup, water is often not listed."""
    weighed = [i for i in ingredients if i.grams]
    return any(i.food.safety for i in weighed) and all(_soaks_up(i.food) == _MOIST for i in weighed)


def cooked_weight_problems(
    place: Place,
    written: str,
    cooked_g: float,
    ingredients: Sequence[Ingredient],
    taken_out: Sequence[Ingredient],
    cooking: Sequence[CookedIngredient] = (),
) -> Iterator[Problem]:
    """An error where a weighed batch cannot weigh so little or so much; a warning or a note where water is not listed."""
    least, most = dry_matter_g(ingredients, taken_out, cooking), most_g(ingredients)
    went_in = sum(i.grams or 0.0 for i in ingredients)
    if not went_in:
        return
    if least > cooked_g * MASS_SHARE + MASS_G:
        yield error(
            place,
            "cooked-weight",
            f"the batch weighs {written}, and the fat, protein and carbohydrate in it {format_grams(least)}",
            "check the unit; fat that was poured off stands under `left_in_pan:`",
        )
    elif cooked_g > most * FAR_ABOVE:
        yield (error if cooked_g > most * A_SLIP else warning)(
            place,
            "cooked-weight",
            f"the batch weighs {written} and its ingredients {format_grams(went_in)}",
            "check the unit, and list the water that stays in the dish",
        )
    elif cooked_g > went_in * _GAINED and _only_shrinks(ingredients):
        yield (warning if cooked_g > went_in * _UNLISTED else note)(
            place,
            "cooked-weight",
            f"the batch weighs {written}, and what went in {format_grams(went_in)}: nothing in it takes up so much",
            "weigh it without the pot and without bones, and list the water or oil that stays in the dish",
        )
    elif cooked_g > most * _UNLISTED:
        yield note(
            place,
            "cooked-weight",
            f"the batch weighs {written}, and its ingredients {format_grams(went_in)}",
            "list the water that stays in the dish",
        )


AS_WEIGHED = "as weighed"
"""Stands in place of a household measure where the cook weighed what went in."""
WEIGHED_TIMES = 4.0
"""So many times the recipe's amount, or as small a part of it, is a slip of the unit (common sense, no source)."""


def on_the_scale(bench: FieldParser, at: Path, written: str, grams: float | None, *, to_taste: bool) -> Weighed | None:
    """The weight as it went in, which counts in place of the ``grams`` that the scale should show; None, with an error, where it cannot be that."""
    weighed_g = bench.grams(written, *at, "weighed")
    if weighed_g is None:
        return None
    place, name = bench.tree.place(*at, "weighed"), str(at[-1]).replace("_", " ")
    if to_taste:
        bench.problems.append(
            error(place, "weighed", f"{name} is listed `to taste` and was weighed", f"write `amount: {written}`")
        )
        return None
    if grams and not 1 / WEIGHED_TIMES <= weighed_g / grams <= WEIGHED_TIMES:
        message = f"{written} of {name} was weighed, where the recipe has {format_grams(grams)}"
        bench.problems.append(error(place, "weighed", message, "check the unit, or correct the amount"))
        return None
    return Weighed(weighed_g, AS_WEIGHED)
