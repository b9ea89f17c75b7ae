"""Words of ours that a US kitchen says otherwise: a stove, fiber, three feet. What a cook wrote stays as written."""

from __future__ import annotations

import functools
import re

from scriptkit.data_files import made_of_rows
from scriptkit.measure.unit_system import US


def in_kitchen_words(text: str, units: str) -> str:
    """A text of ours in the words of the kitchen that it is for.

    >>> in_kitchen_words("Fibre: extractor on, one metre from the hob", US), in_kitchen_words("the hob", "metric")
    ('Fiber: exhaust fan on, three feet from the stove', 'the hob')
    """
    if units != US:
        return text
    return _british().sub(lambda found: _as_begun(us_words()[found[0].casefold()], found[0]), text)


@functools.cache
def us_words() -> dict[str, str]:
    """British → US. Raises BadDataFile."""
    return dict(made_of_rows("scriptkit.english", "us_words.csv", ("british", "us"), lambda british, us: (british, us)))


@functools.cache
def _british() -> re.Pattern[str]:
    words = sorted(us_words(), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})\b", re.IGNORECASE)


def _as_begun(word: str, found: str) -> str:
    return word[:1].upper() + word[1:] if found[:1].isupper() else word
