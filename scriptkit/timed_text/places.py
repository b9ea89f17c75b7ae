"""Where on the picture a cue stands: the foot, over the foot, the middle, the top; one table for every format.

All inside the title safe area, 90 % of width and height (SMPTE ST 2046-1:2009); on vertical video clear of its lower fifth, where
players draw their own controls (common practice, no source)."""

from __future__ import annotations

from scriptkit.timed_text.cue import Cue

LOWER, RAISED, CENTRAL, MIDDLE, UPPER = "lower", "raised", "central", "middle", "upper"

PLACE_OF = {
    "addition": LOWER,
    "time": LOWER,
    "sound": LOWER,
    "safety": UPPER,
    "macros": MIDDLE,
    "dialogue": LOWER,
    "dialogue raised": RAISED,
    "dialogue central": CENTRAL,
    "dialogue upper": UPPER,
}
"""A track's place."""

WIDE = 16 / 9
"""Width ÷ height of a picture where nothing is said."""
_TYPE = 5.34
"""Size of type in browsers, in percent of the picture's shorter side (WebVTT 7.4, `5vh` and more)."""
_LINE = 1.2
"""Height of a line, in sizes of its type."""
_FOOT = {LOWER: 95.0, RAISED: 75.0, MIDDLE: 81.0, CENTRAL: 61.0}
"""Where the last line ends, in percent of the picture. Raised is above three lines at the foot, central above two in the middle."""
_VERTICAL_FOOT = {LOWER: 80.0, RAISED: 68.0, MIDDLE: 72.0, CENTRAL: 58.0}
"""The same of a picture that is higher than wide."""
_TOP = 8


def line_percent(shape: float = WIDE) -> float:
    """Height of a line in browsers, in percent of the height of a picture of this width ÷ height."""
    return _TYPE * _LINE * min(shape, 1.0)


def foot_percent(place: str, shape: float = WIDE) -> float:
    """Where the last line ends that stands at the place, in percent of the picture's height; the upper place has no foot."""
    return (_VERTICAL_FOOT if shape < 1 else _FOOT)[place]


def top_percent(place: str, lines: int, shape: float = WIDE) -> int:
    """Where the first of so many lines begins, in percent of the picture's height.

    >>> top_percent(LOWER, 2), top_percent(RAISED, 2), top_percent(UPPER, 1), top_percent(LOWER, 2, 9 / 16)
    (82, 62, 8, 72)
    """
    return _TOP if place == UPPER else int(foot_percent(place, shape) - line_percent(shape) * max(lines, 1))


def span_percent(place: str, lines: int, shape: float = WIDE) -> tuple[float, float]:
    """From where to where so many lines stand, in percent of the picture's height."""
    top = top_percent(place, lines, shape)
    return top, top + line_percent(shape) * max(lines, 1)


def place_of(cue: Cue) -> str:
    """Lower, raised, central, middle or upper, by its track; lower where its track has none."""
    return PLACE_OF.get(cue.track, LOWER)
