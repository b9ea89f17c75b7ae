"""Repair what is safe in a caption file: order, empties, overlaps, repeats, line breaks, slivers, frames, characters; never the
words."""

from __future__ import annotations

import io
import itertools
import math
import re
from collections.abc import Callable, Iterable
from dataclasses import replace

from scriptkit.captions.breaking import clinging
from scriptkit.captions.proof import Sheet, readable_ms
from scriptkit.captions.text import fit, fits
from scriptkit.captions.vtt_rules import escaped
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.webvtt import clock

Cues = list[ReadCue]

_ROUNDS = 6
"""One repair can uncover another: a line repeated three times is found twice."""


def fixed(sheet: Sheet) -> CaptionFile:
    """The file with every safe repair made; what is left is what proofing it again finds."""
    cues = list(sheet.cues)
    for _ in range(_ROUNDS):
        before = cues
        for repair in REPAIRS:
            cues = repair(cues, sheet)
        if cues == before:
            break
    return replace(sheet.file, cues=tuple(cues), repairs=())


def clean_text(cues: Cues, _: Sheet) -> Cues:
    """Without control, zero-width and broken characters, and without blank lines inside a cue. A vertical tab or a form feed
    parts words: it becomes a line end."""
    cleaned = []
    for cue in cues:
        text = re.sub(r"[\x00-\x08\x0e-\x1f\u200b\u2060\ufeff\ufffd]", "", cue.text.replace("-->", "→"))
        lines = [line.rstrip() for line in text.splitlines() if line.strip()]
        cleaned.append(replace(cue, text="\n".join(lines)))
    return cleaned


def escape_again(cues: Cues, sheet: Sheet) -> Cues:
    """What WebVTT would take for markup written as text."""
    if sheet.file.kind != "vtt":
        return cues
    return [replace(c, text=escaped(c.text)) if "&" in c.text or "<" in c.text else c for c in cues]


def drop_empty(cues: Cues, _: Sheet) -> Cues:
    """Without cues that have no text, or lie before the beginning: neither is ever seen. Reversed times stay as they are, for
    what they should be is a guess."""
    seen = [c for c in cues if plain(c.text).strip() and (c.end_ms > 0 or c.start_ms >= 0)]
    return [replace(c, start_ms=max(c.start_ms, 0), end_ms=max(c.end_ms, 0)) for c in seen]


def sort(cues: Cues, _: Sheet) -> Cues:
    """By their starts; of those that begin together, the one that ends first comes first."""
    return sorted(cues, key=lambda c: (c.start_ms, c.end_ms))


def join_repeats(cues: Cues, _: Sheet) -> Cues:
    """Each line of rolling captions once: a cue loses the lines that the one before it has just shown."""
    kept: Cues = []
    shown: list[str] = []
    for cue in cues:
        lines = cue.text.splitlines()
        close = bool(kept) and cue.start_ms - kept[-1].end_ms <= 100
        overlap = max((n for n in range(1, len(lines) + 1) if close and shown[-n:] == lines[:n]), default=0)
        shown = lines
        if overlap == len(lines) and kept:
            kept[-1] = replace(kept[-1], end_ms=max(kept[-1].end_ms, cue.end_ms))
        else:
            kept.append(replace(cue, text="\n".join(lines[overlap:])))
    return kept


