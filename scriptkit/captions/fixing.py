"""Repair what is safe in a caption file: order, empties, overlaps, repeats, slivers, frames, characters; never the words."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from dataclasses import replace

from scriptkit.captions.proof import Sheet, plain, readable_ms
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
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
    """Without control, zero-width and broken characters, and without blank lines inside a cue."""
    cleaned = []
    for cue in cues:
        text = re.sub(r"[\x00-\x08\x0b-\x1f\u200b\u2060\ufeff\ufffd]", "", cue.text.replace("-->", "→"))
        lines = [line.rstrip() for line in text.splitlines() if line.strip()]
        cleaned.append(replace(cue, text="\n".join(lines)))
    return cleaned


def drop_empty(cues: Cues, _: Sheet) -> Cues:
    return [c for c in cues if plain(c.text).strip() and c.end_ms > c.start_ms >= 0]


def sort(cues: Cues, _: Sheet) -> Cues:
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
    """A gap that would flicker is closed: the earlier cue stands until the next."""
    frame_ms = 1000 / float(sheet.rate.exact) if sheet.rate else 40.0
    least = round((sheet.profile.gap_frames or 0) * frame_ms)
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        if 0 < after.start_ms - cue.end_ms < least:
            mended[n] = replace(cue, end_ms=after.start_ms)
    return mended


def snap(cues: Cues, sheet: Sheet) -> Cues:
    """Times on the nearest frame, and no cue shorter than one."""
    rate = sheet.rate
    if rate is None:
        return cues
    return [_snapped(cue, rate) for cue in cues]


def _snapped(cue: ReadCue, rate: FrameRate) -> ReadCue:
    first = ms_to_frames(cue.start_ms, rate)
    last = max(ms_to_frames(cue.end_ms, rate), first + 1)
    return replace(cue, start_ms=frames_to_ms(first, rate), end_ms=frames_to_ms(last, rate))


REPAIRS: tuple[Callable[[Cues, Sheet], Cues], ...] = (
    clean_text, drop_empty, sort, join_repeats, drop_empty, end_earlier, close_slivers, snap,
)  # fmt: skip
"""In this order: an empty cue cannot overlap, and frames come last."""


def write_captions(file: CaptionFile) -> str:
    """The file's own kind again, numbered from 1; SubRip's line ends as they were."""
    if file.kind == "vtt":
        blocks = ["WEBVTT", *file.head]
        for cue in file.cues:
            times = f"{clock(cue.start_ms)} --> {clock(cue.end_ms)} {cue.settings}".rstrip()
            blocks.append("\n".join([*([cue.name] if cue.name else []), times, cue.text]))
        return "\n\n".join(blocks) + "\n"
    text = "\n".join(_srt_block(n, cue) for n, cue in enumerate(file.cues, 1))
    return text.replace("\n", "\r\n") if file.crlf else text


def _srt_block(number: int, cue: ReadCue) -> str:
    start, end = (clock(ms).replace(".", ",") for ms in (cue.start_ms, cue.end_ms))
    return f"{number}\n{start} --> {end}\n{cue.text}\n"
