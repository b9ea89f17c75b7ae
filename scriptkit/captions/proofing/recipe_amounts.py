"""How much a recipe has of each food, in all and at its steps, as it may be said: fifteen grams, two tablespoons, three."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.recipe.dish import Dish, Ingredient

Names = frozenset[tuple[str, ...]]


class OwedAmount(NamedTuple):
    """A food by its names, and an amount of it that the recipe has: in grams, in millilitres or as so many."""

    names: Names
    kind: Kind
    value: float


def comparable(value: Fraction, unit: str) -> tuple[Kind, float]:
    """An amount by its kind: in grams, in millilitres, or the count."""
    amount = Amount(value, unit)
    if amount.kind is Kind.MASS:
        return Kind.MASS, amount.grams
    return amount.kind, amount.millilitres if amount.kind is Kind.VOLUME else float(value)


def recipe_amounts(dishes: Iterable[Dish], names: Callable[[Ingredient], Names]) -> tuple[OwedAmount, ...]:
    """Each amount of each food once; what is measured by volume by its weight too."""
    found: dict[OwedAmount, None] = {}
    for dish in dishes:
        for ingredient in dish.ingredients:
            called = names(ingredient)
            for kind, value in _of(ingredient, dish):
                found[OwedAmount(called, kind, value)] = None
    return tuple(found)


def _of(ingredient: Ingredient, dish: Dish) -> Iterator[tuple[Kind, float]]:
    additions = [a for step in dish.steps for a in step.additions if a.ingredient.key == ingredient.key]
    parts: Sequence[tuple[Amount | None, float | None]] = [
        (ingredient.amount, ingredient.grams),
        *((a.amount, a.scale_g) for a in additions),
    ]
    for amount, grams in parts:
        if amount is not None:
            yield comparable(amount.value, amount.unit)
        if grams:
            yield Kind.MASS, float(grams)
