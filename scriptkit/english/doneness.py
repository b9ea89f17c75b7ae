"""How a sentence says that food is done: its *until …*, and whether that is seen or felt."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.english.negation import is_forbidden
from scriptkit.patterns import LazyPattern

_UNTIL = LazyPattern(
    r"\b(?:un)?till?\s+(\S.{0,300}?)(?=[.;:!]|,\s*(?:then|and|or|but|about|for)\b|\s+then\b|$)", re.IGNORECASE
)
_NO_DONENESS = LazyPattern(
    r"(?:it is |they are |you are )?(?:needed|required|wanted|called for|ready to (?:use|serve|cook|plate)|(?:use|serving|service)\b"
    r"|the (?:next|last|following|end)|tomorrow|overnight|you\b|\d+\s*(?:s|min|h)\w*\b)",
    re.IGNORECASE,
)
_IT_IS = LazyPattern(r"^(?:it|they|everything)(?: is| are|['’]s|['’]re) (?:all )?", re.IGNORECASE)
_FELT = LazyPattern(
    r"\b(?:kni(?:fe|ves)|skewers?|forks?|tender|soft\w*|smooth\w*|flak\w+|stiff\w*|crisp\w*|thick\w*|coats?|set|springs?|firm\w*|"
    r"peaks?|wilt\w*|clean|pliable|dissolv\w+|crumbl\w+|falls? apart|runny|silky|elastic|al dente)\b",
    re.IGNORECASE,
)
"""Words of doneness that are tested, not only seen (words of the trade)."""


@dataclass(frozen=True, slots=True)
class Until:
    """What shows that it is done, in the sentence's words; ``felt``: it is tried with a knife, a fork or a finger."""

    cue: str
    felt: bool


@functools.lru_cache(maxsize=4096)
def until_in(text: str) -> Until | None:
    """The first *until …* that tells doneness; None where there is none. In a prohibition (*do not open it until …*) and before
    a mere moment (*until needed*) it tells none.

    >>> until_in("Simmer until a knife slides in, then blend."), until_in("Chill until needed.")
    (Until(cue='a knife slides in', felt=True), None)
    """
    for found in _UNTIL.finditer(text):
        if not is_forbidden(text, found.start()) and not _NO_DONENESS.match(found.group(1)):
            cue = _IT_IS.sub("", found.group(1).strip().rstrip(","))
            return Until(cue, _FELT.search(cue) is not None)
    return None
