"""Move captions to another cut: an offset, another frame rate, or a map from the old cut's times to the new one's."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from scriptkit.measure.timecode import FrameRate
from scriptkit.timed_text.markup import TIMED_WORD, moment_ms
from scriptkit.timed_text.reading import ReadCue
from scriptkit.timed_text.webvtt import clock


@dataclass(frozen=True, slots=True)
class Stretch:
    """Milliseconds from ``old_ms`` on are moved to ``new_ms`` on, until the next stretch begins. ``new_ms`` None: cut out."""

    old_ms: int
    new_ms: int | None


@dataclass(frozen=True, slots=True)
class Mapped:
    """``cues`` in the new order; ``shortened`` and ``gone`` as they stood in the old one: of which a part, or all, was cut out."""

    cues: list[ReadCue]
    shortened: list[ReadCue]
    gone: list[ReadCue]


def drained(cues: list[ReadCue]) -> Iterator[ReadCue]:
    """The cues in their order, each let go as it is taken: a long file is then not held twice."""
    cues.reverse()
    while cues:
        yield cues.pop()


def offset(cues: Iterable[ReadCue], by_ms: int) -> list[ReadCue]:
    """Every time later by ``by_ms``, or earlier; a cue that would end before zero falls away, one that would begin before it
    begins at zero."""
    return [
        _at(c, max(c.start_ms + by_ms, 0), c.end_ms + by_ms, lambda ms: ms + by_ms)
        for c in cues
        if c.end_ms + by_ms > 0
    ]


def _at(cue: ReadCue, start_ms: int, end_ms: int, moved: Callable[[int], int]) -> ReadCue:
    """The cue at other times; `dataclasses.replace` takes five times as long. ``moved``: where a moment is now; the moments of words
    inside a cue of WebVTT are moved by it, and stay within the cue."""
    text = cue.text
    if "<" in text and TIMED_WORD.search(text):
        text = TIMED_WORD.sub(lambda found: _word_at(found.group(), start_ms, end_ms, moved), text)
    return ReadCue(start_ms, end_ms, text, cue.line, cue.name, cue.settings, cue.note)


def _word_at(written: str, start_ms: int, end_ms: int, moved: Callable[[int], int]) -> str:
    """The moment of a word as it is written, moved; what is no time stays."""
    was = moment_ms(written)
    if was is None:
        return written
    now = moved(was)
    return f"<{clock(min(max(now, start_ms), max(end_ms, start_ms)))}>"


def retimed(cues: Iterable[ReadCue], old: FrameRate, new: FrameRate) -> list[ReadCue]:
    """The same frames at another rate, as where 24 is played at 25."""
    factor = old.exact / new.exact

    def at(ms: int) -> int:
        return round(Fraction(ms) * factor)

    return [_at(c, at(c.start_ms), at(c.end_ms), at) for c in cues]


def mapped(cues: Iterable[ReadCue], stretches: Sequence[Stretch]) -> Mapped:
    """Each cue where it now is, in the new order. A cue over a boundary stays whole where its parts still follow one another;
    else its longest part is kept (of equal ones the first), and none where all of it was cut out. Stretches must be sorted by
    ``old_ms``."""
    begins = [s.old_ms for s in stretches]
    found: list[ReadCue] = []
    shortened: list[ReadCue] = []
    gone: list[ReadCue] = []
    for cue in cues:
        parts = _parts(cue, stretches, begins)
        if not parts:
            gone.append(cue)
            continue
        start, end = max(parts, key=lambda part: part[1] - part[0])
        found.append(_at(cue, start, end, partial(_mapped_moment, stretches=stretches, begins=begins, kept_ms=start)))
        if end - start < cue.end_ms - cue.start_ms:
            shortened.append(cue)
    return Mapped(sorted(found, key=lambda c: c.start_ms), shortened, gone)


def without_overlaps(stretches: Sequence[Stretch]) -> tuple[list[Stretch], list[Stretch]]:
    """The stretches, sorted by ``old_ms``, none of them over where another begins in the new cut: what there would run into it is cut
    out. And those that are added for it, each the beginning of what is cut out."""
    ends: list[float] = [*(s.old_ms for s in stretches[1:]), math.inf]
    kept = sorted((s.new_ms, n) for n, s in enumerate(stretches) if s.new_ms is not None)
    added: list[Stretch] = []
    for (new_ms, n), (after_ms, _) in itertools.pairwise(kept):
        old_ms = stretches[n].old_ms + after_ms - new_ms
        if old_ms < ends[n]:
            added.append(Stretch(old_ms, None))
    found = {s.old_ms: s for s in (*stretches, *added)}
    return [found[old] for old in sorted(found)], sorted(added, key=lambda s: s.old_ms)


def _mapped_moment(ms: int, stretches: Sequence[Stretch], begins: Sequence[int], kept_ms: int) -> int:
    """Where a moment now is; ``kept_ms``, where it was cut out."""
    at = bisect_right(begins, ms) - 1
    new_ms = stretches[at].new_ms if at >= 0 else None
    return kept_ms if new_ms is None else ms - begins[at] + new_ms


def _parts(cue: ReadCue, stretches: Sequence[Stretch], begins: Sequence[int]) -> list[tuple[int, int]]:
    """Where the parts of the cue now are, from … to; those that follow one another are one. Of a cue that ends before it begins,
    or as it does, its beginning decides."""
    first = bisect_right(begins, cue.start_ms) - 1
    if cue.end_ms <= cue.start_ms:
        new_ms = stretches[first].new_ms if first >= 0 else None
        return (
            []
            if new_ms is None
            else [(s := cue.start_ms + new_ms - begins[first], max(s + cue.end_ms - cue.start_ms, 0))]
        )
    parts: list[tuple[int, int]] = []
    for n in range(max(first, 0), len(stretches)):
        start, end = max(cue.start_ms, begins[n]), min(cue.end_ms, begins[n + 1] if n + 1 < len(begins) else cue.end_ms)
        new_ms = stretches[n].new_ms
        if begins[n] >= cue.end_ms:
            break
        if new_ms is None or start >= end:
            continue
        here = (start + new_ms - begins[n], end + new_ms - begins[n])
        if parts and parts[-1][1] == here[0]:
            here = (parts.pop()[0], here[1])
        parts.append(here)
    return parts
