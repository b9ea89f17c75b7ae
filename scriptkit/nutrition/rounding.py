"""One rounding for every printed figure: rows that say total − fibre = net, and columns that add up, still do so rounded."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.macros import Macros
from scriptkit.pantry.food import NUTRIENTS

STEP = {"energy_kcal": 1.0, "sodium_mg": 1.0}
"""What a figure is rounded to; grams that are not named here to 0.1."""
GRAM_STEP = 0.1

PARTS_OF_CARBOHYDRATE = {Basis.US: ("fibre_g", "polyols_g", "net_carbs_g"), Basis.EU: ("polyols_g", "net_carbs_g")}
"""What the carbohydrate figure of a label on each basis is the sum of."""

ROUNDED = NUTRIENTS


@dataclass(frozen=True, slots=True)
class Printed:
    """Figures ready to print, in the nutrient's unit. None is unknown; ``at_least`` then has what is known of it."""

    weight_g: float
    figures: dict[str, float | None]
    at_least: dict[str, float]

    def text(self, nutrient: str, *, unit: bool = False) -> str:
        """``12.3``, ``≥ 12.3`` where a part is unknown, ``unknown`` where nothing is known."""
        value = self.figures[nutrient]
        digits = 0 if step_of(nutrient) >= 1 else 1
        after = f" {nutrient.rsplit('_', 1)[1]}" if unit else ""
        if value is not None:
            return f"{value:.{digits}f}{after}"
        known = self.at_least[nutrient]
        return f"≥ {known:.{digits}f}{after}" if known else "unknown"


@dataclass(frozen=True, slots=True)
class PrintedTable:
    """Rows whose rounded figures make the rounded whole, column by column."""

    rows: tuple[Printed, ...]
    whole: Printed


def step_of(nutrient: str, finer: int = 1) -> float:
    return STEP.get(nutrient, GRAM_STEP) / finer


def round_half_up(value: float) -> int:
    """To a whole number, halves away from zero, as people round by hand."""
    return int(Decimal(repr(value)).quantize(Decimal(1), rounding=ROUND_HALF_UP))


def apportion(values: Sequence[float], whole: int) -> list[int]:
    """Whole numbers next to ``values`` that sum to ``whole`` (largest remainders first).

    Each lies within 1 of its value as long as ``whole`` lies within half their number of the true sum.
    """
    floors = [math.floor(v) for v in values]
    missing = whole - sum(floors)
    order = sorted(range(len(values)), key=lambda i: (floors[i] - values[i], i))
    if not values:
        return []
    rounds, some = divmod(missing, len(values))
    return [floors[i] + rounds + (1 if order.index(i) < some else 0) for i in range(len(values))]


def print_one(macros: Macros, *, basis: Basis = Basis.US, finer: int = 1) -> Printed:
    """One row, rounded so that its printed carbohydrate is the sum of its printed parts."""
    return print_table([], macros, basis=basis, finer=finer).whole


def print_table(rows: Sequence[Macros], whole: Macros, *, basis: Basis = Basis.US, finer: int = 1) -> PrintedTable:
    """Rows and their whole, rounded together. ``whole`` is the exact sum of the rows where there are any.

    ``finer`` = 10 gives ten times smaller steps, for machines that compute on.
    """
    rows, whole = [to_basis(r, basis) for r in rows], to_basis(whole, basis)
    columns = {n: _column(rows, whole, n, finer) for n in ROUNDED}
    _make_carbohydrate_agree(rows, whole, columns, basis, finer)
    weights = apportion([r.weight_g * finer for r in rows], round_half_up(sum(r.weight_g for r in rows) * finer))
    all_weights = [*weights, round_half_up(whole.weight_g * finer)]

    def printed(macros: Macros, index: int) -> Printed:
        known = {n: round(columns[n][index] * step_of(n, finer), 6) for n in ROUNDED}
        figures = {n: None if n in macros.unknown else k for n, k in known.items()}
        return Printed(all_weights[index] / finer, figures, known)

    return PrintedTable(tuple(printed(r, i) for i, r in enumerate(rows)), printed(whole, len(rows)))


def _column(rows: Sequence[Macros], whole: Macros, nutrient: str, finer: int) -> list[int]:
    """Steps of each row, and last of the whole."""
    return _column_to(rows, nutrient, round_half_up(whole.at_least(nutrient) / step_of(nutrient, finer)), finer)


def _column_to(rows: Sequence[Macros], nutrient: str, target: int, finer: int) -> list[int]:
    return [*apportion([r.at_least(nutrient) / step_of(nutrient, finer) for r in rows], target), target]


def _make_carbohydrate_agree(
    rows: Sequence[Macros], whole: Macros, columns: dict[str, list[int]], basis: Basis, finer: int
) -> None:
    """Let the printed carbohydrate of every row be the sum of its printed parts, and every column still add up.

    On the US basis the whole's own three figures may together round the wrong way by a step; then fibre, which nobody
    counts by, gives. The rows' fibre is shared out anew, and each row's total is the sum of its parts. Where a row lacks
    a figure, it takes what the others leave of the column.
    """
    parts = PARTS_OF_CARBOHYDRATE[basis]
    agreeing = {"carbohydrate_g", *parts}
    last = len(rows)
    carbohydrate = columns["carbohydrate_g"]
    if not whole.unknown & agreeing:
        if basis is Basis.US:
            fibre = carbohydrate[last] - columns["polyols_g"][last] - columns["net_carbs_g"][last]
            if fibre < 0:  # net carbs rounded past the total
                columns["net_carbs_g"] = _column_to(rows, "net_carbs_g", columns["net_carbs_g"][last] + fibre, finer)
                fibre = 0
            columns["fibre_g"] = _column_to(rows, "fibre_g", fibre, finer)
        carbohydrate[last] = sum(columns[n][last] for n in parts)
    lacking = [i for i, row in enumerate(rows) if row.unknown & agreeing]
    for index in range(len(rows)):
        if index not in lacking:
            carbohydrate[index] = sum(columns[n][index] for n in parts)
    if lacking:
        left = carbohydrate[last] - sum(carbohydrate[i] for i in range(last) if i not in lacking)
        known = [rows[i].at_least("carbohydrate_g") / step_of("carbohydrate_g", finer) for i in lacking]
        for index, share in zip(lacking, apportion(known, max(left, 0)), strict=True):
            carbohydrate[index] = share
