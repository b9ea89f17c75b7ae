"""Whether a page measures in British or in American pints and gills, told by its other words."""

from __future__ import annotations

import re
from collections.abc import Iterable

from scriptkit.drafting.old_measures import old_measures
from scriptkit.measure.amounts import Amount, Kind

BRITISH, AMERICAN = "british", "american"
_BRITISH = re.compile(
    r"\bgas(?: mark)? ?\d|\bgas mark\b|\bregulo\b|\bswedes?\b|\bsuet\b|\bcaster sugar\b|\bself[- ]raising\b|\bcornflour\b|\bdouble cream\b|\bdripping\b"
    r"|\bdemerara\b|\bstreaky\b|\bcourgettes?\b|\baubergines?\b|\bstone (?:lighter|of)\b|\bimperial pints?\b|\b(?:568|570|284|285|142|150) ?ml\b",
    re.IGNORECASE,
)
_AMERICAN = re.compile(
    r"(?<!tea)(?<!measuring )\bcups?\b|\bsticks?\b[^,\n]{0,25}\bbutter\b|\(\d[^()]{0,5} sticks?\)|\ball[- ]purpose\b|\bheavy (?:whipping )?cream\b|\bkosher salt\b|\b473 ?ml\b|\bhalf[- ]and[- ]half\b",
    re.IGNORECASE,
)
_FAHRENHEIT = re.compile(r"\d ?(?:° ?F\b|degrees F)", re.IGNORECASE)
_CELSIUS = re.compile(r"\d ?(?:° ?C\b|degrees C\b|C\b)|\bgas\b", re.IGNORECASE)
_POUNDS = re.compile(r"\d ?(?:lbs?|oz)\b\.?", re.IGNORECASE)
_PINT = re.compile(r"(?<=[\s\d½⅓⅔¼¾⅛])(?P<what>pints?|pts?|gills?|quarts?|qts?)\b\.?(?=\s)", re.IGNORECASE)


_WHOLE_WORD = {"p": "pint", "g": "gill", "q": "quart"}


def pints_of(lines: Iterable[str]) -> str:
    """`british`, `american`, or empty where the page does not tell, or tells both."""
    page = "\n".join(lines)
    british, american = bool(_BRITISH.search(page)), bool(_AMERICAN.search(page))
    fahrenheit_alone = bool(_FAHRENHEIT.search(page)) and not _CELSIUS.search(page)
    american = american or (fahrenheit_alone and not british)
    if british == american:
        return BRITISH if not american and _POUNDS.search(page) and _CELSIUS.search(page) else ""
    return BRITISH if british else AMERICAN


def in_british(line: str) -> str:
    """The line with its pints, quarts and gills named as British ones, which old_measures.csv has.

    >>> in_british("1/2 pint milk"), in_british("2 gills cream"), in_british("2 leeks")
    ('1/2 imperial-pint milk', '2 imperial-gill cream', '2 leeks')
    """
    return _PINT.sub(lambda m: f"imperial-{_WHOLE_WORD[m['what'][0].casefold()]}", line)


def unsure_pint(remarks: Iterable[str], amount: Amount | None) -> str:
    """Of what was said of how a line was read, that it counts an American pint or gill; empty where it counts none, or is weighed."""
    if amount is None or amount.kind is not Kind.VOLUME:
        return ""
    told = {old_measures()[word][1] for word in ("pint", "pt", "gill")}
    return next((remark for remark in remarks if remark in told), "")
