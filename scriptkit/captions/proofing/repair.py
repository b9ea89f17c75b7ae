"""Repair what is safe in a caption file: order, empties, overlaps, repeats, line breaks, slivers, frames, characters; never the
words."""

from __future__ import annotations

import io
import itertools
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.captions.limits import LIMITS, Cues, least_of
from scriptkit.captions.proofing.losses import bag_of, lost_by_repair
from scriptkit.captions.proofing.rolling import carried_over
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.captions.proofing.vtt_rules import escaped
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.problems import Problem
from scriptkit.timed_text.markup import MARKUP, plain_lines
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.placed_source import KEPT
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.webvtt import signed_clock

_TAG = re.compile(r"<(/?)([a-zA-Z]\w*)")
_MARKUP_OR_LINE_END = re.compile(rf"{MARKUP.pattern}|\n")
_INVISIBLE = re.compile(r"[\x00-\x08\x0e-\x1b\x1f\u200b\u2060\ufeff]")
_WORDS_PART = re.compile(r"[\x0b\x0c\x1c-\x1e]")
_CONTROL = re.compile(rf"{_INVISIBLE.pattern}|{_WORDS_PART.pattern}")
_ROUNDS = 6
"""One repair can uncover another: a line repeated three times is found twice."""


@dataclass(frozen=True, slots=True)
class Repaired:
    """``file`` is what is left; ``taken_out``: the lines of the file at which a repeated line went, in order; ``wrong`` is empty, or
    says that words would be lost, and then nothing may be written."""

    file: CaptionFile
    taken_out: tuple[int, ...]
    wrong: tuple[Problem, ...]


def repair_captions(sheet: Sheet) -> CaptionFile:
    """The file with every safe repair made; what is left is what proofing it again finds."""
    return repaired(sheet).file


def repaired(sheet: Sheet) -> Repaired:
    """The same, with what was taken out; every word and tag is counted before and after. Of ASS and TTML each place on the picture
    is repaired by itself."""
    if sheet.file.source is None:
        return _repaired(sheet)
    parts = [_repaired(part) for part in sheet.by_place()]
    kept = [c for c in sheet.cues if c.settings.startswith(KEPT)]
    cues = sorted([*kept, *(c for part in parts for c in part.file.cues)], key=lambda c: (c.start_ms, c.end_ms))
    lines = sorted(line for part in parts for line in part.taken_out)
    wrong = tuple(p for part in parts for p in part.wrong)
    return Repaired(replace(sheet.file, cues=tuple(cues), repairs=()), tuple(lines), wrong)


def _repaired(sheet: Sheet) -> Repaired:
    # What ends before zero is told, and when it should be shown is not ours to guess: its times stay.
    shown = [c for c in sheet.cues if c.end_ms <= 0 and plain(c.text).strip()]
    early = [c for c in shown if c.end_ms < 0 or c.start_ms < 0]
    cues = [c for c in sheet.cues if c not in early] if early else list(sheet.cues)
    early = escape_again(clean_text(early, sheet), sheet)
    rolling = sheet.rolls
    taken_out: Counter[str] = Counter()
    places: set[int] = set()
    was = escape_again(clean_text(cues, sheet), sheet)
    for _ in range(_ROUNDS):
        before = cues
        for repair in _repairs(rolling):
            mended = repair(cues, sheet)
            if repair in (join_repeats, drop_empty) and mended != cues:
                taken_out += bag_of(cues, sheet.file.kind) - bag_of(mended, sheet.file.kind)
                places |= _shortened(cues, mended)
            cues = mended
        if cues == before:
            break
    wrong = lost_by_repair(was, cues, taken_out, sheet.file)
    mended = sort([*early, *cues], sheet) if early else cues
    return Repaired(replace(sheet.file, cues=tuple(mended), repairs=()), tuple(sorted(places)), tuple(wrong))


