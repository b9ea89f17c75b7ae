"""What the recipe has so much of, and what sounds like it beside that amount in talk: *fifteen grams of partly*, *three pairs*."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import DueTerms, place_words, small_talk
from scriptkit.captions.proofing.recipe_amounts import OwedAmount, comparable
from scriptkit.captions.proofing.right_as_heard import base, is_a_time, is_everyday, is_quality, right_as_heard
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, sound_distance
from scriptkit.english.stems import stem
from scriptkit.measure.amounts import Kind
from scriptkit.measure.spoken import SpokenFigure, amounts_in
from scriptkit.measure.words import ONES, TENS

_UNITS, _DETERMINERS = place_words("units"), place_words("determiners")
_OF_IT = frozenset({"it", "them", "this", "that", "these", "those", "each"})
_OF_NUMBERS = frozenset({*ONES[1:], *TENS[2:], "hundred", "thousand", "and", "a", "an", "half", "quarter", "point"})
_NUMBER_WORDS, _MOST, _ABOUT = 6, 4, 8
"""How many words a figure has at most, how many a name as it is heard, and how near to it what is owed is not named anyhow."""
_FARTHEST, _EVERYDAY, _SHORT, _SHORT_FARTHEST, _BEFORE, _COUNTED = 0.3, 0.27, 3, 0.2, 0.12, 0.1
"""How far words may sound from what is owed: after *grams of*, where anybody says them, where it has so few sounds, where they stand before
the amount, and where they are counted (our own figures, from lines of our own)."""
_NEAR_ENOUGH = 0.015
_LEAST_COUNTED = 2


class HeardBeside(NamedTuple):
    """From which to before which word, what was likely meant, and how far it is by its sound."""

    first: int
    last: int
    meant: tuple[str, ...]
    far: float


def owed_by_amount(words: Sequence[str], reach: Sequence[int], terms: DueTerms) -> Iterator[HeardBeside]:
    """Each word or words beside an amount of the recipe that name nothing of the recipe, and sound like what it has so much of.
    ``reach[n]``: before which word the talk that the n-th stands in first stops."""
    for n, word in enumerate(words):
        if word in _UNITS and n:
            start = _figure_start(words, n)
            figure = _figure(tuple(words[start : n + 1])) if start < n else None
            if figure is None:
                continue
            owed = _owed(figure, terms)
            of = n + 2 < reach[n] and words[n + 1] == "of" and not {*words[n + 2 : n + 3]} & _OF_IT
            best = _after(words, n + 2, reach, owed) if of else _before(words, start, owed)
        elif _may_be_counted(words, n):
            best = _counted(words, n, [one for one in terms.amounts if one.kind is Kind.COUNT])
        else:
            continue
        if best is not None and not _named(words, best, terms):
            yield best


def _figure_start(words: Sequence[str], unit: int) -> int:
    start = unit
    while start > max(0, unit - _NUMBER_WORDS) and (words[start - 1] in _OF_NUMBERS or words[start - 1][:1].isdigit()):
        start -= 1
    while start < unit and words[start] == "and":
        start += 1
    return start


@functools.lru_cache(maxsize=4096)
def _figure(words: tuple[str, ...]) -> SpokenFigure | None:
    text = " ".join(words)
    found = amounts_in(text)
    return found[-1] if found and found[-1].unit and found[-1].end == len(text) else None


def _owed(figure: SpokenFigure, terms: DueTerms) -> list[OwedAmount]:
    return [one for one in terms.amounts if _is_so_much(figure, one)]


def _is_so_much(figure: SpokenFigure, one: OwedAmount) -> bool:
    said = comparable(figure.value, figure.unit)
    return said[0] is one.kind and abs(said[1] - one.value) <= _NEAR_ENOUGH * one.value


def _after(words: Sequence[str], start: int, reach: Sequence[int], owed: Sequence[OwedAmount]) -> HeardBeside | None:
    """After *grams of*: the words that sound most like what is owed."""
    while start < len(words) and words[start] in _DETERMINERS:
        start += 1
    found = []
    for first in range(start, min(start + 2, len(words))):
        if first > start and not is_quality(words[first - 1]):
            break
        for last in range(first + 1, min(first + _MOST, reach[first]) + 1):
            found += [one for one in _heard(words, first, last, owed) if one.far <= _limit(words, one)]
    return min(found, key=lambda one: (one.far, one.first - one.last), default=None)


def _before(words: Sequence[str], end: int, owed: Sequence[OwedAmount]) -> HeardBeside | None:
    """Before the amount: *the time, five grams*."""
    found = []
    for first in range(max(1, end - 2), end):
        if words[first - 1] in _DETERMINERS:
            found += [one for one in _heard(words, first, end, owed) if one.far <= _BEFORE]
    return min(found, key=lambda one: one.far, default=None)


def _may_be_counted(words: Sequence[str], n: int) -> bool:
    """Whether something is counted there that may be no word of the kitchen: *three pairs*."""
    counts = n > 0 and words[n - 1] in ONES[_LEAST_COUNTED:] and words[n].endswith("s")
    return counts and not is_a_time(words[n]) and words[n] not in small_talk()


def _counted(words: Sequence[str], n: int, owed: Sequence[OwedAmount]) -> HeardBeside | None:
    said = ONES.index(words[n - 1])
    here = [one for one in owed if one.value == said]
    return min(
        (one for one in _heard(words, n, n + 1, here) if one.far <= _COUNTED), key=lambda one: one.far, default=None
    )


def _heard(words: Sequence[str], first: int, last: int, owed: Sequence[OwedAmount]) -> Iterator[HeardBeside]:
    window = tuple(words[first:last])
    small = small_talk()
    if all(w in small and w != "all" for w in window) or any(w in _UNITS for w in window):
        return
    for one in owed:
        for name in one.names:
            yield HeardBeside(first, last, name, sound_distance(window, name))


def _limit(words: Sequence[str], one: HeardBeside) -> float:
    window = words[one.first : one.last]
    limit = _EVERYDAY if all(map(is_everyday, window)) else _FARTHEST
    return min(limit, _SHORT_FARTHEST) if len(heard_as(one.meant)) <= _SHORT else limit


def _named(words: Sequence[str], best: HeardBeside, terms: DueTerms) -> bool:
    """Whether what is owed is named near anyhow, or the words name something else of the recipe."""
    window = words[best.first : best.last]
    said, meant = set(map(singular, window)), set(map(singular, best.meant))
    if said <= meant or meant <= said or terms.own.issuperset(window):
        return True
    shared = {base(w) for w in window} & {base(w) for w in best.meant}
    odd = [w for w in window if base(w) not in shared]
    if shared and any(map(is_quality, odd)):
        return True  # *soft butter*
    if any(terms.food_words >= {w} and base(w) not in shared for w in window):
        return True
    if right_as_heard(words, best.first, best.last, noun=True):
        return True
    near = [*words[max(0, best.first - _ABOUT) : best.first], *words[best.last : best.last + _ABOUT]]
    return not {stem(w) for w in near}.isdisjoint(stem(w) for w in best.meant if base(w) not in shared)
