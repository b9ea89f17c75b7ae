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
"""Exact: an inch is 2.54 cm (NIST Handbook 44, Appendix C)."""


def cut_mm(prep: str) -> float | None:
    """The size of the cut in millimetres: as written, else that of its name, else None.

    >>> cut_mm("dice, 15 mm"), cut_mm("brunoise"), cut_mm("sliced, 1 cm"), cut_mm("picked")
    (15.0, 3.0, 10.0, None)
    """
    if found := _LENGTH.search(prep):
        return float(found.group(1)) * _TO_MM[found.group(2).casefold()[:2]]
    return next((mm for words, mm in _NAMED_MM if re.search(words, prep, re.IGNORECASE)), None)


def size_is_said(prep: str) -> bool:
    """Whether it has a length, in whichever unit: ``cubes, 2 cm``."""
    return _LENGTH.search(prep) is not None


# Cuts that are no cubes, in all three directions; the same source as above.
_THREE_WAYS = ((r"julienne", "3 × 3 × 40 mm"), (r"b[aâ]tonnets?", "6 × 6 × 55 mm"))


def cut_size(prep: str) -> str:
    """The size as it stands on a label: as written, else that of the cut's name in every direction, else nothing.

    >>> cut_size("dice, 15 mm"), cut_size("brunoise"), cut_size("julienne"), cut_size("julienne, 2 mm"), cut_size("picked")
    ('15 mm', '3 mm', '3 × 3 × 40 mm', '2 mm', '')
    """
    if not _LENGTH.search(prep):
        for words, size in _THREE_WAYS:
            if re.search(words, prep, re.IGNORECASE):
                return size
    mm = cut_mm(prep)
    return "" if mm is None else f"{mm:g} mm"
