"""One rounding for every printed figure: a row that says total − fibre = net still does so rounded.

What stands in one table alone, a dish's ingredients, is rounded so that its columns add up. A serving, a portion or a plate is a
thing of its own, which other papers print too: it has the same figures beside whatever it stands, and a table of them may miss its
whole by the last digit, which it says (`print_each`, `rounded_words`).

Every figure that is printed lies within one step of its true value (0.1 g, 1 kcal, 1 mg). A lower bound (≥) is rounded to the
nearest step. So are the whole's energy, fat and protein, and its carbohydrate, fibre and net carbs where these then add up, else one
of them gives.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.numbers import round_half_up
from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.controlled_rounding import MILLION, SumLine, alone, half_up, together
from scriptkit.nutrition.macros import Macros
from scriptkit.pantry.food import NUTRIENTS

STEP = {"energy_kcal": 1.0, "sodium_mg": 1.0}
"""What a figure is rounded to; grams that are not named here to 0.1."""
GRAM_STEP = 0.1

PARTS_OF_CARBOHYDRATE = {
    Basis.US: ("fibre_g", "deducted_sweeteners_g", "net_carbs_g"),
    Basis.EU: ("deducted_sweeteners_g", "net_carbs_g"),
}
"""What the carbohydrate figure of a label on each basis is the sum of; net carbs last."""


@dataclass(frozen=True, slots=True)
class Printed:
    """Figures ready to print, in the nutrient's unit. None is unknown; ``at_least`` then has what is known of it."""

    weight_g: float
    figures: dict[str, float | None]
    at_least: dict[str, float]

    def text(self, nutrient: str, *, unit: bool = False) -> str:
        """``12.3``, ``≥ 12.3`` where a part is unknown, ``unknown`` where nothing is known."""
        value = self.figures[nutrient]
        digits = digits_of(nutrient)
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

    def adds_up(self, nutrients: Sequence[str]) -> bool:
        """Whether the rows' weights, and what is known in each of these columns, make the whole as printed."""
        lines = (*self.rows, self.whole)
        return _makes_the_last([line.weight_g for line in lines]) and all(
            _makes_the_last([line.figures[n] for line in lines]) for n in nutrients
        )


def _makes_the_last(column: Sequence[float | None]) -> bool:
    """Whether the figures before the last make it; a bound tells nothing of a sum."""
    known = [figure for figure in column if figure is not None]
    return len(known) < len(column) or abs(sum(known[:-1]) - known[-1]) < _SAME


_SAME = 1e-6


def step_of(nutrient: str, finer: int = 1) -> float:
    """What the nutrient is rounded to, in its unit: 1 kcal, 1 mg, 0.1 g; ``finer`` times smaller."""
    return STEP.get(nutrient, GRAM_STEP) / finer


def digits_of(nutrient: str) -> int:
    """Decimals of a printed figure."""
    return 0 if step_of(nutrient) >= 1 else 1


def apportion(values: Sequence[float], whole: int) -> list[int]:
    """Whole numbers next to ``values`` that sum to ``whole``, which must be next to their sum (largest remainders first)."""
    exact = [round(value * MILLION) for value in values]
    found = [v // MILLION for v in exact]
    order = sorted(range(len(exact)), key=lambda i: (-(exact[i] % MILLION), i))
    for index in order[: max(whole - sum(found), 0)]:
        found[index] += 1
    return found


@functools.lru_cache(maxsize=128)
def print_one(macros: Macros, *, basis: Basis = Basis.US, finer: int = 1) -> Printed:
    """One row, rounded so that its printed carbohydrate is the sum of its printed parts."""
    return print_table([], macros, basis=basis, finer=finer).whole


def print_each(rows: Sequence[Macros], whole: Macros, *, basis: Basis = Basis.US, finer: int = 1) -> PrintedTable:
    """Rows and their whole, each with the figures that it has by itself."""
    return PrintedTable(
        tuple(print_one(m, basis=basis, finer=finer) for m in rows), print_one(whole, basis=basis, finer=finer)
    )


def print_table(rows: Sequence[Macros], whole: Macros, *, basis: Basis = Basis.US, finer: int = 1) -> PrintedTable:
    """Rows and their whole, rounded together. ``whole`` is the exact sum of the rows where there are any, but may weigh less:
    what went into a pot is more than what comes out.

    ``finer`` = 10 gives ten times smaller steps, for machines that compute on.
    """
    lines = [to_basis(macros, basis) for macros in (*rows, whole)]
    columns = {n: _column([_millionths(m, n, finer) for m in lines]) for n in NUTRIENTS}
    columns |= _carbohydrate(lines, basis, finer)
    weights = [round_half_up(m.weight_g * finer) for m in (*rows, whole)]  # what a scale shows is bent for no sum

    def printed(index: int) -> Printed:
        known = {n: round(columns[n][index] * step_of(n, finer), 6) for n in NUTRIENTS}
        for n in lines[index].unknown:  # a lower bound is not moved for a sum, but for an exact half
            true = _millionths(lines[index], n, finer)
            if abs(columns[n][index] * MILLION - true) > MILLION // 2:
                known[n] = round(half_up(true) * step_of(n, finer), 6)
        figures = {n: None if n in lines[index].unknown else k for n, k in known.items()}
        return Printed(weights[index] / finer, figures, known)

    return PrintedTable(tuple(printed(i) for i in range(len(rows))), printed(len(rows)))


def _millionths(macros: Macros, nutrient: str, finer: int) -> int:
    """What is known of the nutrient, in millionths of a step."""
    return round(macros.at_least(nutrient) / step_of(nutrient, finer) * MILLION)


def _column(millionths: Sequence[int]) -> list[int]:
    """Steps of each row, and last of the whole."""
    *rows, whole = millionths
    goal = half_up(whole)
    return [*apportion([r / MILLION for r in rows], goal), goal]


def _carbohydrate(lines: Sequence[Macros], basis: Basis, finer: int) -> dict[str, list[int]]:
    """The columns of carbohydrate and its parts: printed, they add up along each row and down each column."""
    parts = PARTS_OF_CARBOHYDRATE[basis]

    def line(macros: Macros) -> SumLine:
        figures = tuple(_millionths(macros, n, finer) for n in parts)
        total = _millionths(macros, "carbohydrate_g", finer)
        if same := abs(total - sum(figures)) <= _FLOAT_NOISE:
            total = sum(figures)
        return SumLine(figures, total, same and macros.unknown.isdisjoint({"carbohydrate_g", *parts}))

    rows, goal = together([line(m) for m in lines[:-1]], line(lines[-1])) if lines[1:] else ([], alone(line(lines[0])))
    rounded = [*rows, goal]
    return {"carbohydrate_g": [r.total for r in rounded]} | {
        n: [r.parts[j] for r in rounded] for j, n in enumerate(parts)
    }


_FLOAT_NOISE = MILLION // 1000
