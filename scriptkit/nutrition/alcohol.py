"""Alcohol left after simmering."""

from __future__ import annotations

# USDA Table of Nutrient Retention Factors, Release 6 (2007): alcohol stirred into a mixture, then baked or simmered.
_LEFT_AFTER_MIN = ((150, 0.05), (120, 0.10), (90, 0.20), (60, 0.25), (30, 0.35), (15, 0.40))
SHORTEST_MIN = _LEFT_AFTER_MIN[-1][0]
KCAL_PER_G = 6.93
"""Energy of alcohol in USDA SR28's own figures."""


def share_left(simmered_min: float) -> float:
    """The share of alcohol, 0 to 1, left after so many minutes of simmering: the factor of the longest published time that
    has passed; all of it before the first, for no factor is published for less.

    >>> share_left(10), share_left(15), share_left(45), share_left(200)
    (1.0, 0.4, 0.35, 0.05)
    """
    return next((share for minutes, share in _LEFT_AFTER_MIN if simmered_min >= minutes), 1.0)
