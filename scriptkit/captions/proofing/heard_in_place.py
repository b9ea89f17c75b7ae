"""Words that sound like one that is due where they stand: *forty grams of papers*, *salt the hate*, *dies the onion*.

What surrounds a word tells what it can be: after *grams of* a food, after *slice the* a food, after *on the* a vessel or tool, before
*the butter* something that is done. There a word that is none of these and sounds like one of the recipe's is likely that one;
a common word must sound nearer, and so must one whose likely meaning is named nearby anyhow.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import DueTerms, kitchen_verbs, place_words, small_talk
from scriptkit.captions.proofing.right_as_heard import (
    base,
    is_everyday,
    is_no_food,
    is_quality,
    is_said,
    is_verb,
    right_as_heard,
)
from scriptkit.cut.placing.common_words import common
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, sound_distance
from scriptkit.english.stems import stem

FOOD, THING, ACT, PART, TECHNIQUE = "food", "thing", "act", "part", "technique"
"""What may stand in a place: what goes in, what it is done with, what is done, and a part of a name of several words."""
_UNITS = place_words("units")
_WEIGHTS = place_words("weights")
_DETERMINERS = place_words("determiners")
_LEADS = place_words("leads")
_BESIDE = place_words("beside")
_BEFORE_ACTS = place_words("before acts")
_AFTER_ACTS = place_words("after acts")
_GOES = place_words("goes")
_FOODS_AS_VERBS = place_words("foods as verbs")
_NOUNS_OF_ACTS = place_words("before acts as nouns")
_FARTHEST = {FOOD: 0.3, THING: 0.17, ACT: 0.24, PART: 0.3, TECHNIQUE: 0.24}
"""Of sound, by what stands there (our own figures, from lines of our own)."""
_COMMON, _NAMED_NEAR, _OF_THE_KITCHEN, _AFTER_AMOUNT, _NO_MARGIN = 0.07, 0.22, 0.13, 0.06, 0.02
"""How much nearer a common word must sound, one whose meaning is named nearby, and one that is a word of the kitchen itself; how much
farther it may after an amount; and by how much it must be nearer than the next best."""
_COMMON_SHARE = 0.05
_EVERYDAY, _LONG = 0.11, 5
"""How near an everyday word must sound, and of how many sounds the term must be then."""
_SHORT, _SHORT_FARTHEST = 3, 0.2
"""A term of so few sounds is like too many words: it must be nearer than this."""
_RARE_WORD, _REST_FARTHEST, _OTHER_FARTHEST = 0.06, 0.2, 0.34
"""How much farther words may be that nobody says of cooking; how far what is left of a name whose other word is right; and how far that
word by itself, before the name as a whole is compared."""
_THE_SAME = 0.05
_AFTER_OF = place_words("after of")
_ANY_VERBS = place_words("verbs of anything")
_NEVER_AFTER = place_words("never after the")
_NEAR = 25
_LETTERS = 2
_DIFFER, _ROUNDED = 0.67, 1e-9


class PlaceOfWord(NamedTuple):
    """Where a word may be misheard: what is due there, the first word, and how many at most. ``measured``: an amount stands before."""

    due: str
    first: int
    most: int
    measured: bool = False


@dataclass(frozen=True, slots=True)
class LikelyMeant:
    """From which to before which word, the term that was likely meant, and why."""

    first: int
    last: int
    meant: tuple[str, ...]
    why: str


def likely_meant(words: Sequence[str], ends: Sequence[bool], terms: DueTerms) -> Iterator[LikelyMeant]:
    """Each place at which another word was likely meant, in order, none overlapping. ``words`` are folded; ``ends[n]``: whether a mark
    stands after the word, over which nothing is read."""
    free = 0
    words, reach = tuple(words), _reach(ends)
    for place in places(words, ends, terms.parts):
        if place.first < free:
            continue
        found = _meant(words, reach[place.first], place, terms)
        if found is not None:
            yield found
            free = found.last


def _reach(ends: Sequence[bool]) -> list[int]:
    """Of each word, before which word the talk from there first stops."""
    reach = [0] * len(ends)
    stop = len(ends)
    for n in range(len(ends) - 1, -1, -1):
        stop = n + 1 if ends[n] else stop
        reach[n] = stop
    return reach


def places(words: Sequence[str], ends: Sequence[bool], parts: frozenset[str]) -> Iterator[PlaceOfWord]:
    """Where a food, a thing or an act is due, in the order of the words; the surest first where there are several. ``parts``: the words
    of names of several words."""
    small, verbs = small_talk(), kitchen_verbs()
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
            if before == "of" and (two in _UNITS or two in ("all", "rest")):
                yield PlaceOfWord(FOOD, n, 3, measured=two in _UNITS)
            elif "of" in words[max(0, n - 3) : n] and _after_of(words, ends, n):
                yield PlaceOfWord(FOOD, n, 3, measured=True)
            elif before in _DETERMINERS and _verb_before(words, ends, n - 1):
                yield PlaceOfWord(FOOD, n, 3)
            elif (before in verbs and not before.endswith("s") and two not in _DETERMINERS) or (
                before == "and" and two and two not in small
            ):
                yield PlaceOfWord(FOOD, n, 2)
            elif (before in _DETERMINERS and _goes_after(words, ends, n)) or (
                before in _LEADS and (two in _GOES or two in verbs)
            ):
                yield PlaceOfWord(FOOD, n, 3)
            if part:
                yield PlaceOfWord(PART, n, 3)
            subject = not two and before in {"a", "an"}  # *A pen and a paper are all you need*
            if (before in _DETERMINERS and two not in _BESIDE and not subject) or (
                before == "and" and two and two not in small
            ):
                yield PlaceOfWord(THING, n, 3)
            after = words[n + 1] if n + 1 < len(words) and not ends[n] else ""
            if (begins or before in _BEFORE_ACTS) and (after in _AFTER_ACTS or before in _NOUNS_OF_ACTS):
                yield PlaceOfWord(ACT, n, 1)
        elif part:
            yield PlaceOfWord(PART, n, 3)
        if before in _DETERMINERS or before in ("and", "for", "in", "into") or begins:
            yield PlaceOfWord(TECHNIQUE, n, 3)


def _after_of(words: Sequence[str], ends: Sequence[bool], n: int) -> bool:
    """*eight hundred mils of our own …*"""
    for back in range(n - 1, max(-1, n - 4), -1):
        if ends[back]:
            return False
        if words[back] == "of":
            return back > 0 and words[back - 1] in _UNITS
        if words[back] not in _DETERMINERS and words[back] not in ("own", "ground"):
            return False
    return False


def _verb_before(words: Sequence[str], ends: Sequence[bool], at: int) -> bool:
    """Whether a verb of the kitchen stands before, with *in the*, *all of the* in between at most."""
    for back in range(at - 1, max(-1, at - 4), -1):
        if back < 0 or ends[back]:
            return False
        if words[back] in kitchen_verbs() or words[back] in _GOES:
            return True
        if words[back] in _FOODS_AS_VERBS and (back == 0 or ends[back - 1] or words[back - 1] in _BEFORE_ACTS):
            return True
        if words[back] not in _LEADS and words[back] not in _DETERMINERS:
            return False
    return False


def _goes_after(words: Sequence[str], ends: Sequence[bool], n: int) -> bool:
    for ahead in range(n + 1, min(len(words), n + 4)):
        if ends[ahead - 1]:
            return False
        if words[ahead] in _GOES:
            return True
    return False


def _meant(words: tuple[str, ...], stop: int, place: PlaceOfWord, terms: DueTerms) -> LikelyMeant | None:
    """What was likely meant there; the talk stops before the word ``stop``."""
    best: tuple[float, int, tuple[str, ...]] | None = None
    second = 1.0
    due, first, most, _ = place
    for count in range(2 if due in {PART, TECHNIQUE} else 1, min(most, stop - first) + 1):
        window = words[first : first + count]
        if due == PART and terms.parts.isdisjoint(window):
            continue
        near = _near(window, terms, due)
        if not near:
            continue
        begins, goes_on = (w in small_talk() and w != "all" for w in (window[0], window[-1]))
        goes_on = goes_on and window[-1] not in {"her", "it"}
        for term, far in near:
            whole = len(term) == 1 and (far < _THE_SAME or _is_rare(window[0], terms))
            if (count == 1 and begins) or (count > 1 and goes_on and not whole):
                continue
            if best is not None and _whole_name(best, term, window, far):
                best = (far, count, term)
            elif best is None or far < best[0]:
                second = best[0] if best is not None and not _same_term(best[2], term) else second
                best = (far, count, term)
            elif not _same_term(best[2], term):
                second = min(second, far)
    if best is None:
        return None
    far, count, term = best
    window = tuple(words[place.first : place.first + count])
    limit = _limit(words, place, window, term, terms)
    if far > limit or second - far < _NO_MARGIN:
        return None
    return LikelyMeant(
        place.first, place.first + count, term, _WHY[place.due] if not place.measured else _WHY["measured"]
    )


_WHY = {
    FOOD: "it sounds alike, and a food belongs there",
    "measured": "it sounds alike, and a food follows an amount",
    THING: "it sounds alike, and a vessel or tool belongs there",
    ACT: "it sounds alike, and a cooking verb belongs there",
    PART: "it sounds alike, and the rest of the name is right",
    TECHNIQUE: "together the words sound like it",
}


def _whole_name(
    best: tuple[float, int, tuple[str, ...]], term: tuple[str, ...], window: tuple[str, ...], far: float
) -> bool:
    """Whether more of the words are the whole of a name of which the best so far is a part: *castor shooter*, caster sugar."""
    return len(window) > best[1] and set(best[2]) < set(term) and far <= _FARTHEST[PART] / 2


def _same_term(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    return bool({stem(w) for w in one} & {stem(w) for w in other})


def _limit(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> float:
    """How far the words may be from the term by their sound; below 0 where they can be no mishearing of it."""
    if _cannot_be(words, place, window, term, terms):
        return -1.0
    odd = [w for w in window if base(w) not in {base(t) for t in term}]
    if place.due == PART or len(odd) < len(window):
        if odd == [window[0]] and is_quality(odd[0]):
            return _EVERYDAY  # *a wide pan*, *soft cheese*
        return _FARTHEST[PART] + (_AFTER_AMOUNT if place.measured and place.due == PART else 0.0)
    if place.due == TECHNIQUE and window[0] in small_talk() and words[max(0, place.first - 1)] not in _DETERMINERS:
        return _FARTHEST[TECHNIQUE] / 2
    limit = _FARTHEST[place.due] + (_AFTER_AMOUNT if place.measured else 0.0)
    if len(heard_as(term)) <= _SHORT:
        limit = min(limit, _SHORT_FARTHEST)
    before = words[max(0, place.first - 1)]
    if place.measured and _weighed(words, place.first) and any(map(is_no_food, window)):
        limit -= _COMMON
    elif all(is_everyday(w, before) or (not place.measured and is_said(w)) for w in window):
        blocked = len(heard_as(term)) < _LONG or place.due == ACT or (not place.measured and _of_anything(words, place))
        limit = min(limit, -1.0 if blocked else _EVERYDAY)
    elif all(w in terms.kitchen for w in window):
        limit = min(limit, _OF_THE_KITCHEN)
    elif all(common().get(stem(w), 0.0) >= _COMMON_SHARE or w in small_talk() for w in window):
        limit -= _COMMON
    near = words[max(0, place.first - _NEAR) : place.first + _NEAR]
    if place.due == FOOD and {stem(w) for w in near} & {stem(term[-1])}:
        return limit - _NAMED_NEAR
    rare = any(_is_rare(w, terms) for w in window) and (place.due != THING or len(window) > 1)
    return min(limit + _RARE_WORD * rare, _FARTHEST[FOOD] + _RARE_WORD)


def _cannot_be(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> bool:
    """Whether the words are right as they are, or in no place where the term could stand."""
    said, meant = set(map(singular, window)), set(map(singular, term))
    noun = place.due in {FOOD, THING}
    if said <= meant or meant <= said or right_as_heard(words, place.first, place.first + len(window), noun=noun):
        return True
    if place.due == PART:
        return False
    if place.due in {THING, TECHNIQUE} and not terms.food_words.isdisjoint(set(window) - set(term)):
        return True  # a food that is named is no tool
    if place.due == ACT and is_verb(window[0]):
        return True
    after_and = place.due == THING and place.first > 1 and words[place.first - 1] == "and"
    if after_and and words[place.first - 2] not in terms.own:  # *a pestle and mortal*, not *a walk and a swim*
        return True
    shared = not {base(w) for w in window}.isdisjoint(map(base, term))
    return (shared and not _rest_alike(window, term)) or terms.own.issuperset(window)


def _weighed(words: Sequence[str], at: int) -> bool:
    """Whether a weight or a measure stands before: *two hundred grams of*, *a litre of our own*."""
    return not _WEIGHTS.isdisjoint(words[max(0, at - 4) : at])


def _of_anything(words: Sequence[str], place: PlaceOfWord) -> bool:
    """Whether it is said to be done with anything: *take the paper out*."""
    return not _ANY_VERBS.isdisjoint(words[max(0, place.first - 3) : place.first])


def _is_rare(word: str, terms: DueTerms) -> bool:
    return not (is_everyday(word) or is_said(word) or word in terms.kitchen or word in terms.own)


def _rest_alike(window: tuple[str, ...], term: tuple[str, ...]) -> bool:
    """Whether the words are a name with its first or last word right, and the rest sounds like the rest: *ground all months*."""
    for cut in (1, -1):
        right, left = (slice(None, 1), slice(1, None)) if cut == 1 else (slice(-1, None), slice(None, -1))
        if [base(w) for w in window[right]] == [base(w) for w in term[right]] and window[left] and term[left]:
            other = [base(w) for w in window[left]] != [base(w) for w in term[left]]
            return other and sound_distance(window[left], term[left]) <= _REST_FARTHEST
    return False


@functools.lru_cache(maxsize=64)
def _candidates(terms: DueTerms, due: str) -> tuple[tuple[tuple[str, ...], ...], tuple[str, ...]]:
    """What may stand there, and how each of it sounds."""
    found = {FOOD: terms.foods, THING: terms.things, ACT: terms.acts, PART: terms.names, TECHNIQUE: terms.techniques}[
        due
    ]
    return found, tuple(map(heard_as, found))


@functools.lru_cache(maxsize=64)
def _names_with(terms: DueTerms, word: str) -> tuple[tuple[str, ...], ...]:
    """The names of several words of which this is one, be it one or several."""
    return tuple(name for name in terms.names if word in map(base, name))


@functools.lru_cache(maxsize=65_536)
def _near(window: tuple[str, ...], terms: DueTerms, due: str) -> tuple[tuple[tuple[str, ...], float], ...]:
    """The terms that sound like the words at all, each with its distance."""
    from rapidfuzz import process
    from rapidfuzz.distance import Levenshtein

    said = heard_as(window)
    if len(said) < _LETTERS:
        return ()
    candidates, sounds = _candidates(terms, due)
    if due == PART:
        shared = {name for word in window for name in _names_with(terms, base(word))}
        candidates = tuple(name for name in shared if _rest_is_near(window, name))
        sounds = tuple(map(heard_as, candidates))
    # Of two or three letters two may differ, of more six in ten.
    close = process.extract(said, sounds, scorer=Levenshtein.normalized_distance, score_cutoff=_DIFFER, limit=None)
    found = []
    for respelt, share, n in close:
        longest = max(len(said), len(respelt))
        if share * longest > max(2, 0.6 * longest) + _ROUNDED:
            continue
        far = sound_distance(window, candidates[n])
        if far <= max(_FARTHEST.values()) + _AFTER_AMOUNT:
            found.append((n, far))
    return tuple((candidates[n], far) for n, far in sorted(found))


def _rest_is_near(window: tuple[str, ...], name: tuple[str, ...]) -> bool:
    return _shares_a_word(window, name) if len(window) == len(name) else _rest_alike(window, name)


def _shares_a_word(window: tuple[str, ...], term: tuple[str, ...]) -> bool:
    """Of a name of several words all but one are heard, each in its place; and that one is another word."""
    if len(window) != len(term) or len(term) < 2:
        return False
    other = [(a, b) for a, b in zip(window, term, strict=True) if base(a) != base(b)]
    if len(other) != 1 or other[0][0] in small_talk():
        return False
    said, meant = other[0]
    return sound_distance((said,), (meant,)) <= _OTHER_FARTHEST