def _shortened(before: Cues, after: Cues) -> set[int]:
    """The lines of cues whose words went."""
    left = {c.line: c.text for c in after}
    return {c.line for c in before if plain(c.text).strip() and left.get(c.line) != c.text}


def clean_text(cues: Cues, sheet: Sheet) -> Cues:
    """Without control and zero-width characters, and without blank lines inside a cue, which end one in SubRip and WebVTT. What parts
    words (a vertical tab, a form feed, a separator of records) becomes a line end; a broken character stays, for a letter was there."""
    if sheet.file.source is not None:
        return [
            replace(c, text=_WORDS_PART.sub("\n", _INVISIBLE.sub("", c.text))) if _CONTROL.search(c.text) else c
            for c in cues
        ]
    cleaned = []
    for cue in cues:
        text = _INVISIBLE.sub("", cue.text.replace("-->", "→"))
        lines = [line.rstrip() for line in text.splitlines() if line.strip()]
        cleaned.append(replace(cue, text="\n".join(lines)))
    return cleaned


def escape_again(cues: Cues, sheet: Sheet) -> Cues:
    """What WebVTT would take for markup written as text."""
    if sheet.file.kind != "vtt":
        return cues
    return [replace(c, text=escaped(c.text)) if "&" in c.text or "<" in c.text else c for c in cues]


def drop_empty(cues: Cues, _: Sheet) -> Cues:
    """Without cues that show nothing; one that has begun before zero begins there. Reversed times stay as they are, and cues that
    lie before zero too: what they should be is a guess."""
    seen = [c for c in cues if plain(c.text).strip()]
    return [replace(c, start_ms=0) if c.start_ms < 0 < c.end_ms else c for c in seen]


def sort(cues: Cues, _: Sheet) -> Cues:
    """By their starts; of those that begin together, the one that ends first comes first."""
    return sorted(cues, key=lambda c: (c.start_ms, c.end_ms))


def join_repeats(cues: Cues, sheet: Sheet) -> Cues:
    """Of rolling captions, each line once: a cue loses the lines that the one before it has just shown, as a viewer reads them."""
    kept: Cues = []
    last: list[str] = []
    for cue in cues:
        lines = sheet.lines(cue)
        old = sheet.before_new_words(cue)
        count = carried_over(cue.start_ms - kept[-1].end_ms, last, lines, old) if kept else 0
        last = lines
        if count and count == len(lines):
            kept[-1] = replace(kept[-1], end_ms=max(kept[-1].end_ms, cue.end_ms))
        else:
            kept.append(replace(cue, text=_without_first(count, cue.text, sheet.file.kind)) if count else cue)
    return kept


def _without_first(count: int, text: str, kind: str) -> str:
    """The text without so many of its lines that are seen; where they do not end with a line of the file, nothing goes. A tag
    that is open where they end stays, and so does a code in braces, which is of the whole cue."""
    seen = begins = 0
    stays: list[str] = []
    opened: defaultdict[str, list[int]] = defaultdict(list)  # where among those the tags of a name stand
    for found in _MARKUP_OR_LINE_END.finditer(text):
        written = found.group()
        if written == "\n":
            seen += len(plain_lines(text[begins : found.start()], kind))
            begins = found.end()
            if seen >= count:
                break
        elif written.startswith("{"):
            stays.append(written)
        elif tag := _TAG.match(written):
            name = tag.group(2).casefold()
            if not tag.group(1) and name != "br" and not written.endswith("/>"):
                opened[name].append(len(stays))
                stays.append(written)
            elif tag.group(1) and opened[name]:
                stays[opened[name].pop()] = ""
    return "".join(stays) + text[begins:] if seen == count else text


