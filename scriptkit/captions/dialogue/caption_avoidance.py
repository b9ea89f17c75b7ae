"""The overlay beside the dialogue captions of the same cut: dialogue gives way, and rises while something stands in its place.

A cue is moved as a whole, so that it never jumps while it is read.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.places import CENTRAL, LOWER, RAISED, UPPER, WIDE, place_of, span_percent
from scriptkit.timed_text.reading import ReadCue

CHOICES = (LOWER, RAISED, UPPER, CENTRAL)
"""Where dialogue may stand, best first."""
_LINE = re.compile(r"(?:^|\s)line:(-?\d{1,3}(?:\.\d+)?)(%?)(?:,\w+)?(?=\s|$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A dialogue cue and where it stands. ``moved``: not where it stood; ``meets_ms``: how long something of the overlay is in
    its place nevertheless, for there was no free one."""

    cue: ReadCue
    place: str
    moved: bool
    meets_ms: int


def beside(dialogue: Sequence[ReadCue], overlay: Sequence[Cue], shape: float = WIDE) -> list[Beside]:
    """Each dialogue cue with its place, on a picture of this width ÷ height. ``overlay`` must be in order and not overlap."""
    ends = [cue.end_ms for cue in overlay]
    found = []
    for cue in dialogue:
        taken: Counter[tuple[float, float]] = Counter()
        for other in overlay[bisect_left(ends, cue.start_ms + 1) :]:
            if other.start_ms >= cue.end_ms:
                break
            span = span_percent(place_of(other), len(other.lines), shape)
            taken[span] += min(cue.end_ms, other.end_ms) - max(cue.start_ms, other.start_ms)
        own = place_in(cue.settings)
        lines = len(cue.text.splitlines())
        meets = {place: _meets(span_percent(place, lines, shape), taken) for place in dict.fromkeys((own, *CHOICES))}
        best = min(meets, key=meets.__getitem__)  # the first of equals
        found.append(Beside(cue=cue, place=best, moved=best != own, meets_ms=meets[best]))
    return found


def _meets(span: tuple[float, float], taken: Counter[tuple[float, float]]) -> int:
    """How many milliseconds something of the overlay stands in the span."""
    return sum(ms for (top, foot), ms in taken.items() if top < span[1] and span[0] < foot)


def place_in(settings: str) -> str:
    """Where WebVTT settings put a cue: its `line:` in percent, or in lines from the top or, below zero, from the foot.

    >>> place_in(""), place_in("line:10% align:left"), place_in("line:-1"), place_in("line:0"), place_in("line:60%")
    ('lower', 'upper', 'lower', 'upper', 'raised')
    """
    found = _LINE.search(settings)
    if not found:
        return LOWER
    figure = float(found.group(1))
    percent = figure if found.group(2) else (100 + figure * 6 if figure < 0 or found.group(1) == "-0" else figure * 6)
    return UPPER if percent < 40 else RAISED if percent < 72 else LOWER


def with_line(settings: str, top: int) -> str:
    """The settings with the cue at ``top`` percent of the picture's height, every other setting kept."""
    return " ".join([*_LINE.sub(" ", settings).split(), f"line:{top}%"])
