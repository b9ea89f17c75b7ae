"""A line of times of SubRip or WebVTT: as the format says, as people and programs write it, and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from scriptkit.problems import Place, Problem, error, warning
from scriptkit.timed_text.mending import fix_command, shift_command
from scriptkit.timed_text.webvtt import signed_clock

if TYPE_CHECKING:
    from scriptkit.timed_text.reading import ReadCue

REVERSED = "reversed"
"""Code of a cue that ends as it begins or before it, and of one that has only a start."""

_STRICT = {
    "srt": re.compile(r"(\d\d):([0-5]\d):([0-5]\d),(\d{3}) --> (\d\d):([0-5]\d):([0-5]\d),(\d{3})(?:[ \t]+(.*))?"),
    "vtt": re.compile(
        r"(?:(\d{2,6}):)?([0-5]\d):([0-5]\d)\.(\d{3})[ \t]+-->[ \t]+(?:(\d{2,6}):)?([0-5]\d):([0-5]\d)\.(\d{3})(?:[ \t]+(.*))?"
    ),
}
"""As the format says: SubRip (Matroska codec page), WebVTT (W3C), which bounds no hours; more than a century is no time of a video."""
# Hours may be left out in WebVTT; files in the wild mix commas and points, write one or two figures, and put spaces between them. A colon
# before three figures is a slip for a comma, before two it is time code: how long a frame is, nobody says.
_COLON, _POINT = r"[ \t]*:[ \t]*", r"(?:[ \t]*[,.][ \t]*(?=\d)|[ \t]*:[ \t]*(?=\d{3}(?!\d)))"
_TIME = rf"(?:(\d{{1,4}}){_COLON})?(\d{{1,3}}){_COLON}(\d{{1,2}})(?:{_POINT}(\d{{1,3}}))?"
_ARROW = r"-{1,3} ?-{0,2}>"
_TIMES = re.compile(rf"\s*(-?){_TIME}\s*{_ARROW}\s*(-?){_TIME}(?![\d:,.])[ \t]*(.*)")
_START = re.compile(rf"\s*(-?){_TIME}\s*(?:{_ARROW}\s*)?")
_FRAMES = re.compile(r"\s*(?:\d{1,2}:){3}\d{2}\s*-{1,3}>\s*(?:\d{1,2}:){3}\d{2}\s*")
_MOST = 59
_NEAR_MS = 600_000
_USUAL_MS, _LETTER_MS = 1_000, 70
"""How long a cue without an end may stand: so long a letter, a second at least (common sense, no source)."""


class CueTimes(NamedTuple):
    """From when to when, and what stands beside it."""

    start_ms: int
    end_ms: int
    settings: str = ""
    odd: bool = False
    """Not written as the format says."""
    open: bool = False
    """Without an end: it stands for the start."""
    past: bool = False
    """With minutes or seconds that no clock shows, as 0:75:01: they may be counted on, or a slip."""

    @classmethod
    def read(cls, line: str, kind: str) -> CueTimes | None:
        """The times of a line; None where they cannot be made out, or nobody knows what they count."""
        found = _STRICT[kind].fullmatch(line)
        if found is None:
            lenient = _TIMES.fullmatch(line)
            if lenient is None:
                return None
            past = any(_past_sixty(lenient, group) for group in (1, 6))
            return cls(_ms(lenient, 1), _ms(lenient, 6), lenient.group(11).strip(), True, past=past)
        h, m, s, ms, h2, m2, s2, ms2, settings = found.groups()
        start = ((int(h or 0) * 60 + int(m)) * 60 + int(s)) * 1000 + int(ms)
        end = ((int(h2 or 0) * 60 + int(m2)) * 60 + int(s2)) * 1000 + int(ms2)
        return cls(start, end, settings.strip() if settings else "")

    @classmethod
    def without_end(cls, line: str) -> CueTimes | None:
        """The start of a line that has only one, with milliseconds or hours: *12:30* may be words."""
        found = _START.fullmatch(line)
        if found is None or not (found.group(2) or found.group(5)):
            return None
        start = _ms(found, 1)
        return cls(start, start, open=True)


def _ms(found: re.Match[str], group: int) -> int:
    hours, minutes, seconds, fraction = (found.group(group + n) or "0" for n in (1, 2, 3, 4))
    ms = ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(fraction.ljust(3, "0"))
    return -ms if found.group(group) else ms


def _past_sixty(found: re.Match[str], group: int) -> bool:
    """75 minutes alone are counted on; beside hours, as any seconds over 59, they may be a slip."""
    hours, minutes, seconds = (found.group(group + n) for n in (1, 2, 3))
    return int(seconds) > _MOST or (hours is not None and int(minutes) > _MOST)


def counted_on(n: int, cues: Sequence[ReadCue]) -> bool:
    """Whether times past sixty are surely counted on: the cue then stands in order beside its neighbours, and near one of them."""
    cue = cues[n]
    before, after = cues[n - 1] if n else None, cues[n + 1] if n + 1 < len(cues) else None
    if (
        (before and before.start_ms > cue.start_ms)
        or (after and after.start_ms < cue.start_ms)
        or cue.end_ms < cue.start_ms
    ):
        return False
    near = [cue.start_ms - before.start_ms] if before else []
    near += [after.start_ms - cue.start_ms] if after else []
    return bool(near) and min(near) <= _NEAR_MS


def odd_times(odd: Sequence[tuple[int, str, CueTimes]], kind: str, file: str) -> list[Problem]:
    """Times that are not written as the format says, told once."""
    if not odd:
        return []
    number, line, times = odd[0]
    others = f", and {len(odd) - 1} more" if len(odd) > 1 else ""
    message = f"“{_shown(line)}” is not how times are written{others}; read as it was meant"
    hint = f"write {_written(times.start_ms, times.end_ms, kind)}: `{fix_command(file)}` does"
    return [warning(Place(file, number), "odd-time", message, hint)]


def past_times(number: int, line: str, cue: ReadCue, kind: str, file: str) -> Problem:
    """Of times past sixty that may be a slip."""
    message = f"“{_shown(line)}”: minutes and seconds go to {_MOST}"
    hint = f"write {_written(cue.start_ms, cue.end_ms, kind)}, if that is when it is said; if not, correct the figure"
    if cue.end_ms < cue.start_ms:
        hint = "write when it is said, in figures from 00 to 59"
    return error(Place(file, number), "broken-time", message, hint)


def no_end(line: str, cue: ReadCue, after: ReadCue | None, kind: str, file: str) -> Problem:
    """Of a cue that has only a start: its end is not ours to guess."""
    end = cue.start_ms + max(_USUAL_MS, len(cue.text) * _LETTER_MS)
    if after and after.start_ms > cue.start_ms:
        end = min(end, after.start_ms)
    message = f"“{_shown(line)}” has a start and no end, so the cue lasts no time"
    return error(Place(file, cue.line), REVERSED, message, f"write {_written(cue.start_ms, end, kind)}")


def below_zero(cues: Sequence[ReadCue], file: str) -> list[Problem]:
    """Cues with a time before the picture begins; the earliest says by how much all of them must be later."""
    early = [c for c in cues if c.start_ms < 0 or c.end_ms < 0]
    if not early:
        return []
    later_s = -(min(min(c.start_ms, c.end_ms) for c in early) // 1000)
    hint = f"make all cues later, `{shift_command(file, later_s)}`, or delete this one"
    return [error(Place(file, c.line), "negative-time", "a time is below zero", hint) for c in early]


def broken(line: str, place: Place, kind: str) -> Problem:
    """Of a line that means to be one of times, and is none."""
    if found := _FRAMES.fullmatch(line):
        start, end = (_in_frames(label) for label in re.split(r"\s*-{1,3}>\s*", found.group().strip()))
        message = f"“{_shown(line)}” counts frames, and {'WebVTT' if kind == 'vtt' else 'SubRip'} has milliseconds"
        hint = f"write {_written(start, end, kind)} at 25 frames a second; at other rates, a frame is 1000 ÷ the rate"
        return error(place, "broken-time", message, hint)
    usual = _written(1_000, 3_000, kind)
    return error(
        place, "broken-time", f"“{_shown(line)}” is not a line of times", f"write its start and end, such as {usual}"
    )


def _in_frames(label: str) -> int:
    hours, minutes, seconds, frames = (int(part) for part in label.split(":"))
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + frames * 40


def _shown(line: str) -> str:
    return " ".join(line.split())[:60]


def _written(start_ms: int, end_ms: int, kind: str) -> str:
    return " --> ".join(signed_clock(ms, kind) for ms in (start_ms, end_ms))
