"""Words of a line that tell how the food is got ready."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scriptkit.drafting.food_matching import FoodMatch, folded, is_of

_LONGEST_PREP = 90
_A_SENTENCE = re.compile(r"\b(?:is|are|was|works?|you|i|we|it|they|can|may|will|or use|optional)\b", re.IGNORECASE)
_DONE_AWAY = re.compile(
    r"\b(?:removed|discarded|reserved|trimmed|scraped|taken off|pulled off|cut off|left (?:whole|on)|kept whole|separated|intact|picked|saved)(?: (?:off|away|out))?$",
    re.IGNORECASE,
)


def tells_prep(note: str) -> bool:
    """*Rinsed until the water runs clear*, *casings removed*: what is done to it, however the words go on."""
    if (last := note.rpartition(" then ")[2]) != note:
        return tells_prep(last) or all(is_of(w, "cut") for w in folded(last))
    words = folded(re.sub(r"^(?:(?:then|and|all|each|both|very|well|\w+ly)\s+)+", "", note, flags=re.IGNORECASE))
    if not words or len(note) > _LONGEST_PREP or _A_SENTENCE.search(note):
        return False
    return (is_of(words[0], "cut") and len(words) > 1) or bool(_DONE_AWAY.search(note))


def is_cutting(words: Sequence[str], found: FoodMatch) -> bool:
    """Whether the first of two words of the line tells how the food is cut: *finely chopped*, *large-diced*."""
    first = folded(words[0])
    if not first or any(w in found.covered for w in first):
        return words[0] in ("and", "&")
    if all(is_of(w, "cut", "plain") for w in first) and any(is_of(w, "cut") for w in first):
        return True
    adverb = words[0].casefold().endswith("ly") or words[0].casefold() in ("and", "&", "well")
    return adverb and len(words) > 1 and any(is_of(w, "cut") for w in folded(words[1]))
