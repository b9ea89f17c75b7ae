"""What stands around a name in talk, as features from which it is learned what becomes of the ingredient (effect_weights.py)."""

from __future__ import annotations

import bisect
import functools
from collections.abc import Collection, Iterator, Sequence

from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.effect_kinds import HABIT, OTHERS, STORY, SpokenEffect
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
_THIS, _SAME, _OTHER, _STOP = "@X", "@S", "@O", "."
_TOLD_NEAR = 14


def features_of(
    tokens: Sequence[str], at: int, same: Collection[str], said: Sequence[SpokenEffect], beside: Sequence[str] = ()
) -> frozenset[str]:
    """The features of one name alone; as :class:`TalkFeatures` gives them."""
    return TalkFeatures(tokens, said).of(at, same, beside)


class TalkFeatures:
    """A talk as tokens, made ready once for all of its names. ``said``: what phrases and clauses say (spoken_effects.py). Words count by
    their stems, numbers and units as such."""

    def __init__(self, tokens: Sequence[str], said: Sequence[SpokenEffect]) -> None:
        self.tokens = tokens
        self._stems = [word if word.startswith("@") else _stemmed(word) for word in tokens]
        self._kinds = [_kinds(word) for word in tokens]
        self._said = sorted(said, key=lambda e: e.first)
        self._firsts = [one.first for one in self._said]
        self._longest = max((one.last - one.first for one in self._said), default=0)

    def of(self, at: int, same: Collection[str], beside: Sequence[str] = ()) -> frozenset[str]:
        """The features of the name that is token ``at``. ``same``: the names (``@`` and number) of the same ingredient; ``beside``: how a
        figure beside it stands to the recipe's, ``before:more``, ``after:same`` and so on."""
        tokens = self.tokens
        lo, hi = max(0, at - _BACK), min(len(tokens), at + _ON)
        view = [word if word[0] != "@" else _SAME if word in same else _OTHER for word in self._stems[lo:hi]]
        view[at - lo] = _THIS
        sentences = _sentences(view, at - lo)
        found = {"bias", *_of_words(view, self._kinds[lo:hi], sentences, at - lo), *(f"amount {one}" for one in beside)}
        found.update(f"amount {one.partition(':')[2]}" for one in beside)
        here = " ".join(tokens[lo + n] for n in range(len(view)) if sentences[n] == 0)
        found.update(
            name
            for name, holds in (
                ("story", STORY.search(here)), ("habit", HABIT.search(here)), ("others", not OTHERS.isdisjoint(here.split()))
            )
            if holds
        )  # fmt: skip
        near = self._said[bisect.bisect_left(self._firsts, lo - self._longest) : bisect.bisect_right(self._firsts, hi)]
        found.update(_of_rules(near, at, lo, hi, same if tokens[at] in same else {*same, tokens[at]}))
        return frozenset(found)


@functools.lru_cache(maxsize=8192)
def _stemmed(word: str) -> str:
    if word in _NUMBERS or word[0].isdigit():
        return "#"
    return "unit" if word in _UNITS else stem(word) if word.isalpha() else word


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
