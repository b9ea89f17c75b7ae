"""How an English word is said, in the phones of the CMU dictionary: by a table of kitchen words, else by its letters."""

from __future__ import annotations

import functools
import re
import unicodedata

from scriptkit.data_files import made_of_rows

_PACKAGE = "scriptkit.captions.voice"
_HISSING = ("S", "Z", "SH", "ZH", "CH", "JH")
_VOICELESS = ("P", "T", "K", "F", "TH")

Phones = tuple[str, ...]


def pronunciations(word: str) -> list[Phones]:
    """The ways in which a word is said, the usual first; never empty. Words of the table with a plural or genitive ending count.

    >>> [" ".join(p) for p in pronunciations("celeriac's")], [" ".join(p) for p in pronunciations("Dobbin")]
    (['S AH L EH R IY AE K S'], ['D AA B IH N'])
    """
    plain = _plain(word)
    known = _table().get(plain)
    if known:
        return list(known)
    for ending in ("'s", "s'", "s"):
        stem = plain.removesuffix(ending)
        if stem != plain and stem in _table():
            return [with_s(phones) for phones in _table()[stem]]
    bare = plain.replace("'", "")
    if plain.endswith("'s") and len(bare) > 2:
        return [with_s(by_letters(bare[:-1]))]
    return [by_letters(bare)]


def with_s(phones: Phones) -> Phones:
    """A word with the ending of its plural or genitive."""
    if phones[-1] in _HISSING:
        return (*phones, "IH", "Z")
    return (*phones, "S" if phones[-1] in _VOICELESS else "Z")


@functools.lru_cache(maxsize=4_096)
def by_letters(word: str) -> Phones:
    """What the rules make of a word; a hum of one vowel where nothing of it can be said."""
    said: list[str] = []
    at = 0
    while at < len(word):
        for letters, before, after, phones in _rules().get(word[at], ()):
            end = at + len(letters)
            if word.startswith(letters, at) and before.search(word[:at]) and after.match(word[end:]):
                said += phones
                at = end
                break
        else:
            at += 1
    return tuple(said) or ("AH",)


def _plain(word: str) -> str:
    letters = unicodedata.normalize("NFKD", word.casefold().replace("’", "'").replace("œ", "oe").replace("æ", "ae"))
    return "".join(c for c in letters if "a" <= c <= "z" or c == "'")


@functools.cache
def _table() -> dict[str, tuple[Phones, ...]]:
    found: dict[str, tuple[Phones, ...]] = {}
    for word, phones in made_of_rows(
        _PACKAGE, "pronunciations.csv", ("word", "phones"), lambda w, p: (w, tuple(p.split()))
    ):
        found[word] = (*found.get(word, ()), phones)
    return found


_Rule = tuple[str, re.Pattern[str], re.Pattern[str], Phones]


@functools.cache
def _rules() -> dict[str, list[_Rule]]:
    found: dict[str, list[_Rule]] = {}
    for rule in made_of_rows(_PACKAGE, "letter_to_sound.csv", ("letters", "before", "after", "phones"), _rule):
        found.setdefault(rule[0][0], []).append(rule)
    return found


def _rule(letters: str, before: str, after: str, phones: str) -> _Rule:
    left, right = (re.sub(r"\[\^([CV])\]", r"[^\1]", part) for part in (before, after))
    left, right = (_classes(part) for part in (left, right))
    return (
        letters,
        re.compile(f"(?:{left})$" if left else ""),
        re.compile(f"(?:{right})" if right else ""),
        tuple(phones.split()),
    )


_CONSONANTS, _VOWELS = "bcdfghjklmnpqrstvwxz", "aeiouy"


def _classes(pattern: str) -> str:
    """C and V as the letters that they stand for, inside brackets and outside."""
    out, inside = [], False
    for sign in pattern:
        inside = sign == "[" or (inside and sign != "]")
        letters = {"C": _CONSONANTS, "V": _VOWELS}.get(sign)
        out.append(sign if letters is None else letters if inside else f"[{letters}]")
    return "".join(out)
