"""The change of the recipe that makes a spoken figure right: the amount of an ingredient, the time of a step, its core temperature."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scriptkit.cut.claims.due_amounts import OF_EACH
from scriptkit.measure.amounts import NotAnAmount, parse_amount
from scriptkit.measure.durations import format_duration
from scriptkit.measure.figures import CELSIUS, DEGREE, FAHRENHEIT, MS, Figure, figures_in
from scriptkit.problems import Place

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.recipe.dish import Dish


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeChange:
    """``value`` for ``key`` of an ingredient (its key) or of a step (its id), in the dish's file; ``key`` is ``amount`` for an
    ingredient. ``place``: where that stands."""

    file: str
    ingredient: str = ""
    step: str = ""
    key: str
    value: str
    place: Place
    each: bool = False
    """Whether the file has the amount of one serving, and ``value`` is one."""

    @property
    def words(self) -> str:
        """``stock: 2 ½ l``, ``soften-fennel: wait: 12 min``, ``chives: 2 tsp each``."""
        if self.each:
            return f"{self.ingredient}: {self.value} each"
        return f"{self.ingredient}: {self.value}" if self.ingredient else f"{self.step}: {self.key}: {self.value}"


def recipe_change(claim: Claim) -> RecipeChange | None:
    """What to write so that the claim is right; None where no one line of the recipe says it: macros are computed, an ingredient may go
    in in parts, a range is no amount."""
    figures = figures_in(claim.words)
    if claim.dish is None or len(figures) != 1:
        return None
    if claim.kind == "amount":
        return _amount(claim, claim.dish, figures[0])
    if claim.kind == "time":
        return _time(claim, claim.dish, figures[0])
    if claim.kind == "temperature" and claim.subject.startswith("the core"):
        return _core(claim, claim.dish, figures[0])
    return None


def _amount(claim: Claim, dish: Dish, figure: Figure) -> RecipeChange | None:
    named = [i for i in dish.ingredients if i.name == claim.subject]
    if len(named) != 1 or figure.low != figure.high or not figure.unit:
        return None
    one = named[0]
    going_in = [a for step in dish.steps for a in step.additions if a.ingredient.key == one.key]
    if one.dish is not None or one.taken_over or one.to_taste or one.place.file != dish.file or len(going_in) > 1:
        return None
    try:
        value = parse_amount(f"{float(figure.low):g} {figure.unit}")
    except NotAnAmount:
        return None
    each = going_in[0].each if going_in else None
    if each is None:
        return RecipeChange(file=dish.file, ingredient=one.key, key="amount", value=str(value), place=one.place)
    if going_in[0].words.rstrip().endswith("each"):
        return None  # the step has it, and the list has the whole
    said = value if OF_EACH in claim.recipe else value.times(1 / Fraction(str(dish.servings)))
    return RecipeChange(file=dish.file, ingredient=one.key, key="amount", value=str(said), place=one.place, each=True)


def _time(claim: Claim, dish: Dish, figure: Figure) -> RecipeChange | None:
    step = claim.step
    if step is None or figure.unit != MS or step.place.file != dish.file:
        return None
    key = "wait" if step.wait_ms else "hands"
    return RecipeChange(
        file=dish.file, step=step.id, key=key, value=format_duration(round(figure.low)), place=step.place
    )


_SCALE = {CELSIUS: "°C", FAHRENHEIT: "°F"}


def _core(claim: Claim, dish: Dish, figure: Figure) -> RecipeChange | None:
    step = claim.step
    if step is None or figure.low != figure.high or step.place.file != dish.file:
        return None
    unit = figure.unit
    if unit == DEGREE:  # nothing cooked is over 100 °C inside
        unit = CELSIUS if figure.low <= Fraction(100) else FAHRENHEIT
    if unit not in _SCALE:
        return None
    return RecipeChange(
        file=dish.file, step=step.id, key="core", value=f"{float(figure.low):g} {_SCALE[unit]}", place=step.place
    )
