"""A food of the recipe that is heard as several words which together sound exactly like it: *pole lock*, *collie flower*."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import DueTerms, small_talk
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, may_be_within, sound_distance

_MOST_PARTS, _SURELY, _LEAST_SOUNDS, _LETTERS = 3, 0.05, 5, 2
"""Of how many words a food's name may be heard, how near they must sound, how many sounds it has at least, and letters each of the words
(our own figures: in 160 real talks 20 of 21 are the food)."""


class HeardInParts(NamedTuple):
    """From which to before which word, and the name."""

    first: int
    last: int
    meant: str


def heard_in_parts(words: Sequence[str], ends: Sequence[bool], due: DueTerms) -> Iterator[HeardInParts]:
    """Each such place, wherever it is said: nobody says *pole lock*. ``words`` are folded; ``ends[n]``: whether a mark stands after the word."""
    names: dict[str, list[tuple[str, ...]]] = {}  # by their first sound
    for term in due.foods:
        if len(term) == 1 and len(sounds := heard_as(term)) >= _LEAST_SOUNDS:
            names.setdefault(sounds[0], []).append(term)
    for first in range(len(words)):
        for count in range(2, _MOST_PARTS + 1):
            if any(ends[first : first + count - 1]) or first + count > len(words):
                break
            alike = names.get(heard_as((words[first],))[:1], ())
            if alike and (name := _named(tuple(words[first : first + count]), alike)):
                yield HeardInParts(first, first + count, name)
                break


def _named(parts: tuple[str, ...], names: Sequence[tuple[str, ...]]) -> str:
    """The name that is heard as these words; empty where there is none. ``names``: those that begin with the same sound."""
    if {parts[0], parts[-1]} & small_talk() or min(map(len, parts)) < _LETTERS:
        return ""
    for name in names:
        if not may_be_within(parts, name, _SURELY) or sound_distance(parts, name) > _SURELY:
            continue
        if singular(name[0]) not in map(singular, parts):  # *cauliflower rice* is no cauliflowers
            return name[0]
    return ""
