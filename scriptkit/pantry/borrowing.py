"""Weights that no table prints: of the same food in another form, of its kind, or of the region's grade; each with its bounds."""

from __future__ import annotations

import csv
import functools
import io
from collections import defaultdict
from dataclasses import dataclass
from importlib import resources

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
    text = resources.files("scriptkit.pantry").joinpath("borrowed_weights.csv").read_text(encoding="utf-8")
    rows = defaultdict(list)
    for food, unit, state, cups, grams, low, high, source in list(csv.reader(io.StringIO(text, newline="")))[1:]:
        weight = HouseholdWeight(1.0, unit, state, float(grams), source)
        rows[food].append(BorrowedWeight(weight, float(low), float(high), source, cups))
    return {food: tuple(found) for food, found in rows.items()}


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
