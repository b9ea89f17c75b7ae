"""Groups of kitchen words (kitchen_words.csv): what is done, what names an ingredient too, what is said around the cooking."""

from __future__ import annotations

import functools
from collections.abc import Callable

from scriptkit.english.stems import kitchen_words, stem

MOODS = ("opening", "closing", "listing", "tasting", "order", "doing", "figures", "past")


def _by_stem(groups: dict[str, list[str]], stemmed: Callable[[str], str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, words in groups.items():
        for word in words:
            found.setdefault(stemmed(word), name)
    return found


@functools.cache
def actions() -> dict[str, str]:
    """Stem → the group of what is done: ``chop`` and ``slice`` are one."""
    return _by_stem(kitchen_words("action"), stem)


@functools.cache
def verbs() -> frozenset[str]:
    """Stems of what is done in a kitchen."""
    return frozenset(stem(w) for w in kitchen_words("verb")["verbs"])


@functools.cache
def moods() -> dict[str, str]:
    """Word → the group of what is said around the cooking."""
    return _by_stem(kitchen_words("mood"), lambda w: w)


@functools.cache
def weak() -> frozenset[str]:
    """Stems that do not tell an ingredient alone: *green*, *sauce*, *chopped*."""
    return frozenset(stem(w) for w in kitchen_words("weak")["words"])


@functools.cache
def meanings() -> dict[str, frozenset[str]]:
    """Stem of an ingredient → the stems that name it too: *season* is salt."""
    return {stem(name): frozenset(stem(w) for w in words) for name, words in kitchen_words("means").items()}


@functools.cache
def kinds_of() -> dict[str, tuple[str, ...]]:
    """Stem of an ingredient → what it is a kind of: *beef* is meat."""
    found: dict[str, tuple[str, ...]] = {}
    for kind, words in kitchen_words("kind").items():
        for word in words:
            found[stem(word)] = (*found.get(stem(word), ()), *kind.split())
    return found
