"""Read any caption file (SubRip, WebVTT, TTML, ASS): leniently where that is safe, with a problem for every repair, and every cue's line kept."""

from __future__ import annotations

import functools
import gc
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from scriptkit.problems import Place, Problem
from scriptkit.timed_text.around_cues import before_first, head_of, in_no_cue, note_of, signature, subrip_text, title_of
from scriptkit.timed_text.cue_times import CueTimes, below_zero, broken, counted_on, no_end, odd_times, past_times

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


_ANY_TIMES = re.compile(r"\d[^\S\n]*-{1,3} ?-{0,2}>|-->[^\S\n]*\d")
"""A line that means to be one of times, though it may be broken."""
_BARE = re.compile(
    r"(?:\A\n*|\n[ \t]*\n)[ \t]*(?:\d{1,6}[ \t]*\n[ \t]*)?(?=\d)(?P<time>(?:\d{1,4}:)?\d{1,3}:\d\d[,.:]\d{3})[ \t]*\n[ \t]*\S"
)
"""A start without an arrow, over the words of a cue, with or without its number."""
_NUMBER = re.compile(r"^\s*\d+\s*$")
_CLOCK, _LINE = r"(\d\d):([0-5]\d):([0-5]\d),(\d{3})", r"[^\S\n]*\S[^\n]*"
_USUAL = re.compile(
    rf"\d{{1,6}}\n{_CLOCK} --> {_CLOCK}\n(?![ \t]*(?:\d{{1,6}}[ \t]*\n[ \t]*)?[\d:]+[,.:]\d{{3}})({_LINE}(?:\n{_LINE})*)\n\n"
    r"(?=\d{1,6}\n\d\d:[0-5]\d:[0-5]\d,\d{3} --> \d)"
)
"""A cue of SubRip as the format says, before another one: nearly all of them are so."""


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
    kind = "vtt" if text.startswith("WEBVTT") else "srt"
    read = _cues(text, file, kind, bare=False) or _cues(text, file, kind, bare=True) or _Read()
    cues, told = read.cues, [*repairs, *read.told]
    if read.odd:
        cues, problems = _as_meant(cues, read.odd, kind, file)
        told += problems
    told += below_zero(cues, file)
    if kind == "vtt":
        told += [*signature(read.before.split("\n"), file), *in_no_cue(read.before, file)]
    elif cues:
        told += before_first(read.before, file)
    return CaptionFile(
        file=file,
        kind=kind,
        cues=tuple(cues),
        repairs=tuple(told),
        head=(*head_of(read.before), *read.late) if kind == "vtt" else (),
        crlf=crlf,
        bom=bom,
        title=title_of(read.before) if kind == "vtt" else "",
        tail=read.tail,
    )


@dataclass(slots=True)
class _Read:
    """What stands in the text: ``before`` the first cue, the cues, ``odd`` lines of times with their numbers, blocks that came too late, and
    what stands after the last cue."""

    before: str = ""
    cues: list[ReadCue] = field(default_factory=list)
    odd: list[tuple[int, str, CueTimes]] = field(default_factory=list)
    told: list[Problem] = field(default_factory=list)
    late: list[str] = field(default_factory=list)
    tail: str = ""


