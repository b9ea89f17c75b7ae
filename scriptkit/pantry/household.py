"""The other way round: about how many cups or spoons some grams are, for a viewer without scales."""

from __future__ import annotations

import functools
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Cups, canonical_unit
from scriptkit.pantry.food import Food
from scriptkit.pantry.weighing import CannotWeigh, weigh

# Steps that measuring cups and spoons come in: (unit, step, least of it). Common practice, no source.
_MEASURES = (
    ("cup", Fraction(1, 4), Fraction(1, 4)),
    ("cup", Fraction(1, 3), Fraction(1, 3)),
    ("tablespoon", Fraction(1, 2), Fraction(1)),
    ("tablespoon", Fraction(1, 4), Fraction(1)),
    ("teaspoon", Fraction(1, 4), Fraction(1, 4)),
)
_MOST_TEASPOONS = 4
"""More are counted as tablespoons: 1 ¾ tbsp, not 5 ¼ tsp."""
_NEAR_ENOUGH = 0.08
"""A level spoon is no finer than this share: 15 tablespoons are a cup (common practice, no source)."""
_FURTHEST = 0.12
"""A measure further from the grams than this share is none (common practice, no source)."""


def household_amount(food: Food, grams: float, state: str = "", cups: Cups = Cups.US) -> Amount | None:
    """The measure nearest to ``grams``, the larger unit where it is near enough; None where the food's weights do not
    tell, or no measure comes near."""
    best: tuple[float, Amount] | None = None
    for unit, step, least in _MEASURES:
        local = canonical_unit(unit, cups) or unit
        one = _grams_of_one(food, local, state)
        if one is None:
            return None
        value = max(round(Fraction(grams / one) / step) * step, least)
        off = abs(float(value) * one / grams - 1) if grams else 1.0
        if value <= (_MOST_TEASPOONS if unit == "teaspoon" else 16) and (best is None or off < best[0] - _NEAR_ENOUGH):
            best = (off, Amount(value, local))
    return best[1] if best and best[0] <= _FURTHEST else None


@functools.lru_cache(maxsize=1024)
def _grams_of_one(food: Food, unit: str, state: str) -> float | None:
    """None where the food's weights do not tell. Asked for every paper, of the same few foods."""
    try:
        return weigh(food, Amount(Fraction(1), unit), state).grams
    except CannotWeigh:
        return None
