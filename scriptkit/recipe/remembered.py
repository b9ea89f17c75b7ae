"""Results of pure functions of a source, kept while the source is at hand: papers and checks ask for the same plan."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import TypeVar

S = TypeVar("S")
R = TypeVar("R")

_KEPT = 64
"""Sources by function: the dishes of two meals, so that a folder of any length takes no more memory than that."""


def remembered(function: Callable[[S], R]) -> Callable[[S], R]:
    """``function`` of one frozen source, worked out once for each that is the very same object; equal ones that were read
    anew have places and neighbours of their own."""
    known: dict[int, tuple[S, R]] = {}

    @functools.wraps(function)
    def ask(source: S) -> R:
        found = known.get(id(source))
        if found is None:  # the source is kept with its result, so that nobody else gets its id
            found = known[id(source)] = (source, function(source))
            if len(known) > _KEPT:
                del known[next(iter(known))]
        return found[1]

    return ask
