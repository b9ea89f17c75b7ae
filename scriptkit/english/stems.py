"""Words as they are compared: folded, stemmed, and with the kitchen's synonyms made one."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Iterable

from scriptkit.data_files import made_of_rows
from scriptkit.english.plurals import singular
from scriptkit.measure.words import ONES, TENS

_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?|\d+(?:[.,/]\d+)?")

STOP = frozenset(
    """
a an the and or but of to in into on onto at by for from with without up down out off over under it its it's this that these those
i i'm i've i'll you you're your yours we we're we'll we've our they they're them their he she his her him my me us is are was were be
been being am do does did don't doesn't have has had having not no yes so just very really now then than as if when while there here
what which who how why will would can could should may might must also too get gets got go goes going gonna want some any all each
let let's one like okay ok well right oh yeah know see look thing things that's there's what's because little bit make sure
n't didn't isn't wasn't won't can't you'll he's she's who's i'd you'd we'd until till about again both
""".split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
"""Words that tell nothing of a dish."""

NUMBERS = {word: str(n) for n, word in enumerate(ONES) if n} | {
    word: str(10 * n) for n, word in enumerate(TENS) if n > 1
}


def plain(text: str) -> str:
    """Lower case without accents; an apostrophe that a recogniser set apart (``i 'm``) is joined again."""
    if text.isascii():
        return text.lower().replace(" '", "'")
    text = unicodedata.normalize("NFKD", text.casefold().replace("’", "'"))
    return "".join(c for c in text if not unicodedata.combining(c)).replace(" '", "'")


@functools.lru_cache(maxsize=8192)
def words_in(text: str) -> tuple[str, ...]:
    """Folded words and figures, in order; single letters are left out."""
    return tuple(word for _, word in numbered_words(plain(text)))


def numbered_words(folded: str) -> list[tuple[int, str]]:
    """The same of a text that is folded already, each with the character at which it begins."""
    return [(m.start(), w) for m in _WORD.finditer(folded) if len(w := m.group()) > 1 or w.isdigit()]


_VOWELS = frozenset("aeiouy")
_CONSONANTS = frozenset("bcdfghjklmnpqrstvwxyz")
_ENDINGS = ("ing", "ed", "ly")


def root(word: str) -> str:
    """The word without its ending: plurals, *-ing*, *-ed*, *-ly*, doubled letters and a silent *e* at the end. What it gives need
    be no word, only the same for every form.

    >>> {root(w) for w in ("slice", "slices", "sliced", "slicing")}, {root(w) for w in ("chop", "chopped", "chopping")}
    ({'slic'}, {'chop'})
    >>> {root(w) for w in ("fry", "fries", "fried", "frying")}, {root(w) for w in ("egg", "eggs")}, root("seed"), root("string")
    ({'fry'}, {'eg'}, 'seed', 'string')
    """
    word = singular(word.removesuffix("'s"))
    if word.endswith("ied") and len(word) > 4:
        return word[:-3] + "y"
    for ending in _ENDINGS if word.endswith(_ENDINGS) else ():
        base = word.removesuffix(ending)
        if base != word and len(base) >= 2 and not _VOWELS.isdisjoint(base) and not word.endswith("eed"):
            word = base
            break
    if word[-1:] in _CONSONANTS and word[-2:-1] == word[-1]:
        word = word[:-1]
    return word.removesuffix("e") if len(word) > 3 else word


@functools.cache
def stem(word: str) -> str:
    """The word's root, a number in figures, a synonym as the word that it counts as."""
    bare = root(NUMBERS.get(word, word))
    return _same().get(bare, bare)


def stems_in(text: str) -> list[str]:
    """The stems of the words that tell something, in their order."""
    return [stem(w) for w in words_in(text) if w not in STOP]


def kitchen_words(kind: str) -> dict[str, list[str]]:
    """The groups of one kind of kitchen_words.csv: name → words. Raises BadDataFile."""
    return {name: words for of, name, words in _kitchen_words() if of == kind}


@functools.cache
def _kitchen_words() -> list[tuple[str, str, list[str]]]:
    return made_of_rows("scriptkit.english", "kitchen_words.csv", ("kind", "name", "words"), _group)


_KINDS = ("same", "action", "verb", "mood", "weak", "means", "kind")


def _group(kind: str, name: str, words: str) -> tuple[str, str, list[str]]:
    if kind not in _KINDS:
        raise ValueError(f"“{kind}” is none of {', '.join(_KINDS)}")
    return kind, name, words.split()


@functools.cache
def _same() -> dict[str, str]:
    """Stem → the stem that it counts as."""
    return {root(w): root(name) for name, words in kitchen_words("same").items() for w in words}


def unlike(words: Iterable[str]) -> list[str]:
    """The words, each once, in their order."""
    return list(dict.fromkeys(words))
