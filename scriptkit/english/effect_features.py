"""What stands around a name in talk, as features from which it is learned what becomes of the ingredient (effect_weights.py)."""

from __future__ import annotations

import bisect
import functools
from collections.abc import Callable, Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate

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
    ``when``: of each whether it is said at its ``own`` step, ``before`` or ``after`` it; ``begun_before``: the cooking begins on the day
    before."""

    beside: Mapping[int, Sequence[str]] = field(default_factory=dict)
    step_of: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    when: Mapping[int, str] = field(default_factory=dict)
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
        self._stems = [word if word.startswith("@") else _stemmed(word) for word in tokens]
        self._kinds = [_kinds(word) for word in tokens]
        self._classes = [_classes(word) for word in tokens]
        self._sentence = list(accumulate((word == _STOP for word in tokens), initial=0))
        self._said = sorted(said, key=lambda e: e.first)
        self._firsts = [one.first for one in self._said]
        self._longest = max((one.last - one.first for one in self._said), default=0)
        self._made: dict[tuple[object, ...], tuple[str, ...]] = {}

    def of(self, at: int, same: Collection[str]) -> frozenset[str]:
        """The features of the name that is token ``at``. ``same``: the names (``@`` and number) of the same ingredient."""
        tokens, around, name = self.tokens, self._around, int(self.tokens[at][1:])
        lo, hi = max(0, at - _BACK), min(len(tokens), at + _ON)
        own, step_of = around.step_of.get(name), around.step_of
        view = [word if word[0] != "@" else _seen(word, same, own, step_of) for word in self._stems[lo:hi]]
        view[at - lo] = _THIS
        beside, when = around.beside.get(name, ()), around.when.get(name, "")
        sentence = self._sentence[at]
        sentences = [one - sentence for one in self._sentence[lo:hi]]
        found = {"bias", *(f"amount {one}" for one in beside)}
        self._add_words(found, view, lo, sentences, at - lo)
        self._add_classes(found, view, lo, sentences, at - lo)
        found.update(f"amount {one.partition(':')[2]}" for one in beside if not one.startswith("far:"))
        first = lo + bisect.bisect_left(sentences, 0)
        last = lo + bisect.bisect_right(sentences, 0)
        found.update(self._kept(_of_sentence, " ".join(tokens[first:last])))
        if when:
            found.add(f"when {when}")
            for n in range(first, last):
                found.update(self._kept(_of_when, when, self._classes[n]))
        near = self._said[bisect.bisect_left(self._firsts, lo - self._longest) : bisect.bisect_right(self._firsts, hi)]
        found.update(_of_rules(near, at, lo, hi, same if tokens[at] in same else {*same, tokens[at]}))
        return frozenset(found if self._known is None else filter(self._known.__contains__, found))

    def _kept(self, make: Callable[..., Iterator[str]], *of: object) -> tuple[str, ...]:
        """What is made of it, without what is not asked for; made once a talk, for names that stand near each other share their words."""
        key = (make, *of)
        kept = self._made.get(key)
        if kept is None:
            known = self._known
            kept = tuple(one for one in make(*of) if known is None or one in known)
            self._made[key] = kept
        return kept

    def _add_words(self, found: set[str], view: Sequence[str], lo: int, sentences: Sequence[int], at: int) -> None:
        """Each word by side, distance and sentence; what stands in a row; kinds of verbs and things (clause_words.csv)."""
        padded = ["", "", *view, "", ""]
        for n, word in enumerate(view):
            away = sentences[n]
            if -_SENTENCES <= away <= _SENTENCES and word != _STOP:
                side = "" if n == at else f"L{_zone(at - n)}" if n < at else f"R{_zone(n - at)}"
                found.update(self._kept(_of_word, *padded[n : n + 5], self._kinds[lo + n], side, away))

    def _add_classes(self, found: set[str], view: Sequence[str], lo: int, sentences: Sequence[int], at: int) -> None:
        """The class of each word by side, distance and sentence (effect_words.csv); and each two that stand near each other, names too."""
        told = []
        for n, word in enumerate(view):
            away = sentences[n]
            own = self._classes[lo + n] or ((word,) if word[0] == "@" else ())
            if own and -_SENTENCES <= away <= _SENTENCES:
                told.append((n, own))
                if word[0] != "@":
                    gap = abs(n - at)
                    side = f"{'L' if n < at else 'R'}{'a' if gap <= 3 else 'b' if gap <= 8 else 'c'}"
                    found.update(self._kept(_of_class, own, side, away))
        for place, (n, own) in enumerate(told):
            if -1 <= sentences[n] <= 1:
                for m, other in told[place + 1 : place + 1 + _TOGETHER]:
                    if m - n > _TOGETHER or not -1 <= sentences[m] <= 1:
                        break
                    found.update(self._kept(_pairs, own, other))


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


def _zone(gap: int) -> int:
    return 1 if gap <= _NEAR else 2 if gap <= _MIDDLE else 3


def _of_sentence(here: str) -> Iterator[str]:
    """Whether the sentence of the name tells a story, a habit, or what others do."""
    if STORY.search(here):
        yield "story"
    if HABIT.search(here):
        yield "habit"
    if not OTHERS.isdisjoint(here.split()):
        yield "others"


def _of_when(when: str, classes: Sequence[str]) -> Iterator[str]:
    return (f"{when} {one}" for one in classes)


def _of_word(
    second: str, before: str, word: str, after: str, then: str, kinds: Sequence[str], side: str, away: int
) -> Iterator[str]:
    """Of one word with the two before and after it (empty at the edge of what is looked at). ``side``: on which side of the name and in
    which zone it stands, empty for the name itself; ``away``: how many sentences on."""
    if after and after != _STOP:
        yield f"row {word} {after}"
        if away == 0:
            yield f"here {word} {after}"
            if then and then != _STOP:
                yield f"three {word} {after} {then}"
    if not side:
        return
    if away == 0:
        yield f"with {word}"
        yield f"{side} {word}"
    else:
        yield f"{'earlier' if away < 0 else 'then'} {word}"
    for kind in kinds:
        yield f"{'kind' if away == 0 else 'kind apart'} {side[0]} {kind}"
        if abs(away) <= 1 and before:
            yield f"kind row {before} {kind}"
            if second:
                yield f"kind three {second} {before} {kind}"


def _of_class(classes: Sequence[str], side: str, away: int) -> Iterator[str]:
    zone = "0" if away == 0 else "-" if away < 0 else "+"
    for one in classes:
        yield f"c{zone} {one}"
        if away == 0:
            yield f"c{side} {one}"
        if abs(away) <= 1:
            yield f"cany {one}"


def _pairs(first: Sequence[str], second: Sequence[str]) -> Iterator[str]:
    return (f"p {one} {other}" for one in first for other in second)


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
