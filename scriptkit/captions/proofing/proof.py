"""Proof any caption file: the checks of any file, and those of a profile's limits; each returns problems with how far off."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator
from pathlib import PurePath

from scriptkit.captions.caption_files import KINDS, kind_of_name
from scriptkit.captions.composing.line_breaking import clinging
from scriptkit.captions.limits import LIMITS, least_of
from scriptkit.captions.proofing.garbled_cues import garbled
from scriptkit.captions.proofing.rolling import carried_over
from scriptkit.captions.proofing.sheet import Sheet, pairs, seconds_text
from scriptkit.captions.proofing.vtt_rules import webvtt_rules
from scriptkit.measure.timecode import frames_to_ms, ms_to_frames
from scriptkit.problems import Place, Problem, error, in_order, warning
from scriptkit.timed_text.cue_times import REVERSED
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.reading import ReadCue

_OPEN = re.compile(r"<(/?)([bius]|font|c|v|lang|ruby|rt)\b[^<>]{0,200}>", re.IGNORECASE)
_INVISIBLE = re.compile(r"[\x00-\x08\x0b-\x1f\u200b\u2060\ufeff]")
_KEEPS_OPEN = {"v", "rt"}  # WebVTT lets these run to the end of the cue
_ANOTHER_SPEAKS = re.compile(r"[-–—](?!\d)|>>")  # a line that begins so; -18 °C is a figure


def proof(sheet: Sheet) -> list[Problem]:
    """Everything wrong with the file, in its order: what was repaired in reading, and what every check finds."""
    checks = (*CHECKS, *(limit.check for limit in LIMITS))
    return in_order([*sheet.file.repairs, *(p for part in sheet.by_place() for check in checks for p in check(part))])


def nothing_there(sheet: Sheet) -> Iterator[Problem]:
    """A file in which no cue was found at all."""
    if not sheet.cues:
        yield error(
            Place(sheet.file.file),
            "no-cues",
            "the file has no cues",
            "name a SubRip, WebVTT, TTML or ASS file",
        )


def named_otherwise(sheet: Sheet) -> Iterator[Problem]:
    """A file whose name ends as that of another kind: most players go by the name."""
    file = sheet.file
    kind = kind_of_name(file.file)
    if kind and kind != file.kind:
        message = f"the file is {KINDS[file.kind]}, and its name ends as that of {KINDS[kind]} does"
        yield warning(Place(file.file), "kind", message, f"name it {PurePath(file.file).with_suffix('.' + file.kind)}")


def reversed_times(sheet: Sheet) -> Iterator[Problem]:
    """Cues that end before they begin, or as they do; what has no end at all is told in reading."""
    told = {p.place.line for p in sheet.file.repairs if p.code == REVERSED}
    for cue in sheet.cues:
        if cue.end_ms == cue.start_ms and cue.line not in told:
            end = sheet.clock(cue.start_ms + max(least_of(cue, sheet), 1_000))
            yield error(sheet.place(cue), REVERSED, "the cue lasts no time", f"write its end, such as {end}")
        elif cue.end_ms < cue.start_ms:
            hint = f"swap its times: {sheet.clock(cue.end_ms)} to {sheet.clock(cue.start_ms)}; or correct them"
            yield error(sheet.place(cue), REVERSED, "the cue ends before it begins", hint)


def out_of_order(sheet: Sheet) -> Iterator[Problem]:
    """Cues that begin before the one that stands above them in the file."""
    for before, cue in pairs(sheet.cues):
        if cue.start_ms < before.start_ms:
            yield error(
                sheet.place(cue),
                "order",
                f"begins {seconds_text(before.start_ms - cue.start_ms)} before the cue above it",
                "sort the cues: `--fix` does",
            )


def overlapping(sheet: Sheet) -> Iterator[Problem]:
    """Cues that begin while the one above them stands; of rolling captions the same text again overlaps nothing, and the same
    cue again is a problem of its own. Where a reversed cue begins is not known."""
    rolling: bool | None = None  # to find out takes long, and is seldom needed
    for before, cue in pairs(sheet.cues):
        if not before.start_ms <= cue.start_ms < before.end_ms or cue.end_ms <= cue.start_ms:
            continue
        again = cue.text == before.text
        if again and (cue.start_ms, cue.end_ms) != (before.start_ms, before.end_ms):
            again = rolling = sheet.rolls if rolling is None else rolling
        if not again:
            yield error(
                sheet.place(cue),
                "overlap",
                f"overlaps the cue above it by {seconds_text(before.end_ms - cue.start_ms)}",
                _apart(before, cue, sheet),
            )


def _apart(before: ReadCue, cue: ReadCue, sheet: Sheet) -> str:
    """How a person takes two cues apart: `--fix` ends the first where the second begins, if it can still be read."""
    if cue.start_ms - before.start_ms >= least_of(before, sheet):
        return f"end that one at {sheet.clock(cue.start_ms)}: `--fix` does"
    if cue.end_ms - before.end_ms >= least_of(cue, sheet):
        return f"begin this one at {sheet.clock(before.end_ms)}: that one could not be read if it ended earlier"
    last = sheet.clock(max(before.end_ms, cue.end_ms))
    return f"show both in one cue from {sheet.clock(before.start_ms)} to {last}: there is no time to show one after the other"


def empty(sheet: Sheet) -> Iterator[Problem]:
    """Cues that show nothing once their markup is taken out."""
    for cue in sheet.cues:
        if not plain(cue.text).strip():
            yield error(sheet.place(cue), "empty", "the cue has no text", "delete it: `--fix` does")


def rolling(sheet: Sheet) -> Iterator[Problem]:
    """Automatic captions show each line twice: at the bottom, then above the next. Told where the whole file is so."""
    if not sheet.rolls:
        return
    shown: list[str] = []
    for before, cue in pairs(sheet.cues):
        last, shown = shown or sheet.lines(before), sheet.lines(cue)
        if before.start_ms <= cue.start_ms and carried_over(
            cue.start_ms - before.end_ms, last, shown, sheet.before_new_words(cue)
        ):
            yield warning(
                sheet.place(cue),
                "rolling",
                "repeats the line of the cue above it, as automatic captions do",
                "keep each line once: `--fix` does",
            )


def doubled(sheet: Sheet) -> Iterator[Problem]:
    """A cue that stands in the file twice, times and all."""
    starts = sorted(cue.start_ms for cue in sheet.cues)
    twice = {start for start, after in itertools.pairwise(starts) if start == after}  # all others stand alone
    seen: dict[tuple[int, int, str], int] = {}
    for cue in sheet.cues if twice else ():
        if cue.start_ms not in twice:
            continue
        line = seen.setdefault((cue.start_ms, cue.end_ms, cue.text), cue.line)
        if line != cue.line and plain(cue.text).strip():
            yield warning(sheet.place(cue), "doubled", f"the same cue stands on line {line}", "delete one of them")


def bad_breaks(sheet: Sheet) -> Iterator[Problem]:
    """A line that ends in a word that belongs to the next: an article, a preposition, a number before its unit. To what another
    person says, which begins with a dash or ``>>``, nothing belongs."""
    for cue in sheet.cues:
        if "\n" not in cue.text or not _may_break_badly(cue.text):
            continue
        for n, (line, after) in enumerate(itertools.pairwise(sheet.lines(cue))):
            if (last := clinging(line, after)) and not _ANOTHER_SPEAKS.match(after):
                yield warning(
                    sheet.place_of_line(cue, n),
                    "break",
                    f"the line ends in “{last}”, which belongs to the next",
                    "break before it",
                )


def _may_break_badly(text: str) -> bool:
    """Whether a line may end so: no, where two rows are as they are read, and do not."""
    upper, _, lower = text.partition("\n")
    as_read = upper.isprintable() and lower.isprintable() and text.isascii()  # with no other line end
    if not as_read or "<" in text or "{" in text or "&" in text:
        return True
    return not lower or upper.endswith(" ") or lower.startswith(" ") or bool(clinging(upper, lower))


def off_frame(sheet: Sheet) -> Iterator[Problem]:
    """A start or an end more than 1 ms from the nearest frame, where a frame rate is stated, or more than the file can say; one
    problem a cue."""
    rate = sheet.rate
    if rate is None:
        return
    near = max(1, sheet.file.grain_ms - 1)  # a time may be cut down to what the file can say, for its frame to be there
    frame_ms = 1000 / rate.exact
    whole = frame_ms.numerator if frame_ms.denominator == 1 else 0
    for cue in sheet.cues:
        if whole and cue.start_ms % whole == 0 == cue.end_ms % whole:
            continue
        for moment in (cue.start_ms, cue.end_ms):
            if moment >= 0 and abs(frames_to_ms(ms_to_frames(moment, rate), rate) - moment) > near:
                yield warning(
                    sheet.place(cue),
                    "off-frame",
                    f"{seconds_text(moment)} lies between two frames at {rate.name}",
                    "snap it: `--fix` does"
                    if cue.start_ms < cue.end_ms
                    else "swap or correct its times first: `--fix` then snaps it",
                )
                break


def markup(sheet: Sheet) -> Iterator[Problem]:
    """Tags that are never closed in their cue, or close nothing; ``<v>`` and ``<rt>`` may stay open (W3C WebVTT)."""
    for cue in sheet.cues:
        if "<" not in cue.text:
            continue
        opened: dict[str, list[int]] = {}
        wrong = close = ""
        for found in _OPEN.finditer(cue.text):
            name = found.group(2).casefold()
            if not found.group(1):
                opened.setdefault(name, []).append(found.start())
            elif opened.get(name):
                opened[name].pop()
            else:
                wrong, close = f"</{name}> closes nothing", "delete it"
        left = [(at[0], name) for name, at in opened.items() if at and name not in _KEEPS_OPEN]
        if wrong or left:
            name = min(left)[1] if left else ""
            close = close or f"write </{name}> at the end of the cue"
            yield warning(sheet.place(cue), "markup", wrong or f"<{name}> is never closed", close)


def invisible(sheet: Sheet) -> Iterator[Problem]:
    """Control and zero-width characters."""
    for cue in sheet.cues:
        if bad := _INVISIBLE.search(cue.text):
            message = f"an invisible character (U+{ord(bad.group()):04X})"
            yield warning(sheet.place(cue), "characters", message, "delete it: `--fix` does")


def broken_letters(sheet: Sheet) -> Iterator[Problem]:
    """What a failed decoding leaves: a letter was there, and which one only the speaker knows."""
    for cue in sheet.cues:
        for n, line in enumerate(sheet.lines(cue)) if "\ufffd" in cue.text else ():
            if word := next((w for w in line.split() if "\ufffd" in w), ""):
                message = f"“{word[:40]}” has a broken character (�)"
                yield warning(
                    sheet.place_of_line(cue, n), "characters", message, "type the letter that is meant in its place"
                )


def arrows(sheet: Sheet) -> Iterator[Problem]:
    """An arrow in the text: some readers take what follows for times."""
    for cue in sheet.cues if sheet.file.source is None else ():
        if "-->" in cue.text:
            yield warning(sheet.place(cue), "arrow", "“-->” stands in the text", "write →: `--fix` does")


CHECKS: tuple[Callable[[Sheet], Iterator[Problem]], ...] = (
    nothing_there,
    named_otherwise,
    reversed_times,
    out_of_order,
    overlapping,
    empty,
    rolling,
    doubled,
    bad_breaks,
    off_frame,
    markup,
    invisible,
    broken_letters,
    garbled,
    arrows,
    lambda sheet: webvtt_rules(sheet.file),
)
