"""Knife cuts: the millimetres that stand beside the name of a cut."""

from __future__ import annotations

import re

# Books differ, so the millimetres are printed beside the name. Figures as culinary schools commonly teach them (from memory).
_NAMED_MM = (
    (r"brunoise", 3.0),
    (r"small dice|finely diced", 6.0),
    (r"medium dice", 12.0),
    (r"large dice", 20.0),
    (r"julienne", 3.0),
    (r"b[aâ]tonnets?", 6.0),
)
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|cm|in(?:ch(?:es)?)?)\b", re.IGNORECASE)
_TO_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def cut_mm(prep: str) -> float | None:
    """The size of the cut in millimetres: as written, else that of its name, else None.

    >>> cut_mm("dice, 15 mm"), cut_mm("brunoise"), cut_mm("sliced, 1 cm"), cut_mm("picked")
    (15.0, 3.0, 10.0, None)
    """
    if found := _LENGTH.search(prep):
        return float(found.group(1)) * _TO_MM[found.group(2).casefold()[:2]]
    return next((mm for words, mm in _NAMED_MM if re.search(words, prep, re.IGNORECASE)), None)
