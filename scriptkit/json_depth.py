"""How deeply a JSON text is nested, asked before a reader that may not bear it: Pythons and libraries differ in how much they take."""

from __future__ import annotations

import re

_BRACKETS = re.compile(r'"(?:[^"\\]+|\\.)*+"?|[\[{]|[\]}]', re.DOTALL)


def deepest(text: str) -> int:
    """How many brackets stand open at once, at the most; those in quotes do not count.

    >>> deepest('{"a": [1, "[[["]}')
    2
    """
    most = now = 0
    for found in _BRACKETS.finditer(text):
        first = found[0][0]
        now += 1 if first in "[{" else -1 if first in "]}" else 0
        most = max(most, now)
    return most
