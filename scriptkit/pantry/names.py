"""When two spellings of a food's name mean the same."""

from __future__ import annotations

import functools
import re
import unicodedata

_IRREGULAR = {
    "leaves": "leaf", "halves": "half", "loaves": "loaf", "knives": "knife", "calves": "calf", "chillies": "chilli",
    "chilies": "chili", "yogurt": "yoghurt", "yogurts": "yoghurt", "fiber": "fibre", "molasses": "molasses", "swiss": "swiss",
    "couscous": "couscous", "lemongrass": "lemongrass", "cookies": "cookie", "potatoes": "potato", "tomatoes": "tomato",
    "brioches": "brioche", "quiches": "quiche",
}  # fmt: skip


@functools.cache
def singular(word: str) -> str:
    """The singular of a kitchen word, so that ``tomatoes`` finds ``tomato``; a word that has none stays as it is."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) <= 3 or word.endswith(("ss", "us")) or not word.endswith("s"):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes", "xes", "sses")):
        return word[:-2]
    return word[:-1]


def words_of(name: str) -> list[str]:
    """The words of a name, folded: no case, accents, punctuation or plural."""
    return list(_words(name))


@functools.lru_cache(maxsize=4096)
def _words(name: str) -> tuple[str, ...]:
    plain = unicodedata.normalize("NFKD", name.casefold()).replace("’", "'")
    if not plain.isascii():
        plain = "".join(c for c in plain if not unicodedata.combining(c))
    return tuple(singular(w) for w in re.findall(r"[^\W_]+|%", re.sub(r"'s\b", "", plain)))


@functools.cache
def fold(name: str) -> str:
    """The key under which a name is looked up. Word order does not count: ``butter, unsalted`` is ``unsalted butter``."""
    return " ".join(sorted(words_of(name)))
