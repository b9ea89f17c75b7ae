"""Small English words by what they do in a sentence (small_words.txt)."""

from __future__ import annotations

import functools
from importlib import resources


@functools.cache
def small_words(kind: str) -> frozenset[str]:
    """The words of one kind, such as ``prepositions``. Raises KeyError where there is no such kind."""
    return _kinds()[kind]


@functools.cache
def _kinds() -> dict[str, frozenset[str]]:
    text = resources.files("scriptkit.english").joinpath("small_words.txt").read_text(encoding="utf-8")
    kinds: dict[str, frozenset[str]] = {}
    for line in text.splitlines():
        kind, colon, words = line.partition(":")
        if colon and not line.startswith("#"):
            kinds[kind] = kinds.get(kind, frozenset()) | frozenset(words.split())
    return kinds
