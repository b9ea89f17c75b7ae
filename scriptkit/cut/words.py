"""Words as they are compared: folded, stemmed, and with the kitchen's synonyms made one."""

from __future__ import annotations

import csv
import functools
import re
import unicodedata
from collections.abc import Callable, Iterable
from importlib.resources import files

from scriptkit.measure.words import ONES, TENS
from scriptkit.pantry.names import singular

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
    return tuple(w for w in _WORD.findall(plain(text)) if len(w) > 1 or w.isdigit())


_VOWEL = re.compile(r"[aeiouy]")
_DOUBLE = re.compile(r"([b-df-hj-np-tv-z])\1$")


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
    for ending in ("ing", "ed", "ly"):
        base = word.removesuffix(ending)
        if base != word and len(base) >= 2 and _VOWEL.search(base) and not word.endswith("eed"):
            word = base
            break
    word = _DOUBLE.sub(r"\1", word)
    return word.removesuffix("e") if len(word) > 3 else word


@functools.cache
def stem(word: str) -> str:
    """The word's root, a number in figures, a synonym as the word that it counts as."""
    bare = root(NUMBERS.get(word, word))
    return _same().get(bare, bare)


def stems_in(text: str) -> list[str]:
    """The stems of the words that tell something, in their order."""
    return [stem(w) for w in words_in(text) if w not in STOP]


def _groups(kind: str) -> dict[str, list[str]]:
    text = (files("scriptkit.cut") / "kitchen_words.csv").read_text(encoding="utf-8")
    rows = csv.reader(line for line in text.splitlines() if not line.startswith("#"))
    return {row[1]: row[2].split() for row in rows if row[0] == kind}


def _by_stem(groups: dict[str, list[str]], stemmed: Callable[[str], str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, words in groups.items():
        for word in words:
            found.setdefault(stemmed(word), name)
    return found


@functools.cache
def _same() -> dict[str, str]:
    """Stem → the stem that it counts as."""
    return {root(w): root(name) for name, words in _groups("same").items() for w in words}


@functools.cache
def actions() -> dict[str, str]:
    """Stem → the group of what is done: ``chop`` and ``slice`` are one."""
    return _by_stem(_groups("action"), stem)


@functools.cache
def verbs() -> frozenset[str]:
    """Stems of what is done in a kitchen."""
    return frozenset(stem(w) for w in _groups("verb")["verbs"])


@functools.cache
def moods() -> dict[str, str]:
    """Word → the group of what is said around the cooking."""
    return _by_stem(_groups("mood"), lambda w: w)


@functools.cache
def weak() -> frozenset[str]:
    """Stems that do not tell an ingredient alone: *green*, *sauce*, *chopped*."""
    return frozenset(stem(w) for w in _groups("weak")["words"])


@functools.cache
def meanings() -> dict[str, frozenset[str]]:
    """Stem of an ingredient → the stems that name it too: *season* is salt."""
    return {stem(name): frozenset(stem(w) for w in words) for name, words in _groups("means").items()}


@functools.cache
def kinds_of() -> dict[str, tuple[str, ...]]:
    """Stem of an ingredient → what it is a kind of: *beef* is meat."""
    found: dict[str, tuple[str, ...]] = {}
    for kind, words in _groups("kind").items():
        for word in words:
            found[stem(word)] = (*found.get(stem(word), ()), *kind.split())
    return found


@functools.cache
def common() -> dict[str, float]:
    """Stem → the share of cooking videos in which it is said; words that few say are not among them."""
    text = (files("scriptkit.cut") / "common_words.csv").read_text(encoding="utf-8")
    rows = list(csv.reader(line for line in text.splitlines() if not line.startswith("#")))[1:]
    return {word: float(share) for word, share in rows}


MOODS = ("opening", "closing", "listing", "tasting", "order", "doing", "figures", "past")

_SOUNDS = (
    (re.compile(r"ph"), "f"), (re.compile(r"gh"), ""), (re.compile(r"tch|[csz]h|ch"), "x"), (re.compile(r"ck|q|c(?![eiy])"), "k"),
    (re.compile(r"[cz]"), "s"), (re.compile(r"(.)\1+"), r"\1"), (re.compile(r"^[aeiou]+"), "a"), (re.compile(r"(?<!^)[aeiouyhw]+"), ""),
)  # fmt: skip


@functools.cache
def sound(word: str) -> str:
    """A rough key of how a word sounds, for what a recogniser misheard.

    >>> sound("flour") == sound("flower"), sound("ricer") == sound("riser"), sound("thyme") == sound("lime")
    (True, True, False)
    """
    for pattern, by in _SOUNDS:
        word = pattern.sub(by, word)
    return word


def unlike(words: Iterable[str]) -> list[str]:
    """The words, each once, in their order."""
    return list(dict.fromkeys(words))
