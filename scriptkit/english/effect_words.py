"""Words by what they tell of a kitchen and of a film of it: *mislaid* with *forgot*, *slugs* with *dog* (effect_words.csv)."""

from __future__ import annotations

import functools

from scriptkit.data_files import made_of_rows
from scriptkit.english.clause_lexicon import kinds_of
from scriptkit.english.stems import stem

FOOD, NUMBER = "food", "num"
_SHORTEST = 4
"""Shorter words have no stem that tells them from others."""


@functools.cache
def _classes() -> dict[str, tuple[str, ...]]:
    """Word, and stem after ``~``, → its classes, each once. Raises BadDataFile."""
    rows = made_of_rows(
        "scriptkit.english", "effect_words.csv", ("class", "words"), lambda of, words: (of, words.split())
    )
    found: dict[str, set[str]] = {}
    for of, words in rows:
        for word in words:
            found.setdefault(word, set()).add(of)
            if len(word) >= _SHORTEST:
                found.setdefault(f"~{stem(word)}", set()).add(of)
    return {word: tuple(sorted(of)) for word, of in found.items()}


@functools.lru_cache(maxsize=8192)
def classes_of(word: str) -> tuple[str, ...]:
    """The classes that a word of talk is of, by its form, else by its stem; of none where neither is in the table."""
    if word[0].isdigit():
        return (NUMBER,)
    of = _classes()
    found = of.get(word) or (of.get(f"~{stem(word)}") if word.isalpha() else None) or ()
    return found if FOOD in found or FOOD not in kinds_of(word) else (*found, FOOD)
