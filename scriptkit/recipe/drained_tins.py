"""Tinned food that is counted with its liquid, where the words pour that away."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.english.disposal import is_drained
from scriptkit.measure.numbers import format_number
from scriptkit.pantry import table
from scriptkit.pantry.as_sold import PULSES_LEFT
from scriptkit.problems import Problem, warning
from scriptkit.recipe.dish import Dish, Ingredient

_WITH_LIQUID = ", canned, with liquid"


def counted_with_liquid(dish: Dish) -> Iterator[Problem]:
    """A warning for each food of a tin whose row has the liquid in it, and whose words, or those of a step, drain it."""
    for one in dish.ingredients:
        if one.grams is None or not one.food.name.endswith(_WITH_LIQUID):
            continue
        if is_drained(one.prep) or any(_drains(dish, one)):
            yield warning(
                one.place,
                "liquid-counted",
                f"{one.name}: the {format_number(one.grams, places=0)} g are counted with the liquid of the tin, and the words pour it away",
                _instead(one),
            )


def _drains(dish: Dish, one: Ingredient) -> Iterator[bool]:
    for step in dish.steps:
        handled = (*step.uses, *(a.ingredient for a in step.additions))
        for found in step.reading.drained_unheated:
            named = found.concerns(one.name) or found.concerns(one.food.name)
            yield named or (one in handled and not found.what)


def _instead(one: Ingredient) -> str:
    share, least, most = PULSES_LEFT
    grams = format_number((one.grams or 0.0) * share, places=0)
    food = one.food.name.replace(_WITH_LIQUID, ", cooked")
    known = food if food in table.as_written() else ""
    of = f'`{{amount: {grams} g, food: "{known}"}}`' if known else f"`amount: {grams} g` and a food without the liquid"
    return (
        f"write what is left: {of}; {share:.0%} of a tin ({least:.0%} to {most:.0%} by the maker): weigh it, if you can"
    )
