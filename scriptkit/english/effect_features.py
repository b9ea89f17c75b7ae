"""What stands around a name in talk, as features from which it is learned what becomes of the ingredient (effect_weights.py)."""

from __future__ import annotations

import bisect
import functools
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.effect_kinds import HABIT, OTHERS, STORY, SpokenEffect
from scriptkit.english.effect_words import NUMBER, classes_of
from scriptkit.english.stems import NUMBERS, stem

_BACK, _ON = 26, 32
"""Tokens before and after the name that are looked at."""
_SENTENCES = 2
_NEAR, _MIDDLE = 2, 6
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


@dataclass(frozen=True, slots=True)
class Around:
    """What is known of the names beside their words. ``beside``: of each how figures beside it stand to the recipe's, ``before:more``,
    ``after:same`` and so on; ``step_of``: of each its dish and the first step at which it goes in, None where that is not known;
    ``when``: of each whether it is said at its ``own`` step, ``before`` or ``after`` it."""

    beside: Mapping[int, Sequence[str]] = field(default_factory=dict)
    step_of: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    when: Mapping[int, str] = field(default_factory=dict)


NOT_KNOWN = Around()


def features_of(
    tokens: Sequence[str], at: int, same: Collection[str], said: Sequence[SpokenEffect], around: Around = NOT_KNOWN
) -> frozenset[str]:
    """The features of one name alone; as :class:`TalkFeatures` gives them."""
    return TalkFeatures(tokens, said, around).of(at, same)


class TalkFeatures:
    """A talk as tokens, made ready once for all of its names. ``said``: what phrases and clauses say (spoken_effects.py). Words count by
    their stems, numbers and units as such; other names by whether they go in before or after the one that is asked."""

    def __init__(self, tokens: Sequence[str], said: Sequence[SpokenEffect], around: Around = NOT_KNOWN) -> None:
        self.tokens, self._around = tokens, around
        self._stems = [word if word.startswith("@") else _stemmed(word) for word in tokens]
        self._kinds = [_kinds(word) for word in tokens]
        self._classes = [_classes(word) for word in tokens]
        self._said = sorted(said, key=lambda e: e.first)
        self._firsts = [one.first for one in self._said]
        self._longest = max((one.last - one.first for one in self._said), default=0)

    def of(self, at: int, same: Collection[str]) -> frozenset[str]:
        """The features of the name that is token ``at``. ``same``: the names (``@`` and number) of the same ingredient."""
        tokens, around, name = self.tokens, self._around, int(self.tokens[at][1:])
        lo, hi = max(0, at - _BACK), min(len(tokens), at + _ON)
        own, step_of = around.step_of.get(name), around.step_of
        view = [word if word[0] != "@" else _seen(word, same, own, step_of) for word in self._stems[lo:hi]]
        view[at - lo] = _THIS
        beside, when = around.beside.get(name, ()), around.when.get(name, "")
        sentences = _sentences(view, at - lo)
        found = {"bias", *_of_words(view, self._kinds[lo:hi], sentences, at - lo), *(f"amount {one}" for one in beside)}
        found.update(_of_classes(view, self._classes[lo:hi], sentences, at - lo))
        found.update(f"amount {one.partition(':')[2]}" for one in beside if not one.startswith("far:"))
        here = " ".join(tokens[lo + n] for n in range(len(view)) if sentences[n] == 0)
        found.update(
            told
            for told, holds in (
                ("story", STORY.search(here)), ("habit", HABIT.search(here)), ("others", not OTHERS.isdisjoint(here.split()))
            )
            if holds
        )  # fmt: skip
        if when:
            found.add(f"when {when}")
            classes = {one for n in range(lo, hi) if sentences[n - lo] == 0 for one in self._classes[n]}
            found.update(f"{when} {one}" for one in classes)
        near = self._said[bisect.bisect_left(self._firsts, lo - self._longest) : bisect.bisect_right(self._firsts, hi)]
        found.update(_of_rules(near, at, lo, hi, same if tokens[at] in same else {*same, tokens[at]}))
        return frozenset(found)


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


def _sentences(view: Sequence[str], at: int) -> list[int]:
    """How many sentence ends lie between each token and the name; below zero before it."""
    found = [0] * len(view)
    count = 0
    for n in range(at, len(view)):
        found[n] = count
        count += view[n] == _STOP
    count = 0
    for n in range(at - 1, -1, -1):
        count -= view[n] == _STOP
        found[n] = count
    return found


def _of_words(
    view: Sequence[str], kinds: Sequence[tuple[str, ...]], sentences: Sequence[int], at: int
) -> Iterator[str]:
    """Each word by side, distance and sentence; what stands in a row; kinds of verbs and things (clause_words.csv)."""
    for n, word in enumerate(view):
        away = sentences[n]
        if abs(away) > _SENTENCES or word == _STOP:
            continue
        before = view[n - 1] if n else ""
        if n + 1 < len(view) and view[n + 1] != _STOP:
            yield f"row {word} {view[n + 1]}"
            if away == 0:
                yield f"here {word} {view[n + 1]}"
        if away == 0 and n + 2 < len(view) and sentences[n + 2] == 0 and view[n + 1] != _STOP != view[n + 2]:
            yield f"three {word} {view[n + 1]} {view[n + 2]}"
        if n == at:
            continue
        side, gap = ("L" if n < at else "R"), abs(n - at)
        if away == 0:
            yield f"with {word}"
            yield f"{side}{1 if gap <= _NEAR else 2 if gap <= _MIDDLE else 3} {word}"
        else:
            yield f"{'earlier' if away < 0 else 'then'} {word}"
        for kind in kinds[n]:
            yield f"{'kind' if away == 0 else 'kind apart'} {side} {kind}"
            if abs(away) <= 1 and before:
                yield f"kind row {before} {kind}"
                if n > 1:
                    yield f"kind three {view[n - 2]} {before} {kind}"


def _of_classes(
    view: Sequence[str], classes: Sequence[tuple[str, ...]], sentences: Sequence[int], at: int
) -> Iterator[str]:
    """The class of each word by side, distance and sentence (effect_words.csv); and each two that stand near each other, names too."""
    told = [
        (n, classes[n] or ((view[n],) if view[n][0] == "@" else ()))
        for n in range(len(view))
        if abs(sentences[n]) <= _SENTENCES and (classes[n] or view[n][0] == "@")
    ]
    for place, (n, own) in enumerate(told):
        away = sentences[n]
        if n != at and view[n][0] != "@":
            zone = "0" if away == 0 else "-" if away < 0 else "+"
            gap = abs(n - at)
            side = f"{'L' if n < at else 'R'}{'a' if gap <= 3 else 'b' if gap <= 8 else 'c'}"
            for one in own:
                yield f"c{zone} {one}"
                if away == 0:
                    yield f"c{side} {one}"
                if abs(away) <= 1:
                    yield f"cany {one}"
        if abs(away) > 1:
            continue
        for m, other in told[place + 1 :]:
            if m - n > _TOGETHER or abs(sentences[m]) > 1:
                break
            yield from _pairs(own, other)


@functools.lru_cache(maxsize=16384)
def _pairs(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"p {one} {other}" for one in first for other in second)


@functools.lru_cache(maxsize=8192)
def _classes(word: str) -> tuple[str, ...]:
    """The classes of a word; a number is of its own, a name of none."""
    return () if word[0] == "@" else (NUMBER,) if word in _NUMBERS else classes_of(word)


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
