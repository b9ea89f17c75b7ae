"""Time code: frames, labels and milliseconds at the frame rates of cameras and editors.

NTSC rates are exact fractions (30000/1001). Drop-frame leaves out labels, not frames: ;00 and ;01 at the start of every
minute not divisible by ten (SMPTE ST 12-1); at 59.94, the first four.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.problems import CannotDo, Place, error, nearest

_NTSC = Fraction(1000, 1001)


@dataclass(frozen=True, slots=True)
class FrameRate:
    """``exact`` frames a second; labels count ``nominal`` frames to a second, less ``dropped`` labels a minute."""

    name: str
    exact: Fraction
    nominal: int
    dropped: int = 0

    @property
    def frames_a_minute(self) -> int:
        """Frames that carry the labels of a minute that drops."""
        return self.nominal * 60 - self.dropped

    @property
    def frames_ten_minutes(self) -> int:
        """Frames that carry the labels of ten minutes, of which nine drop (SMPTE ST 12-1)."""
        return self.nominal * 600 - 9 * self.dropped


RATES = {
    rate.name: rate
    for rate in (
        FrameRate("23.976", 24 * _NTSC, 24),
        FrameRate("24", Fraction(24), 24),
        FrameRate("25", Fraction(25), 25),
        FrameRate("29.97", 30 * _NTSC, 30),
        FrameRate("29.97 drop", 30 * _NTSC, 30, 2),
        FrameRate("30", Fraction(30), 30),
        FrameRate("50", Fraction(50), 50),
        FrameRate("59.94", 60 * _NTSC, 60),
        FrameRate("59.94 drop", 60 * _NTSC, 60, 4),
        FrameRate("60", Fraction(60), 60),
    )
}
"""Frame rates by the names that a file may write."""

_LABEL = re.compile(r"^(\d{1,3}):([0-5]\d):([0-5]\d)([:;.])(\d{2,3})$")


class NotATimecode(ValueError):
    """A label that does not exist at this rate; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


SLOWEST, FASTEST = 10, 120
"""Frames a second that a film may have."""
_NUMBER = re.compile(r"\d{1,6}(?:\.\d{1,6})?(?:/\d{1,6})?\Z")


def rate_named(name: str) -> FrameRate | None:
    """The frame rate of this name, or of so many frames a second from 10 to 120: a number or a fraction; None for none. Raises
    CannotDo for anything else.

    >>> [str(rate.exact) for name in ("12.5", "30000/1001", "47.952", "120") if (rate := rate_named(name))]
    ['25/2', '30000/1001', '48000/1001', '120']
    """
    if not name:
        return None
    if name in RATES:
        return RATES[name]
    exact = _exact(name.strip())
    if exact is None:
        meant = [] if _NUMBER.match(name.strip()) else nearest(name, RATES, most=1)
        hint = (
            f"did you mean {meant[0]}?"
            if meant
            else f"one of {', '.join(RATES)}, or a number from {SLOWEST} to {FASTEST}"
        )
        raise CannotDo([error(Place("--fps"), "option", f"“{name}” is not a frame rate", hint)])
    known = next((rate for rate in RATES.values() if rate.exact == exact), None)
    return known or FrameRate(name.strip(), exact, math.ceil(exact))


def _exact(name: str) -> Fraction | None:
    """The rate that is written, with a decimal near one of NTSC's (23.98, 119.88) for that one; None where there is none."""
    if not _NUMBER.match(name):
        return None
    over, _, under = name.partition("/")
    if under and not int(under):
        return None
    exact = Fraction(over) / (int(under) if under else 1)
    if not SLOWEST <= exact <= FASTEST:
        return None
    near = round(exact / _NTSC) * _NTSC
    return near if "." in name and exact.denominator > 2 and abs(exact - near) < Fraction(1, 100) else exact


def frames_of(label: str, rate: FrameRate) -> int:
    """The frame, from 0, that carries the label ``HH:MM:SS:FF`` (a ``;`` before the frames is drop-frame's own).

    >>> frames_of("00:01:00;02", RATES["29.97 drop"])
    1800

    Raises NotATimecode for a label of another shape, frames past the rate, or a label that drop-frame leaves out.
    """
    found = _LABEL.match(label.strip())
    if not found:
        raise NotATimecode(f"“{label}” is not time code", "write hours:minutes:seconds:frames, such as 01:00:00:00")
    hours, minutes, seconds, frames = (int(found.group(n)) for n in (1, 2, 3, 5))
    if frames >= rate.nominal:
        raise NotATimecode(
            f"“{label}”: at {rate.name} frames/s, frames run from 00 to {rate.nominal - 1}", "check the frame rate"
        )
    if frames < rate.dropped and seconds == 0 and minutes % 10:
        first = f"{hours:02d}:{minutes:02d}:00;{rate.dropped:02d}"
        raise NotATimecode(f"“{label}” does not exist in drop-frame", f"the first label of this minute is {first}")
    whole_minutes = hours * 60 + minutes
    skipped = rate.dropped * (whole_minutes - whole_minutes // 10)
    return (whole_minutes * 60 + seconds) * rate.nominal + frames - skipped


def label_of(frames: int, rate: FrameRate) -> str:
    """The label of a frame, from 0: ``00:01:00;02``. Raises ValueError below 0.

    >>> label_of(17982, RATES["29.97 drop"]), label_of(90000, RATES["25"])
    ('00:10:00;00', '01:00:00:00')
    """
    if frames < 0:
        raise ValueError("time code does not go below zero")
    tens, rest = divmod(frames, rate.frames_ten_minutes)
    # the first minute of ten keeps all its labels
    minutes_dropping = max(0, rest - rate.dropped) // rate.frames_a_minute
    labels = frames + rate.dropped * (9 * tens + minutes_dropping)
    seconds, frame = divmod(labels, rate.nominal)
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    mark = ";" if rate.dropped else ":"
    return f"{hours:02d}:{minute:02d}:{second:02d}{mark}{frame:0{max(2, len(str(rate.nominal - 1)))}d}"


def frames_to_ms(frames: int, rate: FrameRate) -> int:
    """When the frame begins, to the nearest millisecond."""
    over = rate.exact.numerator
    return (2 * 1000 * frames * rate.exact.denominator + over) // (2 * over)


def ms_to_frames(ms: int, rate: FrameRate) -> int:
    """The frame nearest to the moment; the inverse of :func:`frames_to_ms`."""
    under = 1000 * rate.exact.denominator
    return (2 * ms * rate.exact.numerator + under) // (2 * under)
