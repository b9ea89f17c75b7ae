"""How long a sentence says that food stands by itself: *let it cool for 5 to 10 minutes*."""

from __future__ import annotations

import functools
import re

from scriptkit.english.negation import affirmed
from scriptkit.measure.figures import MS, figures_in

_STANDS = re.compile(
    r"\b(?:cool|(?<!the )rest(?! of\b)|stand|sit|soak|steep|infuse|settle|prove|rise|marinate|chill|relax|thicken|bloom|drain)(?:s|ed|ing)?\b"
    r"(?P<between>[^.;]{0,40}?)\b(?:for|about|another|a further|\d)",
    re.IGNORECASE,
)
_KEPT = re.compile(
    r"\b(?:keep|keeps|keeping|hold|holds|holding|kept|held|stays?)\b[^.;,]{0,40}\b(?:warm|hot)\b|\b(?:into|in) a warm(?:ing)? (?:oven|drawer|place)\b",
    re.IGNORECASE,
)
_HEATER = re.compile(
    r"\b(?:pan|oil|grill|griddle|oven|water|fat|wok|butter|pot|tray|stone|plates?|bowls?)\b(?! (?:drawer|place))",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[.;]|,\s*(?:then|and)\b|\bthen\b", re.IGNORECASE)


_OFF_THE_HEAT = re.compile(
    r"^\W*(?:(?:take|remove|lift|pull|slide|turn|get)\b[^.;]{0,40}\b(?:off|from|out|out of)\b[^.;,]{0,24}[.;,]?\s*(?:and|then)?\W*)?"
    r"(?:(?:and )?(?:let|leave|allow)\b[^.;,]{0,30})?$",
    re.IGNORECASE,
)
_AFTERWARDS = re.compile(r"^\W*(?:(?:and|then)\W+)*(?P<what>\w+\W+\w+.*)$", re.IGNORECASE | re.DOTALL)


def stands_first_in(text: str) -> bool:
    """Whether the food stands before the work of the sentence begins: nothing but taking it off the heat comes before.

    >>> stands_first_in("Take it off the heat, let it cool 5 to 10 minutes, then blend it until smooth.")
    True
    >>> stands_first_in("Blend it, then let it cool for 5 minutes."), stands_first_in("Let it rest for 5 minutes.")
    (False, False)
    """
    if stands_in(text) is None:
        return False
    told = affirmed(text)
    found = next(_STANDS.finditer(told))
    end = _CLAUSE.search(told, found.end())
    if end is None or not _OFF_THE_HEAT.match(told[: found.start()]):
        return False
    return _AFTERWARDS.match(told[end.end() :]) is not None


def kept_warm_in(text: str) -> bool:
    """Whether the food is kept warm: *keep them warm under foil*, *hold in a warm oven*.

    >>> kept_warm_in("Lift them out and keep them warm."), kept_warm_in("Do not keep it warm."), kept_warm_in("Keep the pan hot.")
    (True, False, False)
    """
    found = _KEPT.search(affirmed(text))
    return found is not None and not _HEATER.search(found[0])


@functools.lru_cache(maxsize=4096)
def stands_in(text: str) -> tuple[int, int] | None:
    """The shortest and the longest time, in milliseconds, that the sentence gives the food; None where it gives none.

    >>> stands_in("Let it cool 5 to 10 minutes, then blend."), stands_in("Stir it for 2 minutes.")
    ((300000, 600000), None)
    >>> stands_in("Fry it in the rest of the oil for 4 minutes."), stands_in("Let the rest rest for 4 minutes.")
    (None, (240000, 240000))
    """
    if not _STANDS.search(text):  # "the rest of the oil" is no rest
        return None
    told = affirmed(text)
    for found in _STANDS.finditer(told):
        end = _CLAUSE.search(told, found.start())
        clause = told[found.start() : end.start() if end else len(told)]
        for figure in figures_in(clause):
            if figure.unit == MS and not figure.idle:
                return int(figure.low), int(figure.high)
    return None
