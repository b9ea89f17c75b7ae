"""What something is said to go in or onto: *in the soup*, *on that skin*."""

from __future__ import annotations

import re

from scriptkit.english.clause_lexicon import set_
from scriptkit.english.stems import STOP, stem
from scriptkit.patterns import LazyPattern

_INTO = LazyPattern(
    r"\b(?:in|into|on|onto|to|over|under|for|with|through|of|salt(?:ed|ing)?|season(?:ed|ing)?|oil(?:ed|ing)?|butter(?:ed|ing)?)(?: top of)? (?:all )?"
    r"(?:the|that|this|my|our|your|those|these|each|every|both) (?P<first>[a-z'’-]+)(?: (?P<second>[a-z'’-]+))?",
    re.IGNORECASE,
)
_ANYWHERE = frozenset(map(stem, set_("pan pot bowl dish plate oven jug tray board time last rest end recipe")))
"""These are in every recipe, or are no place."""


def said_to_go(words: str) -> set[str]:
    """The stems of what the words name as a place for something.

    >>> sorted(said_to_go("I put no salt in the soup at all"))
    ['soup']
    """
    found = {
        stem(word.casefold())
        for one in _INTO.finditer(words)
        for word in (one["first"], one["second"] or "")
        if word and word.casefold() not in STOP
    }
    return found - _ANYWHERE
