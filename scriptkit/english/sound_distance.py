"""How far two words are from one another by their sound: 0 for the same, 1 for nothing in common."""

from __future__ import annotations

import functools
import itertools
import re

from scriptkit.english.phonetics import sound

_VOWELS = frozenset("aeiou")
_GROUPS = ("ptk", "bdg", "fsx0h", "vzj", "mn", "lrwy")
"""Consonants that are made alike: those of a group are nearer to one another than to others (phonetics of English, from memory)."""
_VOICED = {"b": "p", "d": "t", "g": "k", "v": "f", "z": "s", "j": "x"}
_TONGUE = ("dj", "tx", "0t", "0d")
"""Made at the same place: *juice* and *deuce*, *tongs* and *thongs*."""
_WEAK = frozenset("hwyr")
"""What is hardly heard at the end of a syllable."""
_VOWEL, _LOST_VOWEL, _PAIR, _ALIKE, _LOST_WEAK, _LOST = 0.3, 0.45, 0.2, 0.5, 0.4, 0.8
"""What it costs: another vowel, a vowel more, voice, another consonant of the group, a weak one more, any more (our own figures)."""

_IRREGULAR = {
    "one": "wan", "two": "tu", "too": "tu", "to": "tu", "eight": "at", "ate": "at", "four": "for", "fore": "for", "hour": "aur",
    "our": "aur", "of": "of", "the": "0e", "heard": "hurd", "buy": "bi", "by": "bi", "bye": "bi", "eye": "i", "i": "i",
    "thyme": "tim", "time": "tim", "juice": "jus", "yolk": "yok", "yolks": "yok", "island": "ilan", "half": "haf", "halve": "haf",
    "knife": "nif", "muscle": "musel", "muscles": "musels", "sieve": "siv", "sugar": "xugar", "ocean": "oxan", "busy": "bisi", "women": "wimin", "any": "eni", "many": "meni",
    "geese": "ges", "ghee": "ge", "get": "get", "gets": "gets", "girl": "gurl", "give": "giv", "gives": "givs", "gear": "ger", "gift": "gift",
    "roux": "ru", "deux": "du", "bouquet": "bukay", "gateau": "gato", "maillard": "mayar", "julienne": "julien", "chiffonade": "xifonad",
}  # fmt: skip
"""Words that are not said as they are spelt."""


_ALSO_SAID = {
    ("maillard",): ("malard", "mayard"), ("julienne",): ("julian",), ("casserole",): ("kasrol",), ("frangipane",): ("franjipani",),
    ("anchovies",): ("ancxovis",), ("anchovy",): ("ancxovi",), ("worcestershire",): ("wusta", "wusteshir"), ("creme", "fraiche"): ("kremfrex",),
    ("chorizo",): ("xoritzo",), ("quinoa",): ("kinwa",), ("gnocchi",): ("nyoki",), ("tagliatelle",): ("talyateli",), ("bruschetta",): ("brusketa",),
}  # fmt: skip
"""Terms that are said in more ways than one, or never as they are spelt (from memory)."""


_SILENT_L = re.compile(r"(?<=[ao])l(?=ks?\b)|(?<=a)l(?=fs?\b|ves?\b|ms?\b|mond|mon\b)")
"""*talk*, *stalk*, *folk*, *calf*, *palm*, *almond*, *salmon*."""


def _as_said(word: str) -> str:
    word = f"{word[:-2]}s" if word.endswith("'s") else word
    return _SILENT_L.sub("", word) if "l" in word else word


@functools.lru_cache(maxsize=65_536)
def heard_as(words: tuple[str, ...]) -> str:
    """Words said in one breath, respelt as they sound, without a gap."""
    respelt = [_IRREGULAR.get(w) or sound(_as_said(w)).replace(" ", "") for w in words]
    joined = respelt[0]
    for part in respelt[1:]:
        joined += part[1:] if part[:1] == joined[-1:] and part[:1] not in _VOWELS else part
    return joined


@functools.lru_cache(maxsize=131_072)
def sound_distance(one: tuple[str, ...], other: tuple[str, ...]) -> float:
    """Of words said in one breath against others, 0 to 1.

    >>> sound_distance(("celeriac",), ("sell", "a", "rack")) < 0.2 < sound_distance(("celeriac",), ("peel",))
    True
    """
    ways = (_ALSO_SAID.get(one, ()), _ALSO_SAID.get(other, ()))
    if any(ways):
        return min(_far(a, b) for a in (heard_as(one), *ways[0]) for b in (heard_as(other), *ways[1]))
    return _far(heard_as(one), heard_as(other))


def may_be_within(one: tuple[str, ...], other: tuple[str, ...], most: float) -> bool:
    """Whether the distance may be so small: no, where one has so many sounds more that to drop them is farther. Soon told."""
    if one in _ALSO_SAID or other in _ALSO_SAID:
        return True
    a, b = len(heard_as(one)), len(heard_as(other))
    return abs(a - b) * _LOST_WEAK <= most * max(a, b)


def _far(a: str, b: str) -> float:
    if a == b:
        return 0.0
    longest = max(len(a), len(b))
    if longest == 0 or min(len(a), len(b)) * 2.5 < longest:
        return 1.0
    dropped = [_dropped(y) for y in b]
    row = list(itertools.accumulate(dropped, initial=0.0))
    for x in a:  # this is asked hundreds of thousands of times of a long talk
        lost, changed = _dropped(x), _CHANGED[x]
        diagonal = row[0]
        left = diagonal + lost
        after = [left]
        for above, y, dropped_y in zip(row[1:], b, dropped, strict=True):
            best = above + lost
            if (other := left + dropped_y) < best:
                best = other
            if (other := diagonal + changed[y]) < best:
                best = other
            diagonal, left = above, best
            after.append(best)
        row = after
    return min(1.0, row[-1] / longest)


@functools.cache
def _dropped(x: str) -> float:
    return _LOST_VOWEL if x in _VOWELS else _LOST_WEAK if x in _WEAK else _LOST


def _changed(x: str, y: str) -> float:
    if x == y:
        return 0.0
    if x in _VOWELS and y in _VOWELS:
        return _VOWEL
    if x in _VOWELS or y in _VOWELS:
        return 0.6 if (x in _WEAK or y in _WEAK) else 1.0
    if _VOICED.get(x, x) == _VOICED.get(y, y):
        return _PAIR
    if x + y in _TONGUE or y + x in _TONGUE:
        return _ALIKE
    return _ALIKE if _group(x) == _group(y) else 1.0


class _Changed(dict[str, float]):
    """What it costs that a sound is heard as each other one, made when it is first asked."""

    def __init__(self, x: str) -> None:
        super().__init__()
        self._x = x

    def __missing__(self, y: str) -> float:
        self[y] = made = _changed(self._x, y)
        return made


class _OfEach(dict[str, _Changed]):
    def __missing__(self, x: str) -> _Changed:
        self[x] = made = _Changed(x)
        return made


_CHANGED = _OfEach()


@functools.cache
def _group(x: str) -> int:
    plain = _VOICED.get(x, x)
    return next((n for n, group in enumerate(_GROUPS) if plain in group), -1)