def _cues(text: str, file: str, kind: str, *, bare: bool) -> _Read | None:
    """``bare``: whether a start without an arrow may begin a cue; if not, None where there is one."""
    read = _Read()
    number, counted = 1, 0  # the line at the character `counted`
    shown_to = 0  # where the text of the cue before ends
    marks = _marks(text, kind, bare=bare)
    here = next(marks, None)
    read.before = text[: here.begins] if here else text
    if not bare and _BARE.search(read.before):
        return None
    while here is not None:
        first = number + text.count("\n", counted, here.begins)
        usual = kind == "srt" and not bare
        to, last = _usual_cues(text, here.begins, first, read.cues) if usual else (0, 0)
        if to > here.begins:
            counted, number = to, last
            marks = _marks(text, kind, bare=bare, at=to)
            here = next(marks)  # the one that stands after the last of them
        after = next(marks, None)
        number += text.count("\n", counted, here.start)
        counted = here.start
        line = text[here.start : here.end]
        times = CueTimes.read(line, kind) or (CueTimes.without_end(line) if here.apart(text) else None)
        if times is None:
            read.told.append(broken(line, Place(file, number), kind))
            here = after
            continue
        if times.odd or times.open:
            read.odd.append((number, line, times))
        note = ""
        if kind == "vtt" and read.cues and not (between := text[shown_to : here.begins]).isspace():
            if not bare and _BARE.search(between):
                return None
            note = note_of(between, number - text.count("\n", shown_to, here.start), file, read.told, read.late)
        body = text[here.end + 1 : len(text) if after is None else after.begins]
        if kind == "vtt":
            body = _until_empty(body)
            shown_to = here.end + 1 + len(body)
        elif "\n\n" in body and not bare and _BARE.search(body):
            return None
        name = text[here.begins : here.start].strip() if kind == "vtt" and here.begins < here.start else ""
        shown = body.rstrip("\n") if kind == "vtt" else _without_blank_end(body)
        placed = times.settings
        if kind == "srt":
            placed, shown = subrip_text(placed, shown, number, file, read.told)
        read.cues.append(ReadCue(times.start_ms, times.end_ms, shown, number, name, placed, note))
        here = after
    if kind == "vtt" and read.cues and (rest := text[shown_to:]).strip():
        if not bare and _BARE.search(rest):
            return None
        read.tail = note_of(rest, text.count("\n", 0, shown_to) + 1, file, read.told, read.late)
    return read


def _usual_cues(text: str, at: int, line: int, cues: list[ReadCue]) -> tuple[int, int]:
    """Add the cues from the character ``at`` on, which is on this line, as long as each is written as usual; where they end, and
    on which line. They are read here as they are one by one, in a third of the time."""
    usual = _USUAL.match
    while found := usual(text, at):
        h, m, s, ms, h2, m2, s2, ms2, shown = found.groups()
        if "->" in shown:
            break
        start = ((int(h) * 60 + int(m)) * 60 + int(s)) * 1000 + int(ms)
        end = ((int(h2) * 60 + int(m2)) * 60 + int(s2)) * 1000 + int(ms2)
        cues.append(ReadCue(start, end, shown, line + 1))
        at = found.end()
        line += shown.count("\n") + 4
    return at, line


def _as_meant(
    cues: Sequence[ReadCue], odd: Sequence[tuple[int, str, CueTimes]], kind: str, file: str
) -> tuple[list[ReadCue], list[Problem]]:
    """The cues without those whose time may be a slip, and what is told of each line of times that is not as the format says."""
    at = {cue.line: n for n, cue in enumerate(cues)}
    told: list[Problem] = []
    meant = []
    unsure = set()
    for number, line, times in odd:
        n = at[number]
        if times.open:
            told.append(no_end(line, cues[n], cues[n + 1] if n + 1 < len(cues) else None, kind, file))
        elif times.past and not counted_on(n, cues):
            told.append(past_times(number, line, cues[n], kind, file))
            unsure.add(number)
        elif times.start_ms >= 0 <= times.end_ms:  # below zero nothing is written rightly: told by itself
            meant.append((number, line, times))
    return [cue for cue in cues if cue.line not in unsure], [*told, *odd_times(meant, kind, file)]


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

    def apart(self, text: str) -> bool:
        """Whether it begins a cue by its place alone: a number stands over it, a blank line, or nothing."""
        return (
            self.begins < self.start or not text[text.rfind("\n", 0, max(self.start - 1, 0)) + 1 : self.start].strip()
        )


def _marks(text: str, kind: str, *, bare: bool, at: int = 0) -> Iterator[_Mark]:
    """``at``: from which character on."""
    alone = iter([found.start("time") for found in _BARE.finditer(text)] if bare else ())
    floor = at  # the line after the mark before
    at, start_alone = text.find("->", at), next(alone, -1)
    while at >= 0 or start_alone >= 0:
        is_alone = start_alone >= 0 and not 0 <= at < start_alone
        here = start_alone if is_alone else at
        start = text.rfind("\n", 0, here) + 1
        end = text.find("\n", here)
        end = len(text) if end < 0 else end
        if is_alone or _ANY_TIMES.search(text, start, end):
            yield _Mark(_begins(text, start, floor, kind), start, end)
            floor = end + 1
        if is_alone:
            start_alone = next(alone, -1)
        else:
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
