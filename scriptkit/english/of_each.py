"""Whether an amount that somebody says is of each plate, bowl or person: *a teaspoon of oil over each bowl*."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

_CLAUSE_END = re.compile(r"[.,;:!?…–—]")
_EACH = r"(?:each|apiece|a piece|every (?:one|bowl|plate|portion|serving|person)|(?:per|an?) (?:head|person|serving|portion|bowl|plate))"
_FOR_EACH = LazyPattern(
    rf"(?:\s+of)?(?:\s+[^\W\d_][\w'’-]*){{0,3}}?\s+(?:(?:on|over|for|in|into|to|onto|with|goes (?:on|over|in|into))\s+)?{_EACH}\b",
    re.I,
)
_EACH_GETS = LazyPattern(
    r"\b(?:each|every)\s+(?:bowl|plate|one|portion|serving|person|of them)\s+(?:gets?|has|takes?|put)\s+(?:about\s+|just\s+)?$",
    re.I,
)


def is_of_each(text: str, start: int, end: int) -> bool:
    """Of the amount that stands from ``start`` to ``end`` of the text.

    >>> is_of_each("A tablespoon of parsley over each bowl.", 0, 12), is_of_each("A tablespoon of parsley over the bowls.", 0, 12)
    (True, False)
    """
    after = _CLAUSE_END.split(text[end : end + 60], maxsplit=1)[0]
    return bool(_FOR_EACH.match(after) or _EACH_GETS.search(text[max(0, start - 40) : start]))
