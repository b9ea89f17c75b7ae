"""A figure of talk: its value, what it counts, and how exactly it is said."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

MS, DEGREE, CELSIUS, FAHRENHEIT, PERCENT, KCAL, MILLIMETRE, TO_ONE = (
    "ms", "degree", "celsius", "fahrenheit", "percent", "kcal", "millimetre", "to one",
)  # fmt: skip
"""Units that are none of units.txt. ``degree``: of a scale that nobody names; ``to one``: the first figure of a ratio."""

TIMES = {"s": 1_000, "m": 60_000, "h": 3_600_000}
"""Milliseconds of a second, a minute and an hour."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """From ``low`` to ``high``, which are alike where it is no range. ``unit`` is a name of units.txt, one of those above,
    or empty. ``grain``: the place that it is rounded to (1, 1/10 …); ``about``: not said as exact; ``idle``: *a minute*, which
    is often said of no time at all; ``of_a_thing``: *a two-litre pot*;
    ``bound``: ``most`` of *less than*, ``least`` of *at least*. ``start`` and ``end`` are places in the text."""

    low: Fraction
    high: Fraction
    unit: str
    grain: Fraction
    about: bool
    start: int
    end: int
    idle: bool = False
    of_a_thing: bool = False
    bound: str = ""

    @property
    def is_range(self) -> bool:
        """``6 to 7 minutes``."""
        return self.low != self.high
