"""Weights that no table prints: of the same food in another form, of its kind, or of the region's grade; each with its bounds."""

from __future__ import annotations

import functools
from collections import defaultdict
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows
from scriptkit.pantry.food import Food, HouseholdWeight

ANY_REGION = ""


@dataclass(frozen=True, slots=True)
class BorrowedWeight:
    """A household weight that is an estimate. ``low_g`` and ``high_g`` bound the weight's grams (90 %, common sense); ``source``
    says in words what it is borrowed from. ``cups``: the region that it holds for; empty: all."""

    weight: HouseholdWeight
    low_g: float
    high_g: float
    source: str
    cups: str = ANY_REGION


@functools.cache
def _table() -> dict[str, tuple[BorrowedWeight, ...]]:
    columns = ("food", "unit", "state", "cups", "grams", "low", "high", "source")
    rows = defaultdict(list)
    for food, borrowed in made_of_rows("scriptkit.pantry", "borrowed_weights.csv", columns, _borrowed):
        rows[food].append(borrowed)
    return {food: tuple(found) for food, found in rows.items()}


def _borrowed(
    food: str, unit: str, state: str, cups: str, grams: str, low: str, high: str, source: str
) -> tuple[str, BorrowedWeight]:
    weight = HouseholdWeight(1.0, unit, state, float(grams), source)
    return food, BorrowedWeight(weight, float(low), float(high), source, cups)


def borrowed_of(food: Food, cups: str) -> tuple[tuple[BorrowedWeight, ...], tuple[BorrowedWeight, ...]]:
    """The food's own estimates that hold in the region, and those of its category."""
    own = tuple(b for b in _table().get(food.name, ()) if b.cups in (ANY_REGION, cups))
    return own, _table().get(f"category:{food.category}", ())


def of_region(food: Food, cups: str) -> tuple[BorrowedWeight, ...]:
    """Those of the food that hold in this region alone, before what the table prints: a medium egg is none the same everywhere."""
    return tuple(b for b in _table().get(food.name, ()) if b.cups == cups)


def borrowed_rows() -> dict[str, tuple[BorrowedWeight, ...]]:
    """Every estimate by food or ``category:…``."""
    return dict(_table())
