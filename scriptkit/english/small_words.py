"""Small English words by what they do in a sentence (small_words.txt)."""

from __future__ import annotations

import functools

from scriptkit.data_files import misfit, text_of

KINDS = (
    "determiners", "prepositions", "conjunctions", "pointers", "subjects", "either", "auxiliaries", "have", "contractions", "always",
    "little", "ordinary",
)  # fmt: skip
"""What small words do in a sentence; each has its lines in small_words.txt."""


@functools.cache
def small_words(kind: str) -> frozenset[str]:
    """The words of one kind, such as ``prepositions``. Raises KeyError where there is no such kind."""
    return _kinds()[kind]


@functools.cache
def _kinds() -> dict[str, frozenset[str]]:
    kinds: dict[str, frozenset[str]] = {kind: frozenset() for kind in KINDS}
    for n, line in enumerate(text_of("scriptkit.english", "small_words.txt").splitlines(), 1):
        kind, colon, words = line.partition(":")
        if colon and not line.startswith("#"):
            if kind not in kinds:
                hint = f"write one of {', '.join(KINDS)}"
                raise misfit("scriptkit.english", "small_words.txt", n, f"“{kind}” is not a kind of small words", hint)
            kinds[kind] |= frozenset(words.split())
    return kinds
