"""Additions that nobody names, and words of the talk that were likely misheard for them: to be listened to, never certain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from scriptkit.cut.coverage.spoken_additions import NEAR_MS, SpokenAddition
from scriptkit.cut.placement import Cut
from scriptkit.cut.placing.mention_matcher import KIND, MISHEARD, telling_words
from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.english.stems import stem, words_in


class HeardOtherwise(NamedTuple):
    """Words of the talk, when they are said, and the words that were likely meant."""

    time_ms: int
    line: SpokenLine
    word: str
    meant: str


def with_misheard(
    found: Sequence[SpokenAddition], otherwise: Sequence[HeardOtherwise], cut: Cut
) -> tuple[SpokenAddition, ...]:
    """The additions; each that nothing names but perhaps its kind is heard by what was likely misheard for it near its step, each word for one
    addition."""
    at = {(p.dish.name, p.step.id): p.time_ms for p in cut.placements}
    left = list(otherwise)
    out = []
    for one in found:
        step_ms = at.get((one.dish.name, one.step.id))
        near = [] if one.how not in ("", KIND) or step_ms is None else [w for w in left if _may_be(w, one, step_ms)]
        if near and step_ms is not None:
            word = min(near, key=lambda w: abs(w.time_ms - step_ms))
            left.remove(word)
            out.append(replace(one, time_ms=word.time_ms, line=word.line, how=MISHEARD, word=word.word))
        else:
            out.append(one)
    return tuple(out)


def _may_be(word: HeardOtherwise, one: SpokenAddition, step_ms: int) -> bool:
    name = {stem(w) for w in telling_words(words_in(one.addition.ingredient.name))}
    return abs(word.time_ms - step_ms) <= NEAR_MS and not name.isdisjoint(stem(w) for w in words_in(word.meant))
