"""Read any caption file (SubRip, WebVTT, TTML, ASS): leniently where that is safe, with a problem for every repair, and every cue's line kept."""

from __future__ import annotations

import functools
import gc
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from scriptkit.problems import Place, Problem, error, warning
from scriptkit.timed_text.around_cues import before_first, head_of, note_of, signature, subrip_text, title_of
from scriptkit.timed_text.mending import fix_command, shift_command
from scriptkit.timed_text.webvtt import signed_clock

if TYPE_CHECKING:
    from scriptkit.timed_text.placed_source import PlacedSource


@dataclass(frozen=True, slots=True)
class ReadCue:
    """A cue as it stands in a file; ``line`` is that of its times, from 1. ``text`` keeps its markup and line ends, and blank lines
    before its end, so that each of its lines stands as far below ``line`` as in the file."""

    start_ms: int
    end_ms: int
    text: str
    line: int
    name: str = ""
    settings: str = ""
    note: str = ""
    """A WebVTT file's NOTE blocks before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaptionFile:
    """``kind`` is srt, vtt, ttml or ass. ``head`` holds a WebVTT file's blocks before the first cue (STYLE, REGION, NOTE)."""

    file: str
    kind: str
    cues: tuple[ReadCue, ...]
    repairs: tuple[Problem, ...]
    head: tuple[str, ...] = ()
    crlf: bool = False
    bom: bool = False
    title: str = ""
    """The words after WEBVTT, and the header right under it."""
    tail: str = ""
    """A WebVTT file's NOTE blocks after the last cue."""
    source: PlacedSource | None = field(default=None, compare=False)
    """Of TTML and ASS: the file itself, which is changed in its places. There a cue's ``name`` finds it, its ``settings`` are the
    place where it stands on the picture, and its text is written with references and codes in braces."""

    @property
    def grain_ms(self) -> int:
        """How finely the file says a time."""
        return 10 if self.kind == "ass" else 1


_STRICT = {
    "srt": re.compile(r"(\d\d):([0-5]\d):([0-5]\d),(\d{3}) --> (\d\d):([0-5]\d):([0-5]\d),(\d{3})(?:[ \t]+(.*))?"),
    "vtt": re.compile(
        r"(?:(\d{2,6}):)?([0-5]\d):([0-5]\d)\.(\d{3})[ \t]+-->[ \t]+(?:(\d{2,6}):)?([0-5]\d):([0-5]\d)\.(\d{3})(?:[ \t]+(.*))?"
    ),
}
"""A line of times as the format says: SubRip (Matroska codec page), WebVTT (W3C), which bounds no hours; more than a century is
no time of a video."""
# Hours may be left out in WebVTT; files in the wild mix commas and points, and write one or two figures.
_TIME = r"(?:(\d{1,4}):)?(\d{1,3}):(\d{1,2})(?:[,.](\d{1,3}))?"
_TIMES = re.compile(rf"^\s*(-?){_TIME}\s*-{{1,3}}>\s*(-?){_TIME}[ \t]*(.*)$")
_ANY_TIMES = re.compile(r"\d[^\S\n]*-{1,3}>|-->[^\S\n]*\d")
"""A line that means to be one of times, though it may be broken."""
_NUMBER = re.compile(r"^\s*\d+\s*$")


def _uncollected(parse: Callable[..., CaptionFile]) -> Callable[..., CaptionFile]:
    """Without the collector of cycles: cues have none, and to look for them among a hundred thousand cues takes longer the more
    there are."""

    @functools.wraps(parse)
    def paused(*arguments: Any, **named: Any) -> CaptionFile:
        was_on = gc.isenabled()
        gc.disable()
        try:
            return parse(*arguments, **named)
        finally:
            if was_on:
                gc.enable()

    return paused


