"""Move captions to another cut: an offset, another frame rate, or a map from the old cut's times to the new one's."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.timecode import FrameRate
from scriptkit.timed_text.reading import ReadCue


@dataclass(frozen=True, slots=True)
class Stretch:
    """Milliseconds from ``old_ms`` on are moved to ``new_ms`` on, until the next stretch begins. ``new_ms`` None: cut out."""

    old_ms: int
    new_ms: int | None


def drained(cues: list[ReadCue]) -> Iterator[ReadCue]:
    """The cues in their order, each let go as it is taken: a long file is then not held twice."""
    cues.reverse()
    while cues:
        yield cues.pop()


def offset(cues: Iterable[ReadCue], by_ms: int) -> list[ReadCue]:
    """Every time later by ``by_ms``, or earlier; a cue that would end before zero falls away, one that would begin before it
    begins at zero."""
    return [_at(c, max(c.start_ms + by_ms, 0), c.end_ms + by_ms) for c in cues if c.end_ms + by_ms > 0]


def _at(cue: ReadCue, start_ms: int, end_ms: int) -> ReadCue:
    """The cue at other times; `dataclasses.replace` takes five times as long."""
    return ReadCue(start_ms, end_ms, cue.text, cue.line, cue.name, cue.settings, cue.note)


def retimed(cues: Iterable[ReadCue], old: FrameRate, new: FrameRate) -> list[ReadCue]:
    """The same frames at another rate, as where 24 is played at 25."""
    factor = old.exact / new.exact

    def at(ms: int) -> int:
        return round(Fraction(ms) * factor)

    return [_at(c, at(c.start_ms), at(c.end_ms)) for c in cues]


def mapped(cues: Iterable[ReadCue], stretches: Sequence[Stretch]) -> list[ReadCue]:
    """Each cue where its beginning now is, in the new order; a cue whose beginning was cut out falls away. A cue that runs
    past its stretch ends with it. Stretches must be sorted by ``old_ms``."""
    begins = [s.old_ms for s in stretches]
    moved = []
    for cue in cues:
        n = bisect_right(begins, cue.start_ms) - 1
        if n < 0 or (new_ms := stretches[n].new_ms) is None:
            continue
        last = begins[n + 1] if n + 1 < len(begins) else cue.end_ms
        shift = new_ms - begins[n]
        end = max(min(cue.end_ms, last) + shift, 0)  # below zero for a cue that ends before its beginning
        moved.append(_at(cue, cue.start_ms + shift, end))
    return sorted(moved, key=lambda c: c.start_ms)
