"""Rolling captions: each line shown twice, at the bottom and then above the next, as automatic captions are written."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

_MOST_ROLLED = 50
"""Lines: far more than any captions roll."""
_LEAST = 3
"""Cues that bring a line and repeat one: fewer can be what was said (*Stir. – Stir, and wait.*)."""
CLOSE_MS = 100
"""A line that comes again later, and alone, is said again."""
_PAUSE_MS = 3_000
"""A line that scrolls up above a new one may have stood through a pause."""

Shown = tuple[int, int, Sequence[str]]
"""A cue: start and end in milliseconds, and its lines as they are read."""


def rolls(cues: Iterable[Shown], *, timed_words: bool = False) -> bool:
    """Whether the file as a whole is of this kind: most of its cues that follow at once repeat lines of the one before, and some
    of them bring new ones; or nearly all do that, pauses or not. Two cues alike are no sign of it: *Thank you.* is often said twice.
    ``timed_words``: whether words have times of their own, as only a machine writes them; then one that rolls is enough."""
    scrolled = repeats = close = scrolled_near = near = 0
    for (start, end, last), (next_start, _, lines) in itertools.pairwise(cues):
        if not lines or not start <= next_start <= end + _PAUSE_MS:
            continue
        count = repeated(last, lines)
        scrolls = 0 < count < len(lines)
        near += 1
        scrolled_near += scrolls
        if next_start <= end + CLOSE_MS:
            close += 1
            repeats += bool(count)
            scrolled += scrolls
    if scrolled >= (1 if timed_words else _LEAST) and repeats * 2 >= close:
        return True
    return scrolled_near >= _LEAST and scrolled_near * 5 >= near * 4


def carried_over(gap_ms: int, last: Sequence[str], lines: Sequence[str], old: int) -> int:
    """How many lines at the beginning of a cue are still those of the one before, in a file that rolls; ``gap_ms``: between the two;
    ``old``: how many of its lines can be, for what follows is spoken now."""
    if gap_ms > _PAUSE_MS:
        return 0
    count = repeated(last, lines[:old])
    return count if gap_ms <= CLOSE_MS or count < len(lines) else 0


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
