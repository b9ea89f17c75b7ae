"""Which lines of a published text must read otherwise now, each with the line that takes its place.

A line is known again by its words, whatever its figures are and wherever it stands: ingredients change their order when a step takes
them earlier.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.measure.amounts import canonical_unit

_SAYS_SOMETHING = re.compile(r"[\d½⅓⅔¼¾⅛⅜⅝⅞]|\ballergen", re.IGNORECASE)
"""Lines that a cook must not leave as they are; others change with the wording of a newer version, and harm nobody."""
_CHAPTER = re.compile(r"\s*\d+:\d\d(?::\d\d)?\s")
"""Times of the film, which stays the film that it is."""
_WORD = re.compile(r"[^\W\d_]+")
_ALIKE = 0.5
"""Lines that share no more of their words are different lines."""
_MOST = 400
"""Lines that are compared each with each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineToReplace:
    """A line of what was published, as it stands there, and as it must read. ``now`` is empty where it is to go, ``was`` where it is new."""

    where: str
    was: str
    now: str


def lines_to_replace(where: str, was: str, now: str) -> Iterator[LineToReplace]:
    """The lines of a published text that hold a figure or an allergen and are others now, in its order; then those that are new."""
    old, new = (Counter(map(str.strip, text.splitlines())) for text in (was, now))
    gone, come = list((old - new).elements()), list((new - old).elements())
    gone, come = ([line for line in lines if not _CHAPTER.match(line)] for lines in (gone, come))
    pairs = dict(_pairs([_words(line) for line in gone[:_MOST]], [_words(line) for line in come[:_MOST]]))
    for n, line in enumerate(gone):
        becomes = come[pairs[n]] if n in pairs else ""
        if _SAYS_SOMETHING.search(line) or _SAYS_SOMETHING.search(becomes):
            yield LineToReplace(where=where, was=line, now=becomes)
    for n, line in enumerate(come):
        if n not in pairs.values() and _SAYS_SOMETHING.search(line):
            yield LineToReplace(where=where, was="", now=line)


def _words(line: str) -> tuple[str, ...]:
    """Its words but for units, which change with the figure: *30 g*, *about 2 tbsp*."""
    return tuple(
        w for w in map(str.casefold, _WORD.findall(line)) if w not in ("about", "x") and canonical_unit(w) is None
    )


def _pairs(old: Sequence[tuple[str, ...]], new: Sequence[tuple[str, ...]]) -> Iterator[tuple[int, int]]:
    """(old, new): of the same words first, in their order, then those that share most."""
    free, open_ = dict(enumerate(new)), dict(enumerate(old))
    for n, words in enumerate(old):
        if (same := next((m for m, other in free.items() if other == words), None)) is not None:
            del free[same], open_[n]
            yield n, same
    alike = sorted((-_likeness(a, b), abs(n - m), n, m) for n, a in open_.items() for m, b in free.items())
    for likeness, _, n, m in alike:
        if -likeness > _ALIKE and n in open_ and m in free:
            del open_[n], free[m]
            yield n, m


def _likeness(a: Sequence[str], b: Sequence[str]) -> float:
    """How many of both lines' words they share, 0 to 1."""
    if not a or not b:
        return 0.0
    return 2 * (Counter(a) & Counter(b)).total() / (len(a) + len(b))
