"""Where on the picture a cue stands: the foot, over the foot, the middle, the top; one table for every format.

All inside the title safe area, 90 % of width and height (SMPTE ST 2046-1:2009)."""

from __future__ import annotations

from scriptkit.timed_text.cue import Cue

LOWER, RAISED, MIDDLE, UPPER = "lower", "raised", "middle", "upper"

PLACE_OF = {
    "addition": LOWER,
    "time": LOWER,
    "sound": LOWER,
    "safety": UPPER,
    "macros": MIDDLE,
    "dialogue": LOWER,
    "dialogue raised": RAISED,
    "dialogue upper": UPPER,
}
"""A track's place."""

_LINE = 6.4
"""Height of a line in percent of the picture, in browsers: type of 5.33 % (WebVTT 7.4, `5vh` and more), line height 1.2."""
_FOOT = {LOWER: 95.0, RAISED: 75.0, MIDDLE: 81.0}
"""Where the last line ends, in percent of the picture. Raised is above three lines at the foot."""
_TOP = 8


def top_percent(place: str, lines: int) -> int:
    """Where the first of so many lines begins, in percent of the picture's height.

    >>> top_percent(LOWER, 2), top_percent(RAISED, 2), top_percent(UPPER, 1)
    (82, 62, 8)
    """
    return _TOP if place == UPPER else int(_FOOT[place] - _LINE * max(lines, 1))


def place_of(cue: Cue) -> str:
    """Lower, raised, middle or upper, by its track; lower where its track has none."""
    return PLACE_OF.get(cue.track, LOWER)