@_uncollected
def parse_captions(text: str, file: str, repairs: Sequence[Problem] = ()) -> CaptionFile:
    """Cues in the file's order, of ASS and TTML by their starts. What is no cue and no part of one is a problem, never dropped in silence.
    Raises CannotDo for TTML that is no well-formed XML."""
    if text[:4096].lstrip("\ufeff \t\r\n")[:1] in {"<", "[", ";"}:
        other = _of_another_kind(text.lstrip("\ufeff"), file, repairs)
        if other is not None:
            return other
    return _subrip_or_webvtt(text, file, repairs)


def _subrip_or_webvtt(text: str, file: str, repairs: Sequence[Problem]) -> CaptionFile:
    bom, crlf = text.startswith("\ufeff"), "\r\n" in text[:4096]
    text = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    told = list(repairs)
    kind = "vtt" if text.startswith("WEBVTT") else "srt"
    strict = _STRICT[kind].fullmatch
    cues: list[ReadCue] = []
    odd: list[tuple[int, str, _Times]] = []
    number, counted = 1, 0  # the line at the character `counted`
    shown_to = 0  # where the text of the cue before ends
    late: list[str] = []
    marks = _marks(text, kind)
    first = here = next(marks, None)
    while here is not None:
        after = next(marks, None)
        number += text.count("\n", counted, here.start)
        counted = here.start
        line = text[here.start : here.end]
        times = _Times.strictly(strict(line)) or _Times.leniently(_TIMES.match(line))
        if times is None:
            told.append(_broken(line, Place(file, number), kind))
            here = after
            continue
        if times.odd and times.start_ms >= 0 <= times.end_ms:  # below zero nothing is written rightly: told by itself
            odd.append((number, line, times))
        note = ""
        if kind == "vtt" and cues and not text[shown_to : here.begins].isspace():
            note = note_of(
                text[shown_to : here.begins], number - text.count("\n", shown_to, here.start), file, told, late
            )
        body = text[here.end + 1 : len(text) if after is None else after.begins]
        if kind == "vtt":
            body = _until_empty(body)
            shown_to = here.end + 1 + len(body)
        name = text[here.begins : here.start].strip() if kind == "vtt" and here.begins < here.start else ""
        shown = body.rstrip("\n") if kind == "vtt" else _without_blank_end(body)
        placed = times.settings
        if kind == "srt":
            placed, shown = subrip_text(placed, shown, number, file, told)
        cues.append(ReadCue(times.start_ms, times.end_ms, shown, number, name, placed, note))
        here = after
    tail = ""
    if kind == "vtt" and cues and (rest := text[shown_to:]).strip():
        tail = note_of(rest, text.count("\n", 0, shown_to) + 1, file, told, late)
    told += [*_odd_times(odd, kind, file), *_below_zero(cues, file)]
    before = text[: first.begins] if first else text
    if kind == "vtt":
        told += signature(before.split("\n"), file)
    elif first:
        told += before_first(before, file)
    return CaptionFile(
        file=file,
        kind=kind,
        cues=tuple(cues),
        repairs=tuple(told),
        head=(*head_of(before), *late) if kind == "vtt" else (),
        crlf=crlf,
        bom=bom,
        title=title_of(before) if kind == "vtt" else "",
        tail=tail,
    )


def _of_another_kind(text: str, file: str, repairs: Sequence[Problem]) -> CaptionFile | None:
    """TTML or ASS, where it is one of them."""
    from scriptkit.timed_text.ass_source import looks_like_ass, parse_ass  # they are built on this module's cues
    from scriptkit.timed_text.ttml_source import looks_like_ttml, parse_ttml

    if looks_like_ttml(text):
        return parse_ttml(text, file, repairs)
    return parse_ass(text, file, repairs) if looks_like_ass(text) else None


class _Mark(NamedTuple):
    """A line that means to be one of times: from which to before which character, and where its cue begins, at the line over
    it if that is its number or name."""

    begins: int
    start: int
    end: int


def _marks(text: str, kind: str) -> Iterator[_Mark]:
    floor = 0  # the line after the mark before
    at = text.find("->")
    while at >= 0:
        start = text.rfind("\n", 0, at) + 1
        end = text.find("\n", at)
        end = len(text) if end < 0 else end
        if _ANY_TIMES.search(text, start, end):
            yield _Mark(_begins(text, start, floor, kind), start, end)
            floor = end + 1
        at = text.find("->", end)


