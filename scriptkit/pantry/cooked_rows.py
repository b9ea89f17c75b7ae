"""What a raw food becomes when it is cooked: its published cooked row with its yield, else that of the nearest food and method.

A cooked row has what is eaten of the piece; what ran out of it is not in it. `cooked_rows.csv` has the rows, each with the share of
its raw weight that it weighs, from printed weights or from protein, which meat hardly loses.
"""

from __future__ import annotations

import dataclasses
import functools
import math
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows
from scriptkit.pantry import table
from scriptkit.pantry.food import Composition, Food

FIGURES = (
    "energy_kcal", "fat_g", "saturated_g", "protein_g", "carbohydrate_g", "fibre_g", "sugars_g", "alcohol_g", "sodium_mg", "water_g",
)  # fmt: skip
"""Columns of the table: the cooked row, per 100 g."""
COLUMNS = ("food", "method", "yield", "yield_by", "row", *FIGURES)
WET = frozenset({"boil", "simmer", "braise", "poach", "steam"})
"""Methods in liquid or steam: what runs out of the piece is in the pot."""
_LIKE = {
    **dict.fromkeys(WET, "wet"),
    **dict.fromkeys(("fry", "sear", "grill", "deep-fry"), "pan"),
    **dict.fromkeys(("roast", "bake"), "oven"),
}
"""Methods by the way in which they lose water; of any other there is no cooked row."""
_CATEGORY = {"poultry": "poultry", "fish": "fish", "shellfish": "shellfish"}
_RED = frozenset({"beef", "lamb", "pork", "veal", "game"})
_PARTS = ("mince", "sausage", "bacon", "liver", "kidney", "chop", "rib", "loin", "shoulder", "leg", "breast", "thigh", "wing", "whole", "steak")  # fmt: skip
_SKIN_ON = ("skin-on", "with skin", "whole", "wing", "leg", "drumstick", "goose", "fowl", "poussin")
_RAW = frozenset({"whole-cut", "ground-meat", "poultry", "fish", "shellfish"})
LEAST_PROTEIN = 0.97
"""Of what went in, where another food's pair stands in: hardly any runs out, and two samples of a cut differ by more."""
_KCAL_OF_FAT, _KCAL_OF_PROTEIN = 9.02, 4.27
"""SR28's own factors for meat and fish."""


@dataclass(frozen=True, slots=True)
class CookedRow:
    """A published cooked row. ``share``: cooked weight of the raw edible weight; ``way``: the method; ``by``: `weighed`, or `protein` where it is
    worked out; ``row`` is the SR28 number; ``figures`` are those of FIGURES, per 100 g cooked, None where not measured."""

    food: str
    way: str
    share: float
    by: str
    row: str
    figures: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooked:
    """A raw food cooked by a method. ``per_100_g_raw`` is what of 100 g raw is in the cooked piece; what is lacking has run out.
    ``own``: by its own row for this very method; else it is an estimate by the nearest one."""

    share: float
    per_100_g_raw: Composition
    row: CookedRow
    own: bool
    stands_for: str = ""
    """The food or method that was asked for, where the row is of another."""

    def __str__(self) -> str:
        worked_out = " by its protein" if self.row.by == "protein" else ""
        return f"{self.row.food} {self.share:.2f} of its raw weight{worked_out} ({self.row_words})"

    @property
    def row_words(self) -> str:
        """``grill, the nearest published to fry; USDA SR28 10036+10038``."""
        nearest = f", the nearest published to {self.stands_for}" if self.stands_for else ""
        return f"{self.row.way}{nearest}; USDA SR28 {self.row.row}"


@functools.cache
def cooked_rows() -> dict[tuple[str, str], CookedRow]:
    """Every cooked row by kitchen name of the raw food and method."""
    rows = made_of_rows("scriptkit.pantry", "cooked_rows.csv", COLUMNS, _row)
    return {(r.food, r.way): r for r in rows}


def _row(food: str, way: str, share: str, by: str, row: str, *figures: str) -> CookedRow:
    return CookedRow(food, way, float(share), by, row, tuple(float(f) if f else None for f in figures))


def cooked(food: Food, method: str) -> Cooked | None:
    """What the raw food becomes cooked this way; None where it is no raw meat, poultry or fish, dry pulse, grain or pasta, or the
    method has no cooked rows."""
    if method not in _LIKE:
        return None
    row = cooked_rows().get((food.name, method))
    if row is not None and _of_the_table(food):
        return Cooked(share=row.share, per_100_g_raw=_own(row), row=row, own=True)
    if food.safety not in _RAW or not food.composition.protein_g or food.composition.fat_g is None:
        return None
    return cooked_like(food, nearest_row(food, method), method)


