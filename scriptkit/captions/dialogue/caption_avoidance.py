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
from scriptkit.timed_text.places import LOWER, MIDDLE, RAISED, UPPER, place_of
from scriptkit.timed_text.reading import ReadCue

CHOICES = (LOWER, RAISED, UPPER)
"""Where dialogue may stand, best first."""
_TAKES = {LOWER: (LOWER,), RAISED: (MIDDLE,), UPPER: (UPPER,)}
"""Which places of the overlay are in the way of which choice."""
_LINE = re.compile(r"(?:^|\s)line:(-?\d{1,3}(?:\.\d+)?)(%?)(?:,\w+)?(?=\s|$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A dialogue cue and where it stands. ``moved``: not where it stood; ``meets_ms``: how long something of the overlay is in
    its place nevertheless, for there was no free one."""

    cue: ReadCue
    place: str
    moved: bool
    meets_ms: int


def beside(dialogue: Sequence[ReadCue], overlay: Sequence[Cue]) -> list[Beside]:
    """Each dialogue cue with its place. ``overlay`` must be in order and not overlap."""
    ends = [cue.end_ms for cue in overlay]
    found = []
    for cue in dialogue:
        taken: Counter[str] = Counter()
        for other in overlay[bisect_left(ends, cue.start_ms + 1) :]:
            if other.start_ms >= cue.end_ms:
                break
            taken[place_of(other)] += min(cue.end_ms, other.end_ms) - max(cue.start_ms, other.start_ms)
        own = place_in(cue.settings)
        choices = dict.fromkeys((own, *CHOICES))
        best = min(choices, key=lambda place: sum(taken[t] for t in _TAKES[place]))  # the first of equals
        meets = sum(taken[t] for t in _TAKES[best])
        found.append(Beside(cue=cue, place=best, moved=best != own, meets_ms=meets))
    return found


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
