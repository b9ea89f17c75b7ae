"""Proof any caption file against a profile: a list of checks, each a plain function that returns problems with how far off."""

from __future__ import annotations

import functools
import html
import itertools
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.captions.breaking import clinging
from scriptkit.captions.profiles import Profile
from scriptkit.captions.vtt_rules import webvtt_rules
from scriptkit.captions.width import FONT, columns, thousandths
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.problems import Place, Problem, error, in_order, warning
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.reading import CaptionFile, ReadCue

_OPEN = re.compile(r"<(/?)([bius]|font|c|v|lang|ruby|rt)\b[^<>]{0,200}>", re.IGNORECASE)
_INVISIBLE = re.compile(r"[\x00-\x08\x0b-\x1f\u200b\u2060\ufeff\ufffd]")
_KEEPS_OPEN = {"v", "rt"}  # WebVTT lets these run to the end of the cue
_ANOTHER_SPEAKS = re.compile(r"[-–—](?!\d)|>>")  # a line that begins so; -18 °C is a figure
_MOST_ROLLED = 50
"""Lines: far more than any captions roll."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file under proof, against a profile, at a frame rate where one is stated."""

    file: CaptionFile
    profile: Profile
    rate: FrameRate | None = None

    @property
    def cues(self) -> tuple[ReadCue, ...]:
        """Of the file, in its own order."""
        return self.file.cues

    def place(self, cue: ReadCue) -> Place:
        """Where the cue stands in the file: the line on which it begins."""
        return Place(self.file.file, cue.line)

    def lines(self, cue: ReadCue) -> list[str]:
        """The lines of the cue that are seen, as they are read."""
        return _seen(_as_read(cue.text, self.file.kind))

    def place_of_line(self, cue: ReadCue, n: int) -> Place:
        """Where the n-th of these lines, from 0, stands in the file."""
        return Place(self.file.file, cue.line + _rows(cue.text, self.file.kind)[n])


def proof(sheet: Sheet) -> list[Problem]:
    """Everything wrong with the file, in its order: what was repaired in reading, and what every check finds."""
    return in_order([*sheet.file.repairs, *(p for check in CHECKS for p in check(sheet))])


def nothing_there(sheet: Sheet) -> Iterator[Problem]:
    """A file in which no cue was found at all."""
    if not sheet.cues:
        yield error(Place(sheet.file.file), "no-cues", "the file has no cues", "is it a SubRip or WebVTT file?")


def reversed_times(sheet: Sheet) -> Iterator[Problem]:
    """Cues that end before they begin, or as they do."""
    for cue in sheet.cues:
        if cue.end_ms <= cue.start_ms:
            yield error(
                sheet.place(cue),
                "reversed",
                "the cue ends before it begins, or lasts no time",
                "swap or mend its times",
            )


def out_of_order(sheet: Sheet) -> Iterator[Problem]:
    """Cues that begin before the one that stands above them in the file."""
    for before, cue in _pairs(sheet.cues):
        if cue.start_ms < before.start_ms:
            yield error(
                sheet.place(cue),
                "order",
                f"begins {_s(before.start_ms - cue.start_ms)} before the cue above it",
                "sort the cues: `--fix` does",
            )


def overlapping(sheet: Sheet) -> Iterator[Problem]:
    """Cues that begin while the one above them stands; the same text once more overlaps nothing."""
    for before, cue in _pairs(sheet.cues):
        if before.start_ms <= cue.start_ms < before.end_ms and cue.text != before.text:
            yield error(
                sheet.place(cue),
                "overlap",
                f"overlaps the cue above it by {_s(before.end_ms - cue.start_ms)}",
                "end that one earlier: `--fix` does where it stays readable",
            )


def empty(sheet: Sheet) -> Iterator[Problem]:
    """Cues that show nothing once their markup is taken out."""
    for cue in sheet.cues:
        if not plain(cue.text).strip():
            yield error(sheet.place(cue), "empty", "the cue has no text", "delete it: `--fix` does")


def rolling(sheet: Sheet) -> Iterator[Problem]:
    """Automatic captions show each line twice: at the bottom, then above the next."""
    shown: list[str] = []
    for before, cue in _pairs(sheet.cues):
        last, shown = shown or sheet.lines(before), sheet.lines(cue)
        if before.start_ms <= cue.start_ms <= before.end_ms + 100 and repeated(last, shown):
            yield warning(
                sheet.place(cue),
                "rolling",
                "repeats the line of the cue above it, as automatic captions do",
                "keep each line once: `--fix` does",
            )


def repeated(last: Sequence[str], first: Sequence[str]) -> int:
    """How many lines at the end of the one stand at the beginning of the other too; the most, where there is a choice."""
    if not first:
        return 0
    if len(last) > _MOST_ROLLED:
        last = last[-_MOST_ROLLED:]
    for n, line in enumerate(last):
        if line == first[0] and last[n:] == first[: len(last) - n]:
            return len(last) - n
    return 0


