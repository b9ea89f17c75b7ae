"""Limits that are kept for sure: by the end of the interval, and not by the best estimate alone.

The interval's end is a convex function of the portions (a root of squares of what is linear in them), so that where a plate breaks a
limit, the plane that touches the end there cuts that plate off and no plate that keeps the limit. Cut after cut, the solver finds the
nearest portions that keep it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from scriptkit.nutrition.intervals import BLANK, BOUNDED, Parts, shifts_of
from scriptkit.nutrition.macros import Macros

_EPSILON = 1e-7
NOTHING = (0.0, 0.0)


def end_of(plate: Macros, nutrient: str, *, at_most: bool) -> float | None:
    """The end of the plate's interval that a limit is held against: the high one of *at most*; None for what has no interval."""
    if nutrient not in BOUNDED:
        return None
    return plate.ranges[nutrient][1 if at_most else 0]


def surely_keeps(plate: Macros, nutrient: str, figure: float, *, at_most: bool) -> bool:
    """Whether the whole interval keeps the limit; of what has no interval, yes."""
    end = end_of(plate, nutrient, at_most=at_most)
    room = _EPSILON * max(1.0, abs(figure))
    return end is None or (end <= figure + room if at_most else end >= figure - room)


def slopes(
    parts: Sequence[Parts], grams: Sequence[float], extra: Parts, nutrient: str, *, at_most: bool
) -> tuple[list[float], float]:
    """How much further the end lies from the best estimate for a gram more of each part, near the plate of these ``grams``; and what
    ``extra``, of which the plate always has the same, adds. Both 0 or more, as the end lies up or down. Their sum over
    the plate is the distance itself."""
    per_gram = [_ends(of, nutrient) for of in parts]
    fixed = _ends(extra, nutrient)
    keys = dict.fromkeys(key for of in (*per_gram, fixed) for key in of)
    ends: dict[str, tuple[int, float]] = {}
    for key in keys:
        sums = [
            sum(g * of.get(key, NOTHING)[side] for g, of in zip(grams, per_gram, strict=True))
            + fixed.get(key, NOTHING)[side]
            for side in (0, 1)
        ]
        wanted = max(*sums, 0.0) if at_most else min(*sums, 0.0)
        if wanted:
            ends[key] = (sums.index(wanted), wanted)
    root = math.sqrt(sum(end * end for key, (_, end) in ends.items() if not key.startswith(BLANK)))
    weights = {
        key: (side, math.copysign(1.0, end) if key.startswith(BLANK) else end / root)
        for key, (side, end) in ends.items()
    }
    found = [
        sum(weight * of.get(key, NOTHING)[side] for key, (side, weight) in weights.items()) for of in (*per_gram, fixed)
    ]
    return found[:-1], found[-1]


def _ends(parts: Parts, nutrient: str) -> dict[str, tuple[float, float]]:
    return {key: (low, high) for key, (low, high, _) in shifts_of(parts)[nutrient].items()}
