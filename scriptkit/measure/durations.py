"""Durations as cooks write them, held as whole milliseconds."""

from __future__ import annotations

import functools
import re
from fractions import Fraction

from scriptkit.measure.numbers import NUMBER, NotANumber, split_number

_UNIT_MS = {"ms": 1, "s": 1_000, "min": 60_000, "h": 3_600_000, "day": 86_400_000}
_WORDS = {
    "ms": "ms", "s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
    "min": "min", "mins": "min", "minute": "min", "minutes": "min", "m": "min",
    "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h", "d": "day", "day": "day", "days": "day",
}  # fmt: skip
_PART = re.compile(rf"({NUMBER})\s*([a-z]+)\.?,?\s*(?:and\s+)?")
LONGEST_MS = 30 * _UNIT_MS["day"]


class NotADuration(ValueError):
    """A duration that cannot be understood; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@functools.lru_cache(maxsize=512)
def parse_duration(text: str) -> int:
    """Milliseconds of ``12 s``, ``7 min``, ``1 h 30 min``, ``1 1/2 min``. Rounds to the nearest millisecond.

    >>> parse_duration("1 h 30 min")
    5400000

    Raises NotADuration for a bare number, a clock face such as ``1:30``, a range, an unknown unit, or over 30 days.
    """
    text = text.strip()
    lowered = text.casefold()
    if re.fullmatch(r"\d+:\d\d(:\d\d)?", lowered):
        raise NotADuration(f"“{text}” could be minutes or hours", f"write it out: {_written_out(lowered)}")
    _, rest = _number(lowered)
    if not rest:
        raise NotADuration(f"“{text}” has no unit", f"write `{text} s` or `{text} min`")
    total, end = Fraction(0), 0
    while end < len(lowered):
        found = _PART.match(lowered, end)
        if not found or found.group(2) not in _WORDS:
            word = found.group(2) if found else lowered[end:]
            raise NotADuration(f"“{word}” in “{text}” is not a unit of time", "use s, min or h, such as 1 h 30 min")
        value, _ = _number(found.group(1))
        total += value * _UNIT_MS[_WORDS[found.group(2)]]
        end = found.end()
    if total > LONGEST_MS:
        raise NotADuration(f"“{text}” is longer than 30 days", "check the unit")
    return round(total)


def _number(text: str) -> tuple[Fraction, str]:
    try:
        return split_number(text)
    except NotANumber as wrong:
        raise NotADuration(str(wrong), _instead(text, wrong.hint)) from None


def _written_out(clock: str) -> str:
    """``` `1 min 30 s` or `1 h 30 min` ```."""
    parts = [int(part) for part in clock.split(":")]
    names = [("h", "min", "s")] if len(parts) == 3 else [("min", "s"), ("h", "min")]
    ways = [" ".join(f"{n} {unit}" for n, unit in zip(parts, units, strict=True) if n) for units in names]
    return " or ".join(f"`{way}`" for way in ways if way) or "such as `1 min 30 s`"


def _instead(text: str, hint: str) -> str:
    """What to write for a text that does not begin with one number."""
    hours = re.fullmatch(
        r"(?:half|1/2) an hour|(?:an|one) hour|(?:three quarters of|3/4 of) an hour|(?:a )?quarter of an hour", text
    )
    if hours:
        return f"write `{'30 min' if text.startswith(('half', '1/2')) else '45 min' if text.startswith('t') else '15 min' if 'quarter' in text else '1 h'}`"
    if re.match(r"until\b|till\b", text):
        return "say until when in `do:`, and write here about how long that takes, such as `7 min`"
    if overnight := {"overnight": "12 h", "a minute": "1 min", "a few minutes": "3 min", "a day": "1 day"}.get(text):
        return f"write `{overnight}`"
    return hint if hint.startswith(("write `", "write the one")) else "write one duration, such as 7 min or 12 s"


def format_duration(ms: int) -> str:
    """``45 s``, ``7 min``, ``1 h 30 min``, ``2 min 30 s``; tenths of a second only under a minute.

    >>> format_duration(5_400_000), format_duration(2_500)
    ('1 h 30 min', '2.5 s')
    """
    if ms < 60_000:
        seconds = f"{ms / 1000:.1f}".removesuffix(".0")
        return f"{seconds} s"
    seconds_left = round(ms / 1000)
    hours, rest = divmod(seconds_left, 3600)
    minutes, seconds_left = divmod(rest, 60)
    parts = [(hours, "h"), (minutes, "min"), (seconds_left if not hours else 0, "s")]
    return " ".join(f"{n} {unit}" for n, unit in parts if n)


def parse_moment(text: str) -> int | None:
    """Milliseconds of a moment in the cut, ``2:05``, ``1:02:05`` or ``2:05.5``; None where it is none.

    >>> parse_moment("2:05"), parse_moment("1:02:05.5"), parse_moment("2:75")
    (125000, 3725500, None)
    """
    found = re.fullmatch(r"(?:(\d{1,3}):)?(\d{1,3}):([0-5]\d)(?:\.(\d{1,3}))?", text.strip(), re.ASCII)
    if found is None or (found.group(1) is not None and int(found.group(2)) > 59):
        return None
    hours, minutes, seconds, part = found.groups()
    return ((int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int((part or "0").ljust(3, "0"))


def format_clock(ms: int) -> str:
    """A moment in the cut as ``m:ss`` or ``h:mm:ss``, whole seconds, rounded down so that it never points past it."""
    seconds = ms // 1000
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
