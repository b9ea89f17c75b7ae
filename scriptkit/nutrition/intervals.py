"""How sure figures are: 90 % intervals that add up along with the figures.

The rule. Every doubt moves the figures down to its low end and up to its high end (5 % and 95 %); the two need not be as far. A doubt
that several parts share (the same food, the same cooked row, one batch's weight) moves them together: its shifts add up. Doubts
of different things are independent: the squares of their shifts add up, downwards and upwards each for itself. A figure that is blank
in a table has hard bounds, and no likely value between them: such shifts add up, whatever they are of.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

BOUNDED = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
"""The figures that have an interval."""
BLANK = "blank"
"""Begins the name of a doubt about a figure that the table does not print."""
SEEN_SHARE, SEEN = 0.02, 0.05
"""An interval that is no wider is no news: as a share of the figure, and in its unit."""
Shifts = Mapping[str, tuple[float, float]]
"""Of each nutrient, by how much the doubt's low and its high end move it, in its unit; low first."""


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """One thing that is not sure: ``key`` names it wherever it is met, ``words`` say it to the cook."""

    key: str
    words: str
    shifts: Shifts


class Source:
    """The doubts of one part, worked out when they are first asked for."""

    __slots__ = ("_doubts", "_make")

    def __init__(self, make: Callable[[], Iterable[Uncertainty]]) -> None:
        self._make = make
        self._doubts: tuple[Uncertainty, ...] | None = None

    @property
    def doubts(self) -> tuple[Uncertainty, ...]:
        """Its doubts, for the part as it is, unscaled."""
        if self._doubts is None:
            self._doubts = tuple(self._make())
        return self._doubts


Parts = tuple[tuple[float, Source], ...]
"""What some macros are made of: how many times each source is in them; below zero where it is taken away."""


def shifts_of(parts: Parts) -> dict[str, dict[str, tuple[float, float, str]]]:
    """Of each nutrient, by key of the doubt: how far its low and its high end move the sum, and its words."""
    sums: dict[str, dict[str, tuple[float, float, str]]] = {n: {} for n in BOUNDED}
    for times, source in parts:
        for doubt in source.doubts:
            for nutrient, (low, high) in doubt.shifts.items():
                before = sums[nutrient].get(doubt.key, (0.0, 0.0, doubt.words))
                sums[nutrient][doubt.key] = (before[0] + low * times, before[1] + high * times, doubt.words)
    return sums


def combined(shifts: Iterable[tuple[str, float, float]]) -> tuple[float, float]:
    """How far down (0 or less) and up (0 or more) all doubts together move a figure: of each its key and its two shifts.

    >>> combined([("a", -3.0, 1.0), ("b", -4.0, 0.0), ("blank c", 0.0, 2.0)])
    (-5.0, 3.0)
    """
    squares: dict[int, float] = defaultdict(float)
    straight: dict[int, float] = defaultdict(float)
    for key, low, high in shifts:
        for sign, end in ((-1, min(low, high, 0.0)), (1, max(low, high, 0.0))):
            if key.startswith(BLANK):
                straight[sign] += abs(end)
            else:
                squares[sign] += end * end
    return -(math.sqrt(squares[-1]) + straight[-1]), math.sqrt(squares[1]) + straight[1]


def intervals(known: Callable[[str], float], parts: Parts) -> dict[str, tuple[float, float]]:
    """Low and high of each of BOUNDED, in its unit: round ``known``, which gives what is known of a nutrient. Nothing that is
    eaten is below zero, and carbohydrate is no less than its fibre or its net carbs."""
    found = {}
    for nutrient, shifts in shifts_of(parts).items():
        down, up = combined((key, low, high) for key, (low, high, _) in shifts.items())
        figure = known(nutrient)
        found[nutrient] = (max(figure + down, min(figure, 0.0)), figure + up)
    most = found["carbohydrate_g"][1]
    for part in ("fibre_g", "net_carbs_g"):
        low, high = found[part]
        found[part] = (low, max(min(high, most), known(part)))
    return found


def worth_saying(figure: float, low: float, high: float) -> bool:
    """Whether the interval is wide enough to be told."""
    return high - low > max(SEEN_SHARE * abs(figure), SEEN)
