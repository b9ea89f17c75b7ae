"""How long a sentence says that food stands by itself: *let it cool for 5 to 10 minutes*."""

from __future__ import annotations

import functools
import re

from scriptkit.english.negation import affirmed
from scriptkit.measure.figures import MS, figures_in

_STANDS = re.compile(
    r"\b(?:cool|rest|stand|sit|soak|steep|infuse|settle|prove|rise|marinate|chill|relax|thicken|bloom|drain)(?:s|ed|ing)?\b"
    r"(?P<between>[^.;]{0,40}?)\b(?:for|about|another|a further|\d)",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[.;]|,\s*(?:then|and)\b|\bthen\b", re.IGNORECASE)


@functools.lru_cache(maxsize=4096)
def stands_in(text: str) -> tuple[int, int] | None:
    """The shortest and the longest time, in milliseconds, that the sentence gives the food; None where it gives none.

    >>> stands_in("Let it cool 5 to 10 minutes, then blend."), stands_in("Stir it for 2 minutes.")
    ((300000, 600000), None)
    """
    if not _STANDS.search(text):
        return None
    told = affirmed(text)
    for found in _STANDS.finditer(told):
        end = _CLAUSE.search(told, found.start())
        clause = told[found.start() : end.start() if end else len(told)]
        for figure in figures_in(clause):
            if figure.unit == MS and not figure.idle:
                return int(figure.low), int(figure.high)
    return None
