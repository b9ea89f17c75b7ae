"""What vegetables and mushrooms weigh cooked, by method."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows
from scriptkit.pantry.food import Food


@dataclass(frozen=True, slots=True)
class PlantYield:
    """Cooked weight as a share of the raw weight, with its 90 % interval. ``foods``: words of names, or ``category:…``."""

    foods: tuple[str, ...]
    methods: tuple[str, ...]
    share: float
    low: float
    high: float


@functools.cache
def _table() -> list[PlantYield]:
    return made_of_rows("scriptkit.pantry", "plant_yields.csv", ("foods", "methods", "share", "low", "high"), _yield)


def _yield(foods: str, methods: str, share: str, low: str, high: str) -> PlantYield:
    return PlantYield(tuple(foods.split(";")), tuple(methods.split(";")), float(share), float(low), float(high))


def plant_yield(food: Food, method: str) -> PlantYield | None:
    """The yield of a raw vegetable or mushroom; None for any other food, and for a method without one."""
    if food.category not in ("vegetable", "mushroom") or any(
        w in food.name for w in ("canned", "dried", "powder", "cooked", "pickled")
    ):
        return None
    for row in _table():
        named = any(word == f"category:{food.category}" or word in food.name for word in row.foods)
        if named and method in row.methods:
            return row
    return None