def end_earlier(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that overlaps the next ends where that begins, if it can still be read; else both stay as they are."""
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        if cue.end_ms > after.start_ms and after.start_ms - cue.start_ms >= least_of(cue, sheet):
            mended[n] = replace(mended[n], end_ms=after.start_ms)
    return mended


def snap(cues: Cues, sheet: Sheet) -> Cues:
    """Times on the nearest frame, and no cue shorter than one; a frame less or more where a cue would else break the profile's longest or
    shortest time by it."""
    rate = sheet.rate
    if rate is None:
        return cues
    mended = [snapped(cue, rate) if 0 <= cue.start_ms < cue.end_ms else cue for cue in cues]
    longest, shortest = sheet.profile.longest_ms, sheet.profile.shortest_ms or 0
    for n, (was, cue) in enumerate(zip(cues, mended, strict=True)):
        stood, stands = was.end_ms - was.start_ms, cue.end_ms - cue.start_ms
        frames = -1 if longest and stood <= longest < stands else 1 if stands < shortest <= stood else 0
        if not frames:
            continue
        end = frames_to_ms(ms_to_frames(cue.end_ms, rate) + frames, rate)
        free_to = mended[n + 1].start_ms if n + 1 < len(mended) else end
        if frames < 0 or end <= free_to:
            mended[n] = replace(cue, end_ms=end)
    return mended


def snapped(cue: ReadCue, rate: FrameRate) -> ReadCue:
    """The cue from the nearest frame to the nearest frame, one frame at least."""
    first = ms_to_frames(cue.start_ms, rate)
    last = max(ms_to_frames(cue.end_ms, rate), first + 1)
    return replace(cue, start_ms=frames_to_ms(first, rate), end_ms=frames_to_ms(last, rate))


def _repairs(rolling: bool) -> Iterator[Callable[[Cues, Sheet], Cues]]:
    """In this order: an empty cue cannot overlap, and frames come last. Repeats are joined in ``rolling`` captions alone."""
    yield from (clean_text, escape_again, drop_empty, sort)
    if rolling:
        yield from (join_repeats, drop_empty)
    yield from (limit.mend_text for limit in LIMITS if limit.mend_text)
    yield end_earlier
    yield from (limit.mend_times for limit in LIMITS if limit.mend_times)
    yield snap


def write_captions(file: CaptionFile, cues: Iterable[ReadCue] | None = None, scale: Fraction = Fraction(1)) -> str:
    """The file's own kind again, numbered from 1; SubRip's line ends as they were, and ASS and TTML changed in their places.
    ``cues``: others in place of its own, each let go as it is written; ``scale``: by how much times inside a cue are stretched. Raises
    CannotDo where a time cannot be written in its place."""
    if file.source is not None:
        return file.source.with_cues(file.cues if cues is None else cues, scale)
    out = io.StringIO(newline="")
    if file.kind == "vtt":
        title = "" if not file.title else file.title if file.title.startswith("\n") else f" {file.title}"
        out.write("\n\n".join([f"WEBVTT{title}", *file.head]) + "\n")
    for number, cue in enumerate(file.cues if cues is None else cues, 1):
        out.write(_vtt_block(cue) if file.kind == "vtt" else _srt_block(number, cue))
    if file.kind == "vtt" and file.tail:
        out.write(f"\n{file.tail}\n")
    text = out.getvalue() if file.kind == "vtt" else out.getvalue().removesuffix("\n")
    return text.replace("\n", "\r\n") if file.crlf and file.kind != "vtt" else text


def _vtt_block(cue: ReadCue) -> str:
    times = f"{signed_clock(cue.start_ms, 'vtt')} --> {signed_clock(cue.end_ms, 'vtt')} {cue.settings}".rstrip()
    note = f"\n{cue.note}\n" if cue.note else ""
    name = f"{cue.name}\n" if cue.name else ""
    return f"{note}\n{name}{times}\n{cue.text}\n"


def _srt_block(number: int, cue: ReadCue) -> str:
    start, end = (signed_clock(ms, "srt") for ms in (cue.start_ms, cue.end_ms))
    text = cue.text.lstrip("\n")  # to some players an empty line under the times ends the cue
    times = f"{start} --> {end} {cue.settings}".rstrip()
    return f"{number}\n{times}\n{text}\n\n"
