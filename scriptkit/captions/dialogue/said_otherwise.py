"""What is said on purpose though it sounds like the script: another measure, the opposite, a food that goes in instead."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from scriptkit.captions.proofing.due_terms import place_words
from scriptkit.captions.proofing.left_as_heard import goes_in_instead, is_a_food
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import sound_distance
from scriptkit.english.stems import NUMBERS

_OPPOSITE = re.compile(r"n't$|^(?:no|not|never|without)$")
_CONTRACTIONS = ("it's", "that's", "there's", "let's", "what's", "he's", "she's")
_UNITS = frozenset(map(singular, place_words("units")))
_LEAST_PREFIX = 2
_SAME_TO_THE_EAR = 0.1
"""A figure that is heard is no other word unless they sound so much alike: *for* and *four* (our own figure)."""
_ANOTHER_FOOD = 0.2
"""How far the name of a food may sound from another's to be that one misheard: *leaks* may be leeks, *lime* is no lemon (our own figure)."""


class HeardWords(NamedTuple):
    """Words of a talk, and from which to before which is spoken of."""

    words: Sequence[str]
    first: int
    last: int


def said_otherwise(written: tuple[str, ...], heard: tuple[str, ...]) -> bool:
    """Whether what was heard says another thing than what is written: *isn't*, *teaspoons* for *tablespoons*, *salted* for *unsalted*,
    *calories* for *kilocalories*, *two* for *the*."""
    if any(any(map(sign, written)) != any(map(sign, heard)) for sign in (_OPPOSITE.search, _is_contraction)):
        return True
    figure = any(h in NUMBERS for h in heard) and not any(w in NUMBERS for w in written)
    if figure and sound_distance(written, heard) > _SAME_TO_THE_EAR:
        return True
    units = [{singular(w) for w in words} & _UNITS for words in (written, heard)]
    if all(units) and units[0] != units[1]:
        return True
    return len(written) == len(heard) == 1 and _lacks_its_beginning(singular(written[0]), singular(heard[0]))


def _is_contraction(word: str) -> bool:
    return ("'" in word and not word.endswith(("'s", "s'"))) or word in _CONTRACTIONS


def _lacks_its_beginning(one: str, other: str) -> bool:
    """Whether the shorter of the two is the other without a syllable before it."""
    short, long = sorted((one, other), key=len)
    return long.endswith(short) and len(long) - len(short) >= _LEAST_PREFIX


def is_another_food(written: tuple[str, ...], heard: HeardWords) -> bool:
    """Whether the heard words name a food of their own, which goes in instead of the script's or sounds no more than somewhat alike."""
    words = tuple(heard.words[heard.first : heard.last])
    if not is_a_food(words):
        return False
    return sound_distance(written, words) > _ANOTHER_FOOD or goes_in_instead(*heard)