def too_short(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for less than the profile's shortest time, where it has one."""
    least = sheet.profile.shortest_ms
    if least is None:
        return
    for cue in sheet.cues:
        if 0 < cue.end_ms - cue.start_ms < least:
            yield warning(
                sheet.place(cue),
                "too-short",
                f"stands {_s(cue.end_ms - cue.start_ms)}, at least {_s(least)} ({sheet.profile.name})",
                "let it stand longer, or join it with its neighbour",
            )


def too_long(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for more than the profile's longest time, where it has one."""
    most = sheet.profile.longest_ms
    if most is None:
        return
    for cue in sheet.cues:
        if cue.end_ms - cue.start_ms > most:
            yield warning(
                sheet.place(cue),
                "too-long",
                f"stands {_s(cue.end_ms - cue.start_ms)}, at most {_s(most)} ({sheet.profile.name})",
                "end it earlier, or split it",
            )


def too_fast(sheet: Sheet) -> Iterator[Problem]:
    """Faster than the profile's readers: by characters, by words, or by the least time for each word."""
    for cue in sheet.cues:
        needs = readable_ms(cue, sheet.profile, sheet.file.kind)
        stands = cue.end_ms - cue.start_ms
        if 0 < stands < needs - 1:
            yield warning(
                sheet.place(cue),
                "too-fast",
                f"takes {_s(needs)} to read and stands {_s(stands)} ({sheet.profile.name})",
                f"give it {_s(needs - stands)} more, or fewer words",
            )


def readable_ms(cue: ReadCue, profile: Profile, kind: str) -> int:
    """The least time that the profile gives the text, its shortest cue apart; ``kind``: of its file."""
    return profile.reading_ms(_as_read(cue.text, kind))


def too_wide(sheet: Sheet) -> Iterator[Problem]:
    """Wider than the profile's line: in characters, or as it is rendered in the stated font."""
    most, ems = sheet.profile.line_length, sheet.profile.line_ems
    for cue in sheet.cues:
        for n, line in enumerate(sheet.lines(cue)):
            if len(line) <= most and line.isascii() and (ems is None or len(line) <= ems):
                continue  # no letter of ASCII is wider than an em
            if (width := columns(line)) > most:
                told = f"{width} characters, at most {most} ({sheet.profile.name})"
            elif ems is not None and (width := thousandths(line)) > ems * 1000:
                size = f"type of {sheet.profile.font_percent} % of the picture's height"
                percent = max(101, round(width / ems / 10))  # 100 % would tell nothing
                told = f"{percent} % of the room it has ({sheet.profile.name}: {FONT}, {size})"
            else:
                continue
            yield warning(sheet.place_of_line(cue, n), "too-wide", told, "break the line, or use fewer words")


def too_many_lines(sheet: Sheet) -> Iterator[Problem]:
    """Cues with more lines than the profile allows; blank lines, and those of markup alone, do not count."""
    most = sheet.profile.lines
    for cue in sheet.cues:
        if (lines := len(sheet.lines(cue))) > most:
            yield warning(
                sheet.place(cue), "lines", f"{lines} lines, at most {most} ({sheet.profile.name})", "split the cue"
            )


def bad_breaks(sheet: Sheet) -> Iterator[Problem]:
    """A line that ends in a word that belongs to the next: an article, a preposition, a number before its unit. To what another
    person says, which begins with a dash or ``>>``, nothing belongs."""
    for cue in sheet.cues:
        if "\n" not in cue.text:
            continue
        for n, (line, after) in enumerate(itertools.pairwise(sheet.lines(cue))):
            if (last := clinging(line, after)) and not _ANOTHER_SPEAKS.match(after):
                yield warning(
                    sheet.place_of_line(cue, n),
                    "break",
                    f"the line ends in “{last}”, which belongs to the next",
                    "break before it",
                )


def least_gap_ms(sheet: Sheet) -> int:
    """The narrowest gap that the profile allows, where there is one. Two frames at 29.97 (66.7 ms) are 66 or 67 whole
    milliseconds: either is enough."""
    frame_ms = 1000 / sheet.rate.exact if sheet.rate else 40
    return max(sheet.profile.gap_ms or 0, math.floor((sheet.profile.gap_frames or 0) * frame_ms))


def flickers(before: ReadCue, cue: ReadCue, least: int) -> bool:
    """Whether there is a gap between them, narrower than ``least`` ms. Where a reversed cue begins and ends is not known."""
    in_order = before.start_ms < before.end_ms and cue.start_ms < cue.end_ms
    return in_order and 0 < cue.start_ms - before.end_ms < least


def narrow_gaps(sheet: Sheet) -> Iterator[Problem]:
    """A gap shorter than the profile's: it is seen as a flicker. No gap at all is fine."""
    least = least_gap_ms(sheet)
    longest = sheet.profile.longest_ms or math.inf
    for before, cue in _pairs(sheet.cues):
        gap = cue.start_ms - before.end_ms
        if flickers(before, cue, least):
            if (closed := cue.start_ms - before.start_ms) <= longest:
                hint = "close it or widen it: `--fix` closes it"
            else:
                earlier = f"end the cue above it {least - gap} ms earlier"
                hint = f"{earlier}, or split it: closed, it would stand {_s(closed)}"
            yield warning(
                sheet.place(cue),
                "gap",
                f"a gap of {gap} ms flickers; none, or at least {least} ms ({sheet.profile.name})",
                hint,
            )


def off_frame(sheet: Sheet) -> Iterator[Problem]:
    """A start or an end more than 1 ms from the nearest frame, where a frame rate is stated; one of a cue is told."""
    rate = sheet.rate
    if rate is None:
        return
    for cue in sheet.cues:
        for moment in (cue.start_ms, cue.end_ms):
            if moment >= 0 and abs(frames_to_ms(ms_to_frames(moment, rate), rate) - moment) > 1:
                yield warning(
                    sheet.place(cue),
                    "off-frame",
                    f"{_s(moment)} lies between two frames at {rate.name}",
                    "snap it: `--fix` does"
                    if cue.start_ms < cue.end_ms
                    else "swap or mend its times first: `--fix` then snaps it",
                )
                break


def markup(sheet: Sheet) -> Iterator[Problem]:
    """Tags that are never closed in their cue, or close nothing; ``<v>`` and ``<rt>`` may stay open (W3C WebVTT)."""
    for cue in sheet.cues:
        opened: dict[str, list[int]] = {}
        wrong = ""
        for found in _OPEN.finditer(cue.text):
            name = found.group(2).casefold()
            if not found.group(1):
                opened.setdefault(name, []).append(found.start())
            elif opened.get(name):
                opened[name].pop()
            else:
                wrong = f"</{name}> closes nothing"
        left = [(at[0], name) for name, at in opened.items() if at and name not in _KEEPS_OPEN]
        if wrong or left:
            yield warning(
                sheet.place(cue), "markup", wrong or f"<{min(left)[1]}> is never closed", "close it in the same cue"
            )


def invisible(sheet: Sheet) -> Iterator[Problem]:
    """Control and zero-width characters, and what a failed decoding leaves."""
    for cue in sheet.cues:
        if bad := _INVISIBLE.search(cue.text):
            yield warning(
                sheet.place(cue),
                "characters",
                f"an invisible or broken character (U+{ord(bad.group()):04X})",
                "delete it: `--fix` does",
            )


def arrows(sheet: Sheet) -> Iterator[Problem]:
    """An arrow in the text: some readers take what follows for times."""
    for cue in sheet.cues:
        if "-->" in cue.text:
            yield warning(sheet.place(cue), "arrow", "“-->” stands in the text", "write →: `--fix` does")


def _pairs(cues: Sequence[ReadCue]) -> Iterator[tuple[ReadCue, ReadCue]]:
    return itertools.pairwise(cues)


def _as_read(text: str, kind: str) -> str:
    """Without markup; in WebVTT ``&amp;`` is one letter."""
    return _unescaped(plain(text), kind)


def _unescaped(text: str, kind: str) -> str:
    return html.unescape(text) if kind == "vtt" and "&" in text else text


def _seen(text: str) -> list[str]:
    return [line for row in text.splitlines() if (line := row.strip())]


@functools.lru_cache(maxsize=1)
def _rows(text: str, kind: str) -> list[int]:
    """In which row of the cue, from 1, each line that is seen stands: some rows are blank, and some have a line end within
    them that only Unicode counts."""
    rows = enumerate(plain(text).split("\n"), 1)
    return [number for number, row in rows for _ in _seen(_unescaped(row, kind))]


def _s(ms: int) -> str:
    """To the millisecond: *stands 7 s, at most 7 s* would tell nothing."""
    return f"{ms / 1000:.3f}".rstrip("0").rstrip(".") + " s"


CHECKS: tuple[Callable[[Sheet], Iterator[Problem]], ...] = (
    nothing_there,
    reversed_times,
    out_of_order,
    overlapping,
    empty,
    rolling,
    too_short,
    too_long,
    too_fast,
    too_wide,
    too_many_lines,
    bad_breaks,
    narrow_gaps,
    off_frame,
    markup,
    invisible,
    arrows,
    lambda sheet: webvtt_rules(sheet.file),
)
