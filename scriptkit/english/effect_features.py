"""What stands around a name in talk, as features from which it is learned what becomes of the ingredient (effect_weights.py)."""

from __future__ import annotations

import bisect
import functools
from collections.abc import Callable, Collection, Container, Iterator, Mapping, Sequence
from itertools import accumulate, compress, repeat
from types import MappingProxyType
from typing import Any, NamedTuple

from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.effect_kinds import HABIT, OTHERS, SpokenEffect, tells_a_story
from scriptkit.english.effect_words import NUMBER, classes_of
from scriptkit.english.stems import NUMBERS, stem

_BACK, _ON = 26, 32
"""Tokens before and after the name that are looked at."""
_SENTENCES = 2
_ZONES = (("1", "a"), ("2", "a"), ("2", "b"), ("3", "b"), ("3", "c"))
"""How near a word is to the name, and its class."""
_ZONE_OF = (0, 0, 1, 2, 2, 2, 3, 3, *[4] * _ON)
"""Of the first word beside the name, the second, and so on."""
_NUMBERS = frozenset({*NUMBERS, "hundred", "thousand", "couple", "dozen"})
_UNITS = frozenset(
    """
    gram grams g kilo kilos ml mils litre litres cup cups spoon spoons spoonful spoonfuls tablespoon tablespoons teaspoon teaspoons
    pinch handful handfuls clove cloves
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_THIS, _SAME, _OTHER, _NEXT, _EARLIER, _STOP = "@X", "@S", "@O", "@N", "@E", "."
_TOLD_NEAR = 14
_TOGETHER = 5
"""Tokens from one word to another that is near it."""


class Around(NamedTuple):
    """What is known of the names beside their words. ``beside``: of each how figures beside it stand to the recipe's, ``before:more``,
    ``after:same`` and so on; ``step_of``: of each its dish and the first step at which it goes in, None where that is not known;
    ``when``: of each whether it is said at its ``own`` step, ``before`` or ``after`` it; ``begun_before``: the cooking begins on the day
    before."""

    beside: Mapping[int, Sequence[str]] = MappingProxyType({})
    step_of: Mapping[int, tuple[int, int]] = MappingProxyType({})
    when: Mapping[int, str] = MappingProxyType({})
    begun_before: bool = False


NOT_KNOWN = Around()


def features_of(
    tokens: Sequence[str], at: int, same: Collection[str], said: Sequence[SpokenEffect], around: Around = NOT_KNOWN
) -> frozenset[str]:
    """The features of one name alone; as :class:`TalkFeatures` gives them."""
    return TalkFeatures(tokens, said, around).of(at, same)


class TalkFeatures:
    """A talk as tokens, made ready once for all of its names. ``said``: what phrases and clauses say (spoken_effects.py). Words count by
    their stems, numbers and units as such; other names by whether they go in before or after the one that is asked. ``known``: only these
    features are asked for; None: all."""

    def __init__(
        self,
        tokens: Sequence[str],
        said: Sequence[SpokenEffect],
        around: Around = NOT_KNOWN,
        known: Container[str] | None = None,
    ) -> None:
        self.tokens, self._around, self._known = tokens, around, known
        self._stems = [_stemmed(word) for word in tokens]
        self._classes = [_classes(word) for word in tokens]
        self._kinds = [_kinds(word) for word in tokens]
        self._names = [n for n, word in enumerate(tokens) if word[0] == "@"]
        self._sentence = list(accumulate((word == _STOP for word in tokens), initial=0))
        self._said = sorted(said, key=lambda e: e.first)
        self._firsts = [one.first for one in self._said]
        self._longest = max((one.last - one.first for one in self._said), default=0)
        self._earlier, self._before = (_Made(functools.partial(_apart, "L", away), known) for away in (-2, -1))
        self._after, self._then = (_Made(functools.partial(_apart, "R", away), known) for away in (1, 2))
        left, right = ([_Made(functools.partial(_here, side, *zone), known) for zone in _ZONES] for side in "LR")
        self._left, self._right = ([zones[n] for n in _ZONE_OF] for zones in (left, right))
        self._row, self._row_here = _Made(_row, known), _Made(_row_here, known)
        self._row_of_kind, self._pairs = _Made(_row_of_kind, known), _Made(_pairs, known)
        self._of_sentence, self._of_when = _Made(_of_sentence, known), _Made(_of_when, known)

    def of(self, at: int, same: Collection[str]) -> frozenset[str]:
        """The features of the name that is token ``at``. ``same``: the names (``@`` and number) of the same ingredient."""
        lo, hi = max(0, at - _BACK), min(len(self.tokens), at + _ON)
        here = self._sentence[at]
        bounds = [
            bisect.bisect_left(self._sentence, here + away, lo, hi) for away in range(-_SENTENCES, _SENTENCES + 2)
        ]
        first, last = bounds[_SENTENCES : _SENTENCES + 2]
        words, stems, classes = self._view(at, lo, hi, same)
        found = self._of_name(at, lo, hi, same)
        found.update(self._of_sentence[" ".join(self.tokens[first:last])])
        if (when := self._around.when.get(int(self.tokens[at][1:]))) is not None:
            found.update(*map(self._of_when.__getitem__, zip(repeat(when), self._classes[first:last])))
        bounds = [bound - lo for bound in bounds]
        self._add_words(found, words, at - lo, bounds)
        self._add_rows(found, stems, bounds)
        self._add_rows_of_kinds(found, stems, self._kinds[lo:hi], bounds)
        self._add_pairs(found, classes, bounds)
        return frozenset(found)

    def _view(self, at: int, lo: int, hi: int, same: Collection[str]) -> tuple[list[str], list[str], list[str]]:
        """The words, their stems and classes from ``lo`` to ``hi``, with names as what they are to the one that is asked."""
        step_of = self._around.step_of
        own = step_of.get(int(self.tokens[at][1:]))
        words, stems, classes = list(self.tokens[lo:hi]), self._stems[lo:hi], self._classes[lo:hi]
        for n in self._names[bisect.bisect_left(self._names, lo) : bisect.bisect_left(self._names, hi)]:
            seen = _THIS if n == at else _seen(self.tokens[n], same, own, step_of)
            words[n - lo] = stems[n - lo] = classes[n - lo] = seen
        return words, stems, classes

    def _of_name(self, at: int, lo: int, hi: int, same: Collection[str]) -> set[str]:
        """What is known of the name beside its words: figures, whether its step has been, and what phrases and clauses say."""
        own, name = self.tokens[at], int(self.tokens[at][1:])
        beside, when = self._around.beside.get(name, ()), self._around.when.get(name)
        found = {"bias", *(f"amount {one}" for one in beside)}
        found.update(f"amount {one.partition(':')[2]}" for one in beside if not one.startswith("far:"))
        if when is not None:
            found.add(f"when {when}")
        near = self._said[bisect.bisect_left(self._firsts, lo - self._longest) : bisect.bisect_right(self._firsts, hi)]
        found.update(_of_rules(near, at, lo, hi, same if own in same else {*same, own}))
        return found if self._known is None else set(filter(self._known.__contains__, found))

    def _add_words(self, found: set[str], words: Sequence[str], at: int, bounds: Sequence[int]) -> None:
        """Each word by side, distance and sentence, its kinds (clause_words.csv) and its classes (effect_words.csv)."""
        begin, before, first, last, after, end = bounds
        found.update(*map(self._earlier.__getitem__, words[begin:before]))
        found.update(*map(self._before.__getitem__, words[before:first]))
        found.update(*[made[word] for made, word in zip(self._left, reversed(words[first:at]), strict=False)])
        found.update(*[made[word] for made, word in zip(self._right, words[at + 1 : last], strict=False)])
        found.update(*map(self._after.__getitem__, words[last:after]))
        found.update(*map(self._then.__getitem__, words[after:end]))

    def _add_rows(self, found: set[str], stems: Sequence[str], bounds: Sequence[int]) -> None:
        """What stands in a row."""
        begin, _, first, last, _, end = bounds
        found.update(*map(self._row.__getitem__, zip(stems[begin:end], stems[begin + 1 : end + 1], strict=False)))
        ahead = [*stems[first : last + 2], "", ""]
        found.update(*map(self._row_here.__getitem__, zip(stems[first:last], ahead[1:], ahead[2:], strict=False)))

    def _add_rows_of_kinds(
        self, found: set[str], stems: Sequence[str], kinds: Sequence[tuple[str, ...]], bounds: Sequence[int]
    ) -> None:
        """What stands before a word of a kind (clause_words.csv)."""
        before = ["", "", *stems]
        rows = [(before[n], before[n + 1], kinds[n]) for n in range(bounds[1], bounds[-2]) if kinds[n]]
        found.update(*map(self._row_of_kind.__getitem__, rows))

    def _add_pairs(self, found: set[str], classes: Sequence[str], bounds: Sequence[int]) -> None:
        """The classes of each two words that stand near each other, names too."""
        within = [*classes[bounds[1] : bounds[-2]], *[""] * _TOGETHER]
        rows = zip(*(within[n:] for n in range(_TOGETHER + 1)), strict=False)
        found.update(*map(self._pairs.__getitem__, compress(rows, within)))


class _Made(dict[Any, tuple[str, ...]]):
    """The features that some words make, of those that are asked for: made when they are first met, and kept, for names that stand near
    each other share their words."""

    def __init__(self, make: Callable[[Any], Iterator[str]], known: Container[str] | None) -> None:
        super().__init__()
        self._make, self._known = make, known

    def __missing__(self, words: Any) -> tuple[str, ...]:
        known, made = self._known, self._make(words)
        self[words] = kept = tuple(made if known is None else filter(known.__contains__, made))
        return kept


@functools.lru_cache(maxsize=8192)
def _stemmed(word: str) -> str:
    if word in _NUMBERS or word[0].isdigit():
        return "#"
    return "unit" if word in _UNITS else stem(word) if word.isalpha() else word


def _seen(word: str, same: Collection[str], own: tuple[int, int] | None, step_of: Mapping[int, tuple[int, int]]) -> str:
    """What another name is to the one that is asked: the same thing, one that goes in before it or after it, or another."""
    if word in same:
        return _SAME
    other = step_of.get(int(word[1:]))
    if own is None or other is None or own[0] != other[0] or own[1] == other[1]:
        return _OTHER
    return _NEXT if other[1] > own[1] else _EARLIER


@functools.lru_cache(maxsize=8192)
def _kinds(word: str) -> tuple[str, ...]:
    return tuple(sorted({sense.kind for sense in lexicon().get(word, ())}))


def _of_sentence(text: str) -> Iterator[str]:
    """Whether the sentence of the name tells a story, a habit, or what others do."""
    if tells_a_story(text):
        yield "story"
    if HABIT.search(text):
        yield "habit"
    if not OTHERS.isdisjoint(text.split()):
        yield "others"


def _of_when(row: tuple[str, str]) -> Iterator[str]:
    when, classes = row
    return (f"{when} {one}" for one in classes.split())


def _apart(side: str, away: int, word: str) -> Iterator[str]:
    """Of a word in a sentence before that of the name or after it, so many away."""
    if word != _STOP:
        yield f"{'earlier' if away < 0 else 'then'} {_stemmed(word)}"
    for kind in _kinds(word):
        yield f"kind apart {side} {kind}"
    for one in _classes(word).split():
        yield f"c{'-' if away < 0 else '+'} {one}"
        if abs(away) == 1:
            yield f"cany {one}"


def _here(side: str, zone: str, wider: str, word: str) -> Iterator[str]:
    """Of a word in the sentence of the name, on this side and so far from it."""
    if word != _STOP:
        yield f"with {_stemmed(word)}"
        yield f"{side}{zone} {_stemmed(word)}"
    for kind in _kinds(word):
        yield f"kind {side} {kind}"
    for one in _classes(word).split():
        yield f"c0 {one}"
        yield f"c{side}{wider} {one}"
        yield f"cany {one}"


def _row(row: tuple[str, str]) -> Iterator[str]:
    if _STOP not in row:
        yield f"row {row[0]} {row[1]}"


def _row_here(row: tuple[str, str, str]) -> Iterator[str]:
    """The same in the sentence of the name; empty where nothing more is looked at."""
    word, after, then = row
    if after and _STOP not in (word, after):
        yield f"here {word} {after}"
        if then and then != _STOP:
            yield f"three {word} {after} {then}"


def _row_of_kind(row: tuple[str, str, Sequence[str]]) -> Iterator[str]:
    """The kinds of a word after those before it; empty where nothing more is looked at."""
    second, before, kinds = row
    if before:
        for kind in kinds:
            yield f"kind row {before} {kind}"
            if second:
                yield f"kind three {second} {before} {kind}"


def _pairs(row: Sequence[str]) -> Iterator[str]:
    """The classes of the first with those of each other."""
    first, *others = (classes.split() for classes in row)
    return (f"p {one} {other}" for one in first for classes in others for other in classes)


@functools.lru_cache(maxsize=8192)
def _classes(word: str) -> str:
    """The classes of a word; a number is of its own, a name of none."""
    return "" if word[0] == "@" else NUMBER if word in _NUMBERS else " ".join(classes_of(word))


def _of_rules(said: Sequence[SpokenEffect], at: int, lo: int, hi: int, names: Collection[str]) -> Iterator[str]:
    """What phrases and clauses say of this name, and of others beside it."""
    none = True
    for one in said:
        if one.last < lo or one.first > hi:
            continue
        if any(f"@{name}" in names for name in one.names):
            none = False
            away = 0 if one.first <= at <= one.last else min(abs(one.first - at), abs(one.last - at))
            yield f"told {one.effect} {'near' if away <= _TOLD_NEAR else 'far'}"
        else:
            yield f"told of another {one.effect}"
    if none:
        yield "nothing told"
