"""The pairs of raw and cooked rows whose weights are printed, and how far off 100 g cooked is: ``python -m tests.outside.cooked_pairs``.

For each pair of yields.csv: energy, fat and protein per 100 g cooked by the cooked row itself (USDA SR28), and what they come to where
all weight that is lost counts as water; by the pair's own row; and by the nearest row when the pair is left out.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import dataclass

from scriptkit.pantry import table
from scriptkit.pantry.cooked_rows import FIGURES, Cooked, CookedRow, cooked, cooked_like, cooked_rows, nearest_row

FIGURES_SEEN = ("energy_kcal", "fat_g", "protein_g")
WAYS = ("all loss is water", "own row", "left out, by the nearest")


@dataclass(frozen=True, slots=True)
class Pair:
    """How far off 100 g cooked is, as a share of the cooked row: by WAYS, each by FIGURES_SEEN."""

    row: CookedRow
    nearest: CookedRow
    off: tuple[tuple[float, ...], ...]


def pairs() -> list[Pair]:
    """Every pair with printed weights."""
    found = []
    for key, row in cooked_rows().items():
        if row.by != "weighed":
            continue
        food = table.food(row.food)
        own = cooked(food, row.way)
        assert own is not None
        nearest = nearest_row(food, row.way, leave_out=key)
        raw = Cooked(share=row.share, per_100_g_raw=food.composition, row=row, own=False)
        ways = raw, own, cooked_like(food, nearest, row.way)
        found.append(Pair(row, nearest, tuple(tuple(_off(way, row, n) for n in FIGURES_SEEN) for way in ways)))
    return found


def _off(made: Cooked, row: CookedRow, nutrient: str) -> float:
    published = row.figures[FIGURES.index(nutrient)]
    figure = getattr(made.per_100_g_raw, nutrient) / made.share
    return figure / published - 1 if published else 0.0


def of_all(
    found: list[Pair], way: str, nutrient: str, what: Callable[[list[float]], float] = statistics.median
) -> float:
    """The median, or another ``what``, of how far off all pairs are."""
    return what([abs(p.off[WAYS.index(way)][FIGURES_SEEN.index(nutrient)]) for p in found])


def main() -> None:
    """Prints every pair, those that are furthest off first, and the medians, means and worst of all."""
    found = pairs()
    for pair in sorted(found, key=lambda p: -abs(p.off[2][0])):
        cells = "   ".join(" ".join(f"{x:+5.0%}" for x in way) for way in pair.off)
        print(f"{pair.row.food[:32]:32} {pair.row.way:7} {cells}   {pair.nearest.food}, {pair.nearest.way}")
    print()
    for way in WAYS:
        for nutrient in FIGURES_SEEN:
            figures = [of_all(found, way, nutrient, what) for what in (statistics.median, statistics.fmean, max)]
            print(f"{way:26} {nutrient:12} median {figures[0]:6.1%}   mean {figures[1]:6.1%}   worst {figures[2]:6.1%}")


if __name__ == "__main__":
    main()
