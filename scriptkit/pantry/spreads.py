"""How far another good table's figures of a food may be from this one's, by category."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows
from scriptkit.pantry.food import Food

COLUMNS = (
    "category", "energy_low", "energy_high", "energy_floor_kcal", "fat_low", "fat_high", "protein_low", "protein_high", "fibre_low", "fibre_high",
    "net_low", "net_high", "net_floor_g",
)  # fmt: skip
OTHER = "*"
PADDING = 0.08
"""What two tables that are both known may still be off, beyond the further of them, as a share (common sense, no source)."""


LABEL_OFF, LABEL_FLOOR = 0.1, 0.3
"""The same of the label of the make that is used: half of what the Commission's guidance on tolerances (2012) lets pass, 20 %."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Shares between which another table's figure lies, and what it may be off on top, per 100 g."""

    low: float
    high: float
    floor: float

    def around(self, figure: float) -> tuple[float, float]:
        """Bounds of the figure, per 100 g (90 %)."""
        return max(figure * self.low - self.floor, 0.0), figure * self.high + self.floor


_ANY = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g")
"""Water and salt have none of these, and nobody doubts it."""


@functools.cache
def _table() -> dict[str, dict[str, Spread]]:
    found = {}
    for categories, spreads in made_of_rows("scriptkit.pantry", "spreads.csv", COLUMNS, _row):
        for category in categories.split(";"):
            found[category] = spreads
    return found


def _row(categories: str, *cells: str) -> tuple[str, dict[str, Spread]]:
    e_low, e_high, e_floor, f_low, f_high, p_low, p_high, fibre_low, fibre_high, n_low, n_high, n_floor = map(
        float, cells
    )
    return categories, {
        "energy_kcal": Spread(e_low, e_high, e_floor),
        "fat_g": Spread(f_low, f_high, 0.1),
        "protein_g": Spread(p_low, p_high, 0.1),
        "fibre_g": Spread(fibre_low, fibre_high, 0.0),
        "net_carbs_g": Spread(n_low, n_high, n_floor),
    }


_STARCHY_G, _STARCHY = 14.0, "starchy vegetable"
"""From so many grams of net carbs in 100 g on, tables differ less over a vegetable, and it has a row of its own."""


def spread_of(food: Food, nutrient: str, *, alone: bool = False) -> tuple[float, float] | None:
    """Bounds of a figure of the food per 100 g (90 %); None where it is unknown, where nobody doubts it (water, salt) or where
    there is no spread of that figure. Net carbs hold the second table's figure too, save ``alone``."""
    figure = getattr(food.composition, nutrient)
    if figure is None or not any(getattr(food.composition, n) for n in _ANY):
        return None
    if (below := dict(food.below).get(nutrient)) is not None:
        return 0.0, below
    if food.spread:
        return figure * (1 - food.spread), figure * (1 + food.spread)
    if food.source.startswith("label"):
        return max(figure * (1 - LABEL_OFF) - LABEL_FLOOR, 0.0), figure * (1 + LABEL_OFF) + LABEL_FLOOR
    category = food.category
    if category == "vegetable" and (food.composition.net_carbs_g or 0.0) >= _STARCHY_G:
        category = _STARCHY
    spreads = _table().get(category, _table()[OTHER])
    if nutrient not in spreads:
        return None
    low, high = spreads[nutrient].around(figure)
    second = food.second_net_carbs_g if nutrient == "net_carbs_g" and not alone else None
    if second is not None:  # both are known: between them, and a little beyond
        least, most = min(figure, second), max(figure, second)
        low, high = max(least * (1 - PADDING) - 0.1, 0.0), most * (1 + PADDING) + 0.1
    return min(low, figure), max(high if nutrient == "energy_kcal" else min(high, 100.0), figure)