def _begins(text: str, start: int, floor: int, kind: str) -> int:
    """Where a cue begins: at the line over its times, where that is its number or, in WebVTT, its name; else at its times."""
    if start <= floor:
        return start
    above = text.rfind("\n", 0, start - 1) + 1
    line = text[above : start - 1]
    if above < floor or not line.strip() or (above == 0 and kind == "vtt"):
        return start
    if _NUMBER.match(line):
        return above
    over = text[text.rfind("\n", 0, max(above - 1, 0)) + 1 : max(above - 1, 0)]
    if floor == 0:
        over = over.strip()  # there is no cue yet, whose text would go on under a line of spaces
    return above if kind == "vtt" and above > floor and not over else start


class _Times(NamedTuple):
    start_ms: int
    end_ms: int
    settings: str
    odd: bool
    """Not written as the format says."""

    @classmethod
    def strictly(cls, found: re.Match[str] | None) -> _Times | None:
        if found is None:
            return None
        h, m, s, ms, h2, m2, s2, ms2, settings = found.groups()
        start = ((int(h or 0) * 60 + int(m)) * 60 + int(s)) * 1000 + int(ms)
        end = ((int(h2 or 0) * 60 + int(m2)) * 60 + int(s2)) * 1000 + int(ms2)
        return cls(start, end, settings.strip() if settings else "", False)

    @classmethod
    def leniently(cls, found: re.Match[str] | None) -> _Times | None:
        return None if found is None else cls(_ms(found, 1), _ms(found, 6), found.group(11).strip(), True)


def _odd_times(odd: Sequence[tuple[int, str, _Times]], kind: str, file: str) -> list[Problem]:
    """Times that are not written as the format says, told once."""
    if not odd:
        return []
    number, line, times = odd[0]
    shown = " ".join(line.split())[:60]
    others = f", and {len(odd) - 1} more" if len(odd) > 1 else ""
    usual = " --> ".join(signed_clock(ms, kind) for ms in (times.start_ms, times.end_ms))
    message = f"“{shown}” is not how times are written{others}; read as it was meant"
    return [warning(Place(file, number), "odd-time", message, f"write {usual}: `{fix_command(file)}` does")]


def _below_zero(cues: Sequence[ReadCue], file: str) -> list[Problem]:
    """Cues with a time before the picture begins; the earliest says by how much all of them must be later."""
    early = [c for c in cues if c.start_ms < 0 or c.end_ms < 0]
    if not early:
        return []
    later_s = -(min(min(c.start_ms, c.end_ms) for c in early) // 1000)
    hint = f"make all cues later, `{shift_command(file, later_s)}`, or delete this one"
    return [error(Place(file, c.line), "negative-time", "a time is below zero", hint) for c in early]


def _until_empty(body: str) -> str:
    """Of what follows a cue's times in WebVTT, its text: an empty line ends it, and a line of spaces does not (W3C, WebVTT cue
    text block)."""
    if body.startswith("\n"):
        return ""
    empty = body.find("\n\n")
    return body if empty < 0 else body[: empty + 1]


def _without_blank_end(body: str) -> str:
    """Of what follows a cue's times in SubRip, its text: players show all up to the next cue, blank lines or not; those at the
    end, empty or of spaces, only part it from that cue."""
    end = body.find("\n", len(body.rstrip()))
    return body if end < 0 else body[:end]


def _ms(found: re.Match[str], group: int) -> int:
    hours, minutes, seconds, fraction = (found.group(group + n) or "0" for n in (1, 2, 3, 4))
    ms = ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(fraction.ljust(3, "0"))
    return -ms if found.group(group) else ms


def _broken(line: str, place: Place, kind: str) -> Problem:
    shown = " ".join(line.split())[:60]
    usual = " --> ".join(signed_clock(ms, kind) for ms in (1_000, 3_000))
    return error(place, "broken-time", f"“{shown}” is not a line of times", f"write its start and end, such as {usual}")
