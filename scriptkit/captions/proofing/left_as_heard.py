"""Words that nothing is written in place of, though they sound like what is due: foods that are named on purpose, what goes in instead
of another, and words beside the misheard one."""

from __future__ import annotations

import functools
from collections.abc import Sequence

from scriptkit.captions.proofing.due_terms import DueTerms
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import sound_distance
from scriptkit.pantry import table
from scriptkit.pantry.names import fold

_INSTEAD = tuple(
    tuple(words.split())
    for words in (
        "instead",
        "rather than",
        "in place of",
        "in its place",
        "in lieu of",
        "swapped",
        "swap",
        "swapping",
        "substitute",
        "substituted",
        "replace",
        "replaced",
        "replaces",
        "replacing",
        "standing in for",
        "stands in for",
        "not the",
        "and not",
        "but not",
        "run out of",
        "ran out of",
        "out of",
    )
)
"""What tells that a food goes in for another, before either or between the two."""
_BESIDE = 8
"""Within how many words of it either is named (our own figure)."""
_SENTENCE = 12
"""Words of talk without marks on either side that are taken for one sentence (our own figure)."""
_NEAREST = 1e-9


def swallows(heard: tuple[str, ...], meant: tuple[str, ...]) -> bool:
    """Whether the first or the last of several heard words adds nothing to their sound: what was meant is as near, or nearer, without it.
    It is a word of its own then.

    >>> swallows(("marinade", "away"), ("marinate",)), swallows(("collie", "flower"), ("cauliflower",))
    (True, False)
    """
    if len(heard) < 2:
        return False
    whole = sound_distance(heard, meant)
    return any(sound_distance(part, meant) <= whole + _NEAREST for part in (heard[1:], heard[:-1]))


def goes_in_instead(words: Sequence[str], first: int, last: int) -> bool:
    """Whether what stands there is told to go in for another food, or the other for it.

    >>> said = "so it's lime juice instead of the lemon juice".split()
    >>> goes_in_instead(said, 2, 4)
    True
    """
    start = max(0, first - _BESIDE)
    near = [words[start:first], words[last : last + _BESIDE]]
    return any(tuple(part[n : n + len(one)]) == one for part in near for n in range(len(part)) for one in _INSTEAD)


def is_a_food(words: Sequence[str]) -> bool:
    """Whether the words are the name of a food that the pantry has, in any order."""
    return _is_a_food(tuple(words))


@functools.lru_cache(maxsize=4096)
def _is_a_food(words: tuple[str, ...]) -> bool:
    return fold(" ".join(words)) in table.index()


def is_on_purpose(words: Sequence[str], first: int, last: int, meant: tuple[str, ...], terms: DueTerms) -> bool:
    """Whether the words from ``first`` to before ``last`` say what they mean: they are words of one food's own name, in any order, or name
    a food in several words; they go in instead of what sounds like them; or not all of them sound like it."""
    window = tuple(words[first:last])
    plain = {singular(word) for word in window}
    if swallows(window, meant) or any(plain <= called for called in terms.called):
        return True
    if len(window) > 1 and is_a_food(window):
        return True
    if _is_a_marker(words, first, last):
        return True
    no_ends = [False] * len(words)
    return goes_in_instead(words, first, last) and (
        is_a_food(window) or is_named_again(words, no_ends, first, last, meant)
    )


def _is_a_marker(words: Sequence[str], first: int, last: int) -> bool:
    """Whether the words are of those that tell it: the *rather* of *rather than*."""
    return any(
        tuple(words[n : n + len(one)]) == one for one in _INSTEAD for n in range(max(0, first - len(one) + 1), last)
    )


def is_named_again(words: Sequence[str], ends: Sequence[bool], first: int, last: int, meant: Sequence[str]) -> bool:
    """Whether the sentence, or as much of it as is said in one breath, names what was meant beside the place too."""
    start, stop = first, last
    while start and first - start < _SENTENCE and not ends[start - 1]:
        start -= 1
    while stop < len(words) and stop - last < _SENTENCE and not ends[stop - 1]:
        stop += 1
    beside = {singular(w) for w in (*words[start:first], *words[last:stop])}
    return {singular(w) for w in meant} <= beside