def end_earlier(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that overlaps the next ends where that begins, if it can still be read; else both stay as they are."""
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        least = max(readable_ms(cue, sheet.profile), sheet.profile.shortest_ms or 1)
        if cue.end_ms > after.start_ms and after.start_ms - cue.start_ms >= least:
            mended[n] = replace(mended[n], end_ms=after.start_ms)
    return mended


def close_slivers(cues: Cues, sheet: Sheet) -> Cues:
    """A gap that would flicker is closed: the earlier cue stands until the next. Two frames at 29.97 (66.7 ms) are 66 or 67
    whole milliseconds: either is enough."""
    frame_ms = 1000 / sheet.rate.exact if sheet.rate else 40
    least = max(sheet.profile.gap_ms or 0, math.floor((sheet.profile.gap_frames or 0) * frame_ms))
    longest = sheet.profile.longest_ms or math.inf
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        flickers = cue.start_ms < cue.end_ms < after.start_ms < cue.end_ms + least
        if flickers and after.start_ms - cue.start_ms <= longest:
            mended[n] = replace(cue, end_ms=after.start_ms)
    return mended


def break_again(cues: Cues, sheet: Sheet) -> Cues:
    """Lines that are too wide, or end in what belongs to the next, broken anew; the words stay. Not what two people say, nor
    what has markup."""
    of = sheet.profile
    mended = []
    for cue in cues:
        lines = cue.text.split("\n")
        wrong = any(not fits(line, of.line_length, of.line_ems) for line in lines) or any(
            clinging(a, b) for a, b in itertools.pairwise(lines)
        )
        talk = any(line.lstrip().startswith(("-", "–", "—")) for line in lines)
        again = None
        if wrong and plain(cue.text) == cue.text and not talk:
            again = fit(" ".join(lines), width=of.line_length, lines=of.lines, ems=of.line_ems)
        parted = again is None or any(clinging(a, b) for a, b in itertools.pairwise(again))
        mended.append(cue if parted or again is None else replace(cue, text="\n".join(again)))
    return mended


def let_stand(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that is too short to be read stands longer, as far as the time after it is free."""
    of = sheet.profile
    frame_ms = 1000 / float(sheet.rate.exact) if sheet.rate else 0.0
    mended = list(cues)
    for n, cue in enumerate(cues):
        end = cue.start_ms + max(readable_ms(cue, of), of.shortest_ms or 0) + math.ceil(frame_ms)
        end = min(end, cue.start_ms + of.longest_ms) if of.longest_ms else end
        free_to = cues[n + 1].start_ms if n + 1 < len(cues) else end
        if cue.start_ms < cue.end_ms < end <= free_to:
            mended[n] = replace(cue, end_ms=end)
    return mended


def snap(cues: Cues, sheet: Sheet) -> Cues:
    """Times on the nearest frame, and no cue shorter than one."""
    rate = sheet.rate
    if rate is None:
        return cues
    return [_snapped(cue, rate) if cue.start_ms < cue.end_ms else cue for cue in cues]


def _snapped(cue: ReadCue, rate: FrameRate) -> ReadCue:
    first = ms_to_frames(cue.start_ms, rate)
    last = max(ms_to_frames(cue.end_ms, rate), first + 1)
    return replace(cue, start_ms=frames_to_ms(first, rate), end_ms=frames_to_ms(last, rate))


REPAIRS: tuple[Callable[[Cues, Sheet], Cues], ...] = (
    clean_text, escape_again, drop_empty, sort, join_repeats, drop_empty, break_again, end_earlier, let_stand, close_slivers, snap,
)  # fmt: skip
"""In this order: an empty cue cannot overlap, and frames come last."""


def write_captions(file: CaptionFile, cues: Iterable[ReadCue] | None = None) -> str:
    """The file's own kind again, numbered from 1; SubRip's line ends as they were. ``cues``: others in place of its own, each
    let go as it is written."""
    out = io.StringIO(newline="")
    if file.kind == "vtt":
        out.write("\n\n".join([f"WEBVTT {file.title}".rstrip(), *file.head]) + "\n")
    for number, cue in enumerate(file.cues if cues is None else cues, 1):
        out.write(_vtt_block(cue) if file.kind == "vtt" else _srt_block(number, cue))
    text = out.getvalue() if file.kind == "vtt" else out.getvalue().removesuffix("\n")
    return text.replace("\n", "\r\n") if file.crlf and file.kind != "vtt" else text


def _vtt_block(cue: ReadCue) -> str:
    times = f"{clock(cue.start_ms)} --> {clock(cue.end_ms)} {cue.settings}".rstrip()
    note = f"\n{cue.note}\n" if cue.note else ""
    name = f"{cue.name}\n" if cue.name else ""
    return f"{note}\n{name}{times}\n{cue.text}\n"


def _srt_block(number: int, cue: ReadCue) -> str:
    start, end = (clock(ms).replace(".", ",") for ms in (cue.start_ms, cue.end_ms))
    return f"{number}\n{start} --> {end}\n{cue.text}\n\n"
