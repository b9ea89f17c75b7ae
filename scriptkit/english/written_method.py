"""What the written method of somebody else's recipe tells: the number of a step, how long it waits, and *both flours*."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.measure.figures import MS, figures_in
from scriptkit.patterns import LazyPattern

LONGEST_MS = 7 * 86_400_000
_NUMBER = LazyPattern(
    r"^\s*(?:(?:step|part)\s*\d{1,2}\b\s*[.):–—-]?|\d{1,2}\s*[.):](?!\d)|\(\d{1,2}\))\s*", re.IGNORECASE
)
_NOT_ITS_TIME = LazyPattern(
    r"\b(?:every|last|first|final|within|after|up to|every other|in|by|than|lasts?|ahead|keeps?)\s*$", re.IGNORECASE
)
_ALTERNATIVE = LazyPattern(r"\bor(?! (?:so|until|till|less|more)\b)\s+(?:(?!\bthen\b)[^.,;\d]){0,25}$", re.IGNORECASE)
_LESS = LazyPattern(r"^\s*(?:less|fewer|shorter|before|ahead|apart|bursts?|intervals?)\b", re.IGNORECASE)
_A_SIDE = LazyPattern(r"^\s*(?:per|on each|each|a|on every|on the first|on both|on either)\s+sides?\b", re.IGNORECASE)
_HOURS_RUN_IN = LazyPattern(
    r"(?<=\d)\s?h(?:(?:ou)?rs?)?\.?\s?(?P<minutes>[0-5]\d)\b(?!\s?(?:°|s|m|h|d|[-–/.]?\d))", re.IGNORECASE
)
"""*1 hr 15*, *1h30*."""
_BOTH = LazyPattern(
    r"\b(?:both|all(?: of)?(?: the)?|the two|the three)\s+(?:(?:kinds|types|sorts) of\s+)?([a-z]{3,}s)\b", re.IGNORECASE
)


def without_number(text: str) -> str:
    """The step without the number that it begins with.

    >>> [without_number(t) for t in ("1. Chop.", "Step 2: Fry.", "3) Serve.", "2 eggs go in.", "1.5 litres go in.")]
    ['Chop.', 'Fry.', 'Serve.', '2 eggs go in.', '1.5 litres go in.']
    """
    return _NUMBER.sub("", text)


def begins_with_number(text: str) -> bool:
    """Whether the text begins as a numbered step does."""
    return _NUMBER.match(text) is not None


def wait_ms_in(text: str) -> int:
    """All times of a step together, in milliseconds: of a range the lower, of alternatives the first, twice what is said of a side; 0 where it
    gives none, or more than ``LONGEST_MS``. *Every 2 minutes* and *the last 5 minutes* are times of something else.

    >>> [wait_ms_in(t) / 60_000 for t in ("Bake 1 hr 15.", "Cook for 2 and a half hours.", "Fry 4 to 5 minutes per side, then another 10 minutes.")]
    [75.0, 150.0, 18.0]
    """
    total = sum(_waits(_HOURS_RUN_IN.sub(r" h \g<minutes> min", text)))
    return total if 0 < total <= LONGEST_MS else 0


def _waits(text: str) -> Iterator[int]:
    for figure in figures_in(text):
        ahead = text[max(0, figure.start - 40) : figure.start]
        after = text[figure.end : figure.end + 20]
        if figure.unit == MS and not (
            figure.idle or _ALTERNATIVE.search(ahead) or _NOT_ITS_TIME.search(ahead) or _LESS.match(after)
        ):
            yield round(figure.low) * (2 if _A_SIDE.match(after) else 1)


def all_of_a_kind(text: str) -> tuple[str, ...]:
    """What the text takes all of, in the plural: *both flours*, *all the spices*.

    >>> all_of_a_kind("Sift in both flours and all of the spices.")
    ('flours', 'spices')
    """
    return tuple(found[1].casefold() for found in _BOTH.finditer(text))
