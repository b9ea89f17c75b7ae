"""Proof any caption file against a profile: a list of checks, each a plain function that returns problems with how far off."""

from __future__ import annotations

import itertools
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

_OPEN = re.compile(r"<(/?)([bius]|font|c|v|lang|ruby|rt)\b[^<>]{0,40}>", re.IGNORECASE)
_INVISIBLE = re.compile(r"[\x00-\x08\x0b-\x1f\u200b\u2060\ufeff\ufffd]")
_KEEPS_OPEN = {"v", "rt"}  # WebVTT lets these run to the end of the cue


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
    for before, cue in _pairs(sheet.cues):
        if before.text.strip() and _repeats(before, cue):
            yield warning(
                sheet.place(cue),
                "rolling",
                "repeats the line of the cue above it, as automatic captions do",
                "keep each line once: `--fix` does",
            )


def _repeats(before: ReadCue, cue: ReadCue) -> bool:
    last, first = plain(before.text).strip().splitlines(), plain(cue.text).strip().splitlines()
    return bool(last and first) and last[-1].strip() == first[0].strip() and cue.start_ms - before.end_ms <= 100


def too_short(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for less than the profile's shortest time, where it has one."""
    least = sheet.profile.shortest_ms
    for cue in sheet.cues if least else ():
        if least and 0 < cue.end_ms - cue.start_ms < least:
            yield warning(
                sheet.place(cue),
                "too-short",
                f"stands {_s(cue.end_ms - cue.start_ms)}, at least {_s(least)} ({sheet.profile.name})",
                "let it stand longer, or join it with its neighbour",
            )


def too_long(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for more than the profile's longest time, where it has one."""
    most = sheet.profile.longest_ms
    for cue in sheet.cues if most else ():
        if most and cue.end_ms - cue.start_ms > most:
            yield warning(
                sheet.place(cue),
                "too-long",
                f"stands {_s(cue.end_ms - cue.start_ms)}, at most {_s(most)} ({sheet.profile.name})",
                "end it earlier, or split it",
            )


def too_fast(sheet: Sheet) -> Iterator[Problem]:
    """Faster than the profile's readers: by characters, by words, or by the least time for each word."""
    for cue in sheet.cues:
        needs = readable_ms(cue, sheet.profile)
        stands = cue.end_ms - cue.start_ms
        if 0 < stands < needs - 1:
            yield warning(
                sheet.place(cue),
                "too-fast",
                f"takes {_s(needs)} to read and stands {_s(stands)} ({sheet.profile.name})",
                f"give it {_s(needs - stands)} more, or fewer words",
            )


def readable_ms(cue: ReadCue, profile: Profile) -> int:
    """The least time that the profile gives the text, its shortest cue apart."""
    return profile.reading_ms(plain(cue.text))


def too_wide(sheet: Sheet) -> Iterator[Problem]:
    """Wider than the profile's line: in characters, or as it is rendered in the stated font."""
    most, ems = sheet.profile.line_length, sheet.profile.line_ems
    for cue in sheet.cues:
        for n, line in enumerate(plain(cue.text).splitlines(), 1):
            if len(line) <= most and line.isascii() and (ems is None or len(line) <= ems):
                continue  # no letter of ASCII is wider than an em
            shown = line.strip()
            if (width := columns(shown)) > most:
                told = f"{width} characters, at most {most} ({sheet.profile.name})"
            elif ems is not None and (width := thousandths(shown)) > ems * 1000:
                size = f"type of {sheet.profile.font_percent} % of the picture's height"
                told = f"{width / ems / 10:.0f} % of the room it has ({sheet.profile.name}: {FONT}, {size})"
            else:
                continue
            place = Place(sheet.file.file, cue.line + n)
            yield warning(place, "too-wide", told, "break the line, or use fewer words")


def too_many_lines(sheet: Sheet) -> Iterator[Problem]:
    """Cues with more lines than the profile allows; blank lines do not count."""
    most = sheet.profile.lines
    for cue in sheet.cues:
        lines = len([line for line in cue.text.splitlines() if line.strip()])
        if lines > most:
            yield warning(
                sheet.place(cue), "lines", f"{lines} lines, at most {most} ({sheet.profile.name})", "split the cue"
            )


def bad_breaks(sheet: Sheet) -> Iterator[Problem]:
    """A line that ends in a word that belongs to the next: an article, a preposition, a number before its unit."""
    for cue in sheet.cues:
        if "\n" not in cue.text:
            continue
        lines = plain(cue.text).splitlines()
        for n, (line, after) in enumerate(itertools.pairwise(lines), 1):
            if last := clinging(line.rstrip(), after.lstrip("-– ")):
                yield warning(
                    Place(sheet.file.file, cue.line + n),
                    "break",
                    f"the line ends in “{last}”, which belongs to the next",
                    "break before it",
                )


def narrow_gaps(sheet: Sheet) -> Iterator[Problem]:
    """A gap shorter than the profile's: it is seen as a flicker. No gap at all is fine."""
    frame_ms = 1000 / float(sheet.rate.exact) if sheet.rate else 40.0
    least = max(sheet.profile.gap_ms or 0, round((sheet.profile.gap_frames or 0) * frame_ms))
    for before, cue in _pairs(sheet.cues):
        gap = cue.start_ms - before.end_ms
        if 0 < gap < least - 1:
            yield warning(
                sheet.place(cue),
                "gap",
                f"a gap of {gap} ms flickers; none, or at least {least} ms ({sheet.profile.name})",
                "close it or widen it: `--fix` closes it",
            )


def off_frame(sheet: Sheet) -> Iterator[Problem]:
    """A start or an end more than 1 ms from the nearest frame, where a frame rate is stated; one of a cue is told."""
    for cue in sheet.cues if sheet.rate else ():
        for moment in (cue.start_ms, cue.end_ms):
            if (
                sheet.rate
                and moment >= 0
                and abs(frames_to_ms(ms_to_frames(moment, sheet.rate), sheet.rate) - moment) > 1
            ):
                yield warning(
                    sheet.place(cue),
                    "off-frame",
                    f"{_s(moment)} lies between two frames at {sheet.rate.name}",
                    "snap it: `--fix` does",
                )
                break


def markup(sheet: Sheet) -> Iterator[Problem]:
    """Tags that are never closed in their cue, or close nothing; ``<v>`` and ``<rt>`` may stay open (W3C WebVTT)."""
    for cue in sheet.cues:
        opened: list[str] = []
        wrong = ""
        for found in _OPEN.finditer(cue.text):
            name = found.group(2).casefold()
            if not found.group(1):
                opened.append(name)
            elif name in opened:
                del opened[len(opened) - 1 - opened[::-1].index(name)]
            else:
                wrong = f"</{name}> closes nothing"
        left = [name for name in opened if name not in _KEEPS_OPEN]
        if wrong or left:
            yield warning(
                sheet.place(cue), "markup", wrong or f"<{left[0]}> is never closed", "close it in the same cue"
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
