"""``--clip-shift``: how much is added to the times of a camera."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.measure.durations import parse_moment
from scriptkit.problems import CannotDo, Place, any_of, error, printable

_PLACE = Place("--clip-shift")


def clip_shifts(text: str, cameras: Sequence[str]) -> dict[str, int]:
    """Milliseconds to add, by camera; under the empty name, for all cameras.

    >>> clip_shifts("7:12", ["A", "B"]), clip_shifts("A=-0:30, B=1:00:00", ["A", "B"])
    ({'': 432000}, {'A': -30000, 'B': 3600000})

    Raises CannotDo with everything in it that is no shift, or names no camera.
    """
    found: dict[str, int] = {}
    problems = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, equals, shift = part.rpartition("=")
        shift = shift.strip()
        ms = parse_moment(shift.lstrip("+-"))
        known = next((camera for camera in cameras if camera.casefold() == name.strip().casefold()), None)
        if ms is None:
            hint = "write minutes:seconds, such as 7:12; -7:12 where the camera's clock is ahead"
            problems.append(error(_PLACE, "option", f"“{printable(part)}” is no shift of a clock", hint))
        elif equals and known is None:
            hint = f"there is {any_of(list(cameras))}" if any(cameras) else "write the shift alone"
            problems.append(error(_PLACE, "option", f"there is no camera “{printable(name.strip())}”", hint))
        else:
            found[known or "" if equals else ""] = -ms if shift.startswith("-") else ms
    if problems:
        raise CannotDo(problems)
    return found
