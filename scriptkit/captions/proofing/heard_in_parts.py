"""A food of the recipe, or a term of any kitchen, that is heard as several words which together sound like it: *pole lock*, *my own nays*."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import DueTerms, folded_words, small_talk
from scriptkit.captions.proofing.kitchen_terms import TECHNIQUES, glossary, pantry_words
from scriptkit.captions.proofing.right_as_heard import is_everyday, is_said
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, may_be_within, sound_distance

_MOST_PARTS, _SURELY, _LEAST_SOUNDS, _LETTERS = 3, 0.05, 5, 2
"""Of how many words a food's name may be heard, how near they must sound, how many sounds it has at least, and letters each of the words
(our own figures: in 160 real talks 20 of 21 are the food)."""
_FARTHEST, _FARTHEST_OWN, _LONG = 0.1, 0.14, 6
"""The same for words of which nobody says one when they cook, of a term of any kitchen and of the recipe's own, and of how many sounds
it is (our own figures, from lines of our own)."""
_MADE_ALIKE = {"g": "k", "b": "p", "d": "t", "v": "f", "z": "s"}
"""First sounds that differ by the voice alone: *quack a moly*."""

Name = tuple[str, ...]


class HeardInParts(NamedTuple):
    """From which to before which word, the name, and whether it is sure."""

    first: int
    last: int
    meant: Name
    sure: bool


def heard_in_parts(words: Sequence[str], ends: Sequence[bool], due: DueTerms) -> Iterator[HeardInParts]:
    """Each such place, wherever it is said: nobody says *pole lock*. ``words`` are folded; ``ends[n]``: whether a mark stands after the word."""
    exact = _by_first_sound(tuple(t for t in due.foods if len(t) == 1 and len(heard_as(t)) >= _LEAST_SOUNDS))
    own = _by_first_sound(tuple(t for t in (*due.foods, *due.acts) if len(heard_as(t)) >= _LONG))
    usual = due.kitchen | due.own
    is_odd = {word: not (word in usual or is_everyday(word) or is_said(word)) for word in set(words)}
    odd = [is_odd[word] for word in words]
    small = small_talk()
    for first, word in enumerate(words):
        may_be_odd = any(odd[first : first + _MOST_PARTS]) and (word not in small or word == "my")
        begins = _first_sound((word,))
        if not may_be_odd and begins not in exact:
            continue
        for count in range(2, _MOST_PARTS + 1):
            if any(ends[first : first + count - 1]) or first + count > len(words):
                break
            parts = tuple(words[first : first + count])
            if begins in exact and _may_be_parts(parts) and (name := _named(parts, exact[begins], _SURELY)):
                yield HeardInParts(first, first + count, name, sure=True)
                break
            if not may_be_odd or not any(odd[first : first + count]):
                continue
            name = _named(parts, own.get(begins, ()), _FARTHEST_OWN)
            name = name or _named(parts, _of_any_kitchen().get(begins, ()), _FARTHEST)
            if name and "".join(parts) != "".join(name):
                sure = sound_distance(parts, name) <= (_FARTHEST if name in due.foods else _SURELY)
                yield HeardInParts(first, first + count, name, sure)
                break


def _first_sound(words: Name) -> str:
    sound = heard_as(words)[:1]
    return _MADE_ALIKE.get(sound, sound)


@functools.lru_cache(maxsize=16)
def _by_first_sound(names: tuple[Name, ...]) -> dict[str, list[Name]]:
    found: dict[str, list[Name]] = {}
    for name in names:
        found.setdefault(_first_sound(name), []).append(name)
    return found


@functools.cache
def _of_any_kitchen() -> dict[str, list[Name]]:
    terms = {tuple(folded_words(term)[0]) for term in (*glossary(), *TECHNIQUES, *pantry_words())}
    return _by_first_sound(tuple(sorted(t for t in terms if 0 < len(t) <= 2 and len(heard_as(t)) >= _LONG)))


def _may_be_parts(parts: Name) -> bool:
    return small_talk().isdisjoint((parts[0], parts[-1])) and min(map(len, parts)) >= _LETTERS


def _named(parts: Name, names: Sequence[Name], farthest: float) -> Name:
    """The nearest name that is heard as these words; empty where there is none. ``names``: those that begin with the same sound."""
    near = [
        (far, name)
        for name in names
        if may_be_within(parts, name, farthest) and (far := sound_distance(parts, name)) <= farthest
    ]
    same = [
        one for one in near if {singular(w) for w in one[1]}.isdisjoint(map(singular, parts))
    ]  # *cauliflower rice* is no cauliflowers
    return min(same)[1] if same else ()
