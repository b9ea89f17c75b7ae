"""Where in talk a food, a tool, something done or a measure is due, by the words around it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import kitchen_verbs, place_words, small_talk

FOOD, THING, ACT, PART, TECHNIQUE, MEASURE = "food", "thing", "act", "part", "technique", "measure"
"""What may stand in a place: what goes in, what it is done with, what is done, a part of a name of several words, and what a food is
counted in."""
_UNITS = place_words("units")
_DETERMINERS = place_words("determiners")
_LEADS = place_words("leads")
_BESIDE = place_words("beside")
_BEFORE_ACTS = place_words("before acts")
_AFTER_ACTS = place_words("after acts")
_GOES = place_words("goes")
_FOODS_AS_VERBS = place_words("foods as verbs")
_NOUNS_OF_ACTS = place_words("before acts as nouns")
_AFTER_OF = place_words("after of")
_NEVER_AFTER = place_words("never after the")
_OBJECTS = frozenset({"it", "them"})
"""*Finish it with the chives*."""
_SOME = frozenset({"bit", "piece", "pieces"})
"""Of anything: *a bit of crunch*."""
_HOLD_FOOD = frozenset({"pan", "pot", "bowl", "tray", "plate", "dish"})
_COUNTS, _SIZES = place_words("counts"), place_words("sizes")


class PlaceOfWord(NamedTuple):
    """Where a word may be misheard: what is due there, the first word, and how many at most. ``measured``: an amount stands before."""

    due: str
    first: int
    most: int
    measured: bool = False


def places(words: Sequence[str], ends: Sequence[bool], parts: frozenset[str]) -> Iterator[PlaceOfWord]:
    """Where a food, a thing or an act is due, in the order of the words; the surest first where there are several. ``parts``: the words
    of names of several words."""
    small = small_talk()
    named = [word in parts for word in words]
    named += [False, False]
    for n, word in enumerate(words):
        part = named[n] or named[n + 1] or named[n + 2]
        begins = n == 0 or ends[n - 1]
        before = "" if begins else words[n - 1]
        two = "" if n < 2 or begins or ends[n - 2] else words[n - 2]
        measured = before == "of" and two in _UNITS and word not in _AFTER_OF
        odd = measured or (word in _NEVER_AFTER and before in {"the", "your", "my"})
        if word not in small or word == "all" or odd:
            if (food := _food_due(words, ends, n, before, two)) is not None:
                yield food
            elif before == "the" and two == "and" and n > 2 and named[n - 3] and (n + 1 == len(words) or ends[n]):
                yield PlaceOfWord(FOOD, n, 1)  # *of lemon juice and the …*
            if part:
                yield PlaceOfWord(PART, n, 3)
            if before in _COUNTS or before in {"a", "half", "of"}:
                yield PlaceOfWord(MEASURE, n, 2)
            if _thing_is_due(before, two) or (before == "and" and two and two not in small):
                yield PlaceOfWord(THING, n, 3)
            after = words[n + 1] if n + 1 < len(words) and not ends[n] else ""
            if _act_is_due(before, two, after, begins=begins):
                yield PlaceOfWord(ACT, n, 1)
        elif part:
            yield PlaceOfWord(PART, n, 3)
        if before in _DETERMINERS or before in ("and", "for", "in", "into") or begins:
            yield PlaceOfWord(TECHNIQUE, n, 3)


def _food_due(words: Sequence[str], ends: Sequence[bool], n: int, before: str, two: str) -> PlaceOfWord | None:
    """The place of a food that the n-th word may be, by the two words before it."""
    small, verbs = small_talk(), kitchen_verbs()
    if before == "of" and (two in _UNITS or two in ("all", "rest") or two in _HOLD_FOOD):
        return PlaceOfWord(FOOD, n, 3, measured=two in _UNITS - _SOME)
    if "of" in words[max(0, n - 3) : n] and _after_of(words, ends, n):
        return PlaceOfWord(FOOD, n, 3, measured=True)
    if (before, two) == ("little", "a") or _listed(ends, n, before, two):
        return PlaceOfWord(FOOD, n, 2)
    told = before in _DETERMINERS and _verb_before(words, ends, n - 1)
    goes = (before in _DETERMINERS and _goes_after(words, ends, n)) or (
        before in _LEADS and (two in _GOES or two in verbs)
    )
    done = before in verbs and not before.endswith("s") and two not in _DETERMINERS
    if not told and (done or (before == "and" and two and two not in small)):
        return PlaceOfWord(FOOD, n, 2)
    if told or goes:
        return PlaceOfWord(FOOD, n, 3)
    return PlaceOfWord(FOOD, n, 1) if before in _COUNTS and words[n].endswith("s") else None


def _listed(ends: Sequence[bool], n: int, before: str, two: str) -> bool:
    """*And the basil*, where that begins what is said."""
    return before == "the" and two == "and" and (n == 2 or ends[n - 3])


def _after_of(words: Sequence[str], ends: Sequence[bool], n: int) -> bool:
    """*eight hundred mils of our own …*"""
    for back in range(n - 1, max(-1, n - 4), -1):
        if ends[back]:
            return False
        if words[back] == "of":
            return back > 0 and words[back - 1] in _UNITS
        if words[back] not in _DETERMINERS and words[back] not in ("own", "ground") and not words[back].endswith("ed"):
            return False
    return False


def _thing_is_due(before: str, two: str) -> bool:
    if before in _SIZES and two in _DETERMINERS:
        return True
    subject = not two and before in {"a", "an"}  # *A pen and a paper are all you need*
    return before in _DETERMINERS and two not in _BESIDE and not subject


def _act_is_due(before: str, two: str, after: str, *, begins: bool) -> bool:
    if before in _OBJECTS and two == "let":
        return True
    return (begins or before in _BEFORE_ACTS) and (after in _AFTER_ACTS or before in _NOUNS_OF_ACTS)


def _verb_before(words: Sequence[str], ends: Sequence[bool], at: int) -> bool:
    """Whether a verb of the kitchen stands before, with *in the*, *all of the* in between at most."""
    for back in range(at - 1, max(-1, at - 4), -1):
        if back < 0 or ends[back]:
            return False
        if words[back] in kitchen_verbs() or words[back] in _GOES:
            return True
        if words[back] in _FOODS_AS_VERBS and (back == 0 or ends[back - 1] or words[back - 1] in _BEFORE_ACTS):
            return True
        if words[back] not in _LEADS and words[back] not in _DETERMINERS and words[back] not in _OBJECTS:
            return False
    return False


def _goes_after(words: Sequence[str], ends: Sequence[bool], n: int) -> bool:
    for ahead in range(n + 1, min(len(words), n + 4)):
        if ends[ahead - 1]:
            return False
        if words[ahead] in _GOES:
            return True
    return False
