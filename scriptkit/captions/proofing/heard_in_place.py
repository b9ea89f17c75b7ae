"""Words that sound like one that is due where they stand: *forty grams of papers*, *salt the hate*, *dies the onion*.

What surrounds a word tells what it can be: after *grams of* a food, after *slice the* a food, after *on the* a vessel or tool, before
*the butter* something that is done. There a word that is none of these and sounds like one of the recipe's is likely that one;
a common word must sound nearer, and so must one whose likely meaning is named nearby anyhow.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.proofing.due_places import ACT, FOOD, MEASURE, PART, TECHNIQUE, THING, PlaceOfWord, places
from scriptkit.captions.proofing.due_terms import DueTerms, place_words, small_talk
from scriptkit.captions.proofing.left_as_heard import is_named_again, is_on_purpose, swallows
from scriptkit.captions.proofing.owed_after_verb import owed_after_verb
from scriptkit.captions.proofing.owed_by_amount import owed_by_amount
from scriptkit.captions.proofing.right_as_heard import (
    base,
    is_done_or_said,
    is_everyday,
    is_made_quality,
    is_no_food,
    is_quality,
    is_said,
    is_verb,
    is_what_it_does,
    right_as_heard,
)
from scriptkit.captions.proofing.sounding_terms import near_terms, rest_alike
from scriptkit.cut.placing.common_words import common
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, sound_distance
from scriptkit.english.stems import stem

_WEIGHTS = place_words("weights")
_DETERMINERS = place_words("determiners")
_WEAK_ENDS = place_words("weak ends")
_FARTHEST = {FOOD: 0.3, THING: 0.17, ACT: 0.24, PART: 0.3, TECHNIQUE: 0.24, MEASURE: 0.22}
"""Of sound, by what stands there (our own figures, from lines of our own)."""
_COMMON, _NAMED_NEAR, _OF_THE_KITCHEN, _AFTER_AMOUNT, _NO_MARGIN = 0.07, 0.22, 0.13, 0.06, 0.02
"""How much nearer a common word must sound, one whose meaning is named nearby, and one that is a word of the kitchen itself; how much
farther it may after an amount; and by how much it must be nearer than the next best."""
_SEVERAL_NAMED_NEAR, _NAMED_NEAR_AND_DUE = 0.15, 0.1
"""The same for several words, which are seldom said so (*the apple cots*), and after an amount."""
_COMMON_SHARE = 0.05
_EVERYDAY, _LONG = 0.11, 5
"""How near an everyday word must sound, and of how many sounds the term must be then."""
_TOGETHER, _ACT_BEFORE_FOOD, _THING_SAID = 0.15, 0.08, 0.17
"""The same for several after an amount, for one that begins an order before a food, and for several after *the* that are a food, or of
which one is a thing that people say."""
_SHORT, _SHORT_FARTHEST = 3, 0.2
"""A term of so few sounds is like too many words: it must be nearer than this."""
_RARE_WORD = 0.06
"""How much farther words may be that nobody says of cooking."""
_DONE_AND_WEIGHED = 0.18
"""For a word that is something done, or no thing that is eaten, after a weight: *a hundred grams of sweat*."""
_SAME_SOUND, _THE_SAME, _SAME_AFTER_AMOUNT, _LET_IT = 0.01, 0.05, 0.1, 0.15
_OBJECTS = frozenset({"it", "them"})
_ANY_VERBS = place_words("verbs of anything")
_NEAR = 25
_OF_THE_VERB = 0.5
"""How far what a step does so may be by its sound, to be likelier than what sounds nearer (our own figure)."""
_LETTERS = 2


@dataclass(frozen=True, slots=True)
class LikelyMeant:
    """From which to before which word, the term that was likely meant, and why."""

    first: int
    last: int
    meant: tuple[str, ...]
    why: str
    other: tuple[str, ...] = ()
    """What else may be meant, where that is not sure; nothing is written in its place then."""
    again: bool = False
    """Whether the sentence names what was meant beside it too; nothing is written in its place then either."""


def likely_meant(words: Sequence[str], ends: Sequence[bool], terms: DueTerms) -> Iterator[LikelyMeant]:
    """Each place at which another word was likely meant, in order, none overlapping. ``words`` are folded; ``ends[n]``: whether a mark
    stands after the word, over which nothing is read."""
    free = 0
    words, reach = tuple(words), _reach(ends)
    beside = {one.first: one for one in owed_by_amount(words, reach, terms)}
    by_place = itertools.groupby(places(words, ends, terms.parts), key=lambda place: place.first)
    here = {first: list(places) for first, places in by_place}
    for first in sorted(here.keys() | beside.keys()):
        if first < free:
            continue
        found = [meant for p in here.get(first, ()) if (meant := _likely(words, reach[first], p, terms)) is not None]
        if first in beside:
            _, last, term, far = beside[first]
            term = terms.written.get(term, term)
            found.append((far, LikelyMeant(first, last, term, _WHY["so much"])))
        found = [(far, _without_determiner(words, m)) for far, m in found]
        found = [(far, m) for far, m in found if not is_on_purpose(words, m.first, m.last, m.meant, terms)]
        if found:
            best = min(found, key=lambda meant: meant[0])[1]  # of equal ones the surest place
            yield replace(best, again=is_named_again(words, ends, best.first, best.last, best.meant))
            free = best.last


def _without_determiner(words: tuple[str, ...], one: LikelyMeant) -> LikelyMeant:
    """The place without a *the* before it that is no part of how it sounds: *the mustered seeds*."""
    beside = words[one.first] in _DETERMINERS and swallows(words[one.first : one.last], one.meant)
    return replace(one, first=one.first + 1) if beside and one.last - one.first > 1 else one


def _reach(ends: Sequence[bool]) -> list[int]:
    """Of each word, before which word the talk from there first stops."""
    reach = [0] * len(ends)
    stop = len(ends)
    for n in range(len(ends) - 1, -1, -1):
        stop = n + 1 if ends[n] else stop
        reach[n] = stop
    return reach


def _likely(words: tuple[str, ...], stop: int, place: PlaceOfWord, terms: DueTerms) -> tuple[float, LikelyMeant] | None:
    """What was likely meant there, first of all what a step itself has after the verb that is said before."""
    if place.due in {FOOD, THING} and (owed := owed_after_verb(words, place.first, terms)) is not None:
        far, meant = owed
        return far, LikelyMeant(place.first, place.first + 1, terms.written.get(meant, meant), _WHY["owed"])
    return _meant(words, stop, place, terms)


def _meant(words: tuple[str, ...], stop: int, place: PlaceOfWord, terms: DueTerms) -> tuple[float, LikelyMeant] | None:
    """What was likely meant there, and how far it is by its sound; the talk stops before the word ``stop``."""
    best: tuple[float, int, tuple[str, ...]] | None = None
    second = 1.0
    due, first, most, _ = place
    for count in range(2 if due in {PART, TECHNIQUE} else 1, min(most, stop - first) + 1):
        window = words[first : first + count]
        if due == PART and terms.parts.isdisjoint(window):
            continue
        if due == MEASURE and not _of_a_food(words, first + count, terms):
            continue
        near = near_terms(window, terms, due)
        if not near:
            continue
        begins, goes_on = (w in small_talk() and w != "all" for w in (window[0], window[-1]))
        goes_on = goes_on and window[-1] not in _WEAK_ENDS
        for term, far in near:
            rare = count == 2 and len(window[1]) <= _LETTERS and _is_rare(window[0], terms)
            whole = len(term) == 1 and (far < (_SAME_AFTER_AMOUNT if place.measured else _THE_SAME) or rare)
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
    why = _WHY["measured" if place.measured else place.due]
    term = terms.written.get(term, term)
    likely = LikelyMeant(place.first, place.first + count, term, why)
    if place.due == FOOD and far > _FARTHEST[FOOD] and (own := _of_the_verb(words, place, window, term, terms)):
        likely = replace(likely, meant=own, other=likely.meant)
    return far, likely


def _of_the_verb(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> tuple[str, ...]:
    """The food that a step handles with the verb before, where that is another one and sounds somewhat alike: *crumble the feather*
    is rather feta than butter. Empty where there is none."""
    before = words[max(0, place.first - 3) : place.first]
    verb = next((w for w in reversed(before) if w not in small_talk() and w not in _DETERMINERS), "")
    foods = terms.handled.get(stem(verb), frozenset()) if verb not in _ANY_VERBS else frozenset()
    if any(_same_term(food, term) for food in foods):
        return ()
    near = min(((sound_distance(window, food), food) for food in foods), default=(1.0, ()))
    return near[1] if near[0] <= _OF_THE_VERB else ()


def _of_a_food(words: Sequence[str], at: int, terms: DueTerms) -> bool:
    """Whether *of* stands there, before a food of the recipe, or *of the*."""
    after = [w for w in words[at : at + 3] if w not in _DETERMINERS]
    return after[:1] == ["of"] and len(after) > 1 and after[1] in terms.food_words


_WHY = {
    "so much": "it sounds alike, and the recipe has so much of that",
    "owed": "it sounds alike, and a step of the recipe says so with this verb",
    MEASURE: "it sounds alike, and a measure belongs there",
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
    if (fixed := _fixed_limit(words, place, window, term, terms)) is not None:
        return fixed
    limit = _FARTHEST[place.due] + (_AFTER_AMOUNT if place.measured else 0.0)
    before = words[max(0, place.first - 1)]
    one_of_several = len(window) < len(term) and not place.measured  # a short word is like too many names of several
    counted = place.due == FOOD and before in {"a", "an"}  # what is stirred in is seldom *a* something: *fold a pleat*
    if len(heard_as(term)) <= _SHORT or one_of_several or counted:
        limit = min(limit, _SHORT_FARTHEST)
    if place.measured and _weighed(words, place.first) and any(map(is_no_food, window)):
        limit -= _COMMON
    elif place.measured and _weighed(words, place.first) and len(window) == 1 and is_done_or_said(window[0]):
        limit = min(limit, _DONE_AND_WEIGHED)
    elif all(is_everyday(w, before) or (not place.measured and is_said(w)) for w in window):
        together = _TOGETHER if place.measured and len(window) > 1 else _EVERYDAY
        if place.measured and len(window) == 1 and is_done_or_said(window[0]):
            return min(limit, _THE_SAME)  # *a handful of chopped deal*
        blocked = len(heard_as(term)) < _LONG or place.due == ACT or (not place.measured and _of_anything(words, place))
        said = place.due != FOOD or _of_anything(words, place) or any(map(is_said, window))
        same = -1.0 if said else _SAME_SOUND  # *slice the licks*
        limit = min(limit, same if blocked else together)
    elif all(w in terms.kitchen for w in window):
        limit = min(limit, _OF_THE_KITCHEN)
    elif all(common().get(stem(w), 0.0) >= _COMMON_SHARE or w in small_talk() for w in window):
        limit -= _COMMON
    near = words[max(0, place.first - _NEAR) : place.first + _NEAR]
    if place.due == FOOD and {stem(w) for w in near} & {stem(term[-1])}:
        several = _SEVERAL_NAMED_NEAR if len(window) > 1 else _NAMED_NEAR
        return limit - (_NAMED_NEAR_AND_DUE if place.measured else several)
    rare = any(_is_rare(w, terms) for w in window) and (place.due != THING or len(window) > 1) and not counted
    return min(limit + _RARE_WORD * rare, _FARTHEST[FOOD] + _RARE_WORD)


def _fixed_limit(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> float | None:
    """How far they may be where that does not depend on how common they are; else None."""
    odd = [w for w in window if base(w) not in {base(t) for t in term}]
    if place.due == PART or len(odd) < len(window):
        if odd == [window[0]] and is_quality(odd[0]):
            return _EVERYDAY  # *a wide pan*, *soft cheese*
        if is_quality(window[0]) and odd and all(map(is_everyday, odd)):
            return _TOGETHER  # *the brown shade*
        return _FARTHEST[PART] + (_AFTER_AMOUNT if place.measured and place.due == PART else 0.0)
    if place.due == TECHNIQUE:
        return _limit_of_technique(words, place, window, term, terms)
    if place.due == MEASURE:
        return _FARTHEST[MEASURE] if len(window) > 1 else _EVERYDAY
    return _limit_of_act(words, place, window, terms) if place.due == ACT else None


def _limit_of_act(words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], terms: DueTerms) -> float | None:
    if words[max(0, place.first - 1)] in _OBJECTS:
        return -1.0 if is_what_it_does(window[0]) else _LET_IT  # *let it sit*, *let it summer*
    before_food = not terms.food_words.isdisjoint(words[place.first + 1 : place.first + 4])
    if is_what_it_does(window[0]):
        return _SAME_SOUND if before_food else None  # *hide the peanuts*
    thing = is_no_food(window[0])
    near = (
        _ACT_BEFORE_FOOD if is_everyday(window[0]) and not thing else _FARTHEST[ACT]
    )  # *great the zest*, *porch the fish*
    return near if before_food else None


def _limit_of_technique(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> float | None:
    twice = {words[max(0, place.first - 1)], window[0]} <= _DETERMINERS  # *the my yard reaction*
    small = [w in small_talk() and not twice for w in window]
    plain = not twice and all(s or is_everyday(w) for s, w in zip(small, window, strict=True))
    if (any(small) and plain) or ((small[0] or small[-1] or plain) and terms.food_words.isdisjoint(term)):
        return -1.0  # *the glass*, *county so*
    if window[0] in small_talk() and words[max(0, place.first - 1)] not in _DETERMINERS:
        return _FARTHEST[TECHNIQUE] / 2
    said = any(len(w) > _SHORT and is_everyday(w) for w in window) or not terms.food_words.isdisjoint(term)
    return _THING_SAID if len(window) > 1 and said else None  # *the chief thing*


def _cannot_be(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> bool:
    """Whether the words are right as they are, or in no place where the term could stand."""
    said, meant = {singular(w.removesuffix("'s")) for w in window}, set(map(singular, term))
    noun = place.due in {FOOD, THING}
    if said <= meant or meant <= said or right_as_heard(words, place.first, place.first + len(window), noun=noun):
        return True
    if place.due in {PART, MEASURE}:
        return False
    if place.due == FOOD and len(window) == 1 and _is_done(window[0], term[-1], measured=place.measured):
        return True
    if noun and len(window) == 1 and is_made_quality(window[0], terms.kitchen):
        return True
    of_a_vessel = "of" in window and not terms.own.isdisjoint(set(window) - set(term))  # *a pan of macro*
    if place.due == TECHNIQUE and (of_a_vessel or not terms.food_words.isdisjoint(term)):
        return of_a_vessel or not _as_a_food(words, place, window)
    return _is_another_thing(words, place, window, term, terms)


def _is_done(word: str, term: str, *, measured: bool) -> bool:
    """Whether it tells how or what was done, *entirely* and *skipped*, or is the last part of the term: the *corn* of sweetcorn."""
    return (not measured and word.endswith(("ly", "ed"))) or (len(word) > _SHORT and term.endswith(word))


def _as_a_food(words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...]) -> bool:
    """Whether several words stand as the name of a food does: *over the cuss cuss*, not *pat it dry*."""
    before = words[max(0, place.first - 1)]
    return before in _DETERMINERS and small_talk().isdisjoint(window) and not is_verb(window[0])


def _is_another_thing(
    words: Sequence[str], place: PlaceOfWord, window: tuple[str, ...], term: tuple[str, ...], terms: DueTerms
) -> bool:
    if place.due in {THING, TECHNIQUE} and not terms.food_words.isdisjoint(set(window) - set(term)):
        return True  # a food that is named is no tool
    if place.due == ACT and is_verb(window[0]):
        return True
    after_and = place.due == THING and place.first > 1 and words[place.first - 1] == "and"
    if after_and and words[place.first - 2] not in terms.own:  # *a pestle and mortal*, not *a walk and a swim*
        return True
    shared = not {base(w) for w in window}.isdisjoint(map(base, term))
    return (shared and not rest_alike(window, term)) or terms.own.issuperset(window)


def _weighed(words: Sequence[str], at: int) -> bool:
    """Whether a weight or a measure stands before: *two hundred grams of*, *a litre of our own*."""
    return not _WEIGHTS.isdisjoint(words[max(0, at - 4) : at])


def _of_anything(words: Sequence[str], place: PlaceOfWord) -> bool:
    """Whether it is said to be done with anything: *take the paper out*."""
    return not _ANY_VERBS.isdisjoint(words[max(0, place.first - 3) : place.first])


def _is_rare(word: str, terms: DueTerms) -> bool:
    return not (is_everyday(word) or is_said(word) or word in terms.kitchen or word in terms.own)
