"""When two spellings of a food's name mean the same."""

from __future__ import annotations

import functools
import re
import unicodedata

from scriptkit.english.plurals import singular

_WORD, _OWNED = re.compile(r"[^\W_]+|%"), re.compile(r"'s\b")


def words_of(name: str) -> list[str]:
    """The words of a name, folded: no case, accents, punctuation or plural."""
    return list(_words(name))


@functools.lru_cache(maxsize=4096)
def _words(name: str) -> tuple[str, ...]:
    return tuple(singular(w) for w in typed_words(name))


def typed_words(name: str) -> list[str]:
    """The words of a name without case, accents and punctuation, plurals as they are."""
    plain = name.casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain).replace("’", "'")
        plain = "".join(c for c in plain if not unicodedata.combining(c))
    return _WORD.findall(_OWNED.sub("", plain) if "'" in plain else plain)


@functools.cache
def fold(name: str) -> str:
    """The key under which a name is looked up. Word order does not count: ``butter, unsalted`` is ``unsalted butter``."""
    return " ".join(sorted(words_of(name)))