def nearest_row(food: Food, method: str, leave_out: tuple[str, str] | None = None) -> CookedRow:
    """The row of the nearest food and method: by species, cut, skin, fat and way of cooking. ``leave_out`` is not asked."""
    asked = _traits(food)
    rows = [
        (_distance(asked, method, key[0], key[1]), row)
        for key, row in cooked_rows().items()
        if key != leave_out and row.share < 1
    ]
    return min(rows, key=lambda pair: pair[0])[1]


def cooked_like(food: Food, row: CookedRow, method: str) -> Cooked:
    """The food as the pair of another row loses weight, fat and protein."""
    raw, theirs = food.composition, table.food(row.food).composition
    figures = dict(zip(FIGURES, row.figures, strict=True))

    def kept(name: str, least: float = 0.0) -> float:
        before, after = getattr(theirs, name), figures[name]
        return min(max(row.share * after / before, least), 1.0) if before and after is not None else 1.0

    fat, protein, sodium = kept("fat_g"), kept("protein_g", LEAST_PROTEIN), kept("sodium_mg")
    lost = (raw.fat_g or 0.0) * (1 - fat) * _KCAL_OF_FAT + (raw.protein_g or 0.0) * (1 - protein) * _KCAL_OF_PROTEIN
    composition = dataclasses.replace(
        raw,
        energy_kcal=None if raw.energy_kcal is None else max(raw.energy_kcal - lost, 0.0),
        fat_g=_times(raw.fat_g, fat),
        saturated_g=_times(raw.saturated_g, fat),
        protein_g=_times(raw.protein_g, protein),
        sodium_mg=_times(raw.sodium_mg, sodium),
    )
    stands_for = method if row.food == food.name else f"{food.name}, {method}"
    return Cooked(share=row.share, per_100_g_raw=composition, row=row, own=False, stands_for=stands_for)


def _of_the_table(food: Food) -> bool:
    """Whether it is the pantry's own food, and no label of that name."""
    rows = table.food_rows()
    return food.name in rows and table.food(food.name).source == food.source


def _own(row: CookedRow) -> Composition:
    figures = {n: _times(f, row.share) for n, f in zip(FIGURES, row.figures, strict=True) if n != "water_g"}
    total, fibre = figures["carbohydrate_g"], figures["fibre_g"]
    if total == 0:  # by difference: of none, there are no parts
        fibre = figures["fibre_g"] = figures["sugars_g"] = 0.0
    net = None if total is None or fibre is None else max(total - fibre, 0.0)
    return Composition(**figures, net_carbs_g=net)


def _times(figure: float | None, share: float) -> float | None:
    return None if figure is None else figure * share


@dataclass(frozen=True, slots=True)
class _Traits:
    name: str
    category: str
    part: str
    minced: bool
    skin_on: bool
    log_fat: float


def _traits(food: Food) -> _Traits:
    name = food.name
    category = food.category
    if category not in _RED and category not in ("offal", "cured meat"):
        category = _CATEGORY.get(food.safety, category)
    poultry = category == "poultry"
    return _Traits(
        name,
        category,
        next((part for part in _PARTS if part in name), ""),
        "mince" in name or (food.safety == "ground-meat" and category not in ("offal", "game")),
        poultry and "skinless" not in name and any(word in name for word in _SKIN_ON),
        math.log((food.composition.fat_g or 0.0) + 1),
    )


@functools.cache
def _traits_of(name: str) -> _Traits:
    return _traits(table.food(name))


def _distance(one: _Traits, method: str, name: str, other_method: str) -> float:
    """How unlike two pairs are: 0 for the same. The weights are tuned so that each pair, left out, is found again best."""
    other = _traits_of(name)
    apart = abs(one.log_fat - other.log_fat) + (0.6 if one.name != name else 0.0)
    if one.category != other.category:
        apart += 1.0 if one.category in _RED and other.category in _RED else 3.0
    if method != other_method:
        apart += 0.5 if _LIKE[method] == _LIKE[other_method] else 1.5
    return (
        apart
        + 2.0 * (one.skin_on != other.skin_on)
        + 2.0 * (one.minced != other.minced)
        + 0.3 * (one.part != other.part)
    )
