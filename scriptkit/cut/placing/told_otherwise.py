"""Where the last step of a dish is told in other words than the recipe's, after everything that comes before it."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.cut.step_starts import Sentence
from scriptkit.english.endings import REST, ends_by, tells_the_end
from scriptkit.recipe.dish import Step

_APART_MS = 4_000
"""So far from the moment of another step a sentence is of its own (common sense, no source)."""
_NEAR_MS = 12_000
"""A rest is told so near to where it would stand (common sense, no source)."""


def end_told(
    step: Step, sentences: Sequence[Sentence], after_ms: float, until_ms: float, others: Sequence[float]
) -> int | None:
    """The middle of the first sentence between the two moments that tells the end in other words, at which no other step stands; None:
    there is none, or the step is no end of a kind that is told so. ``others``: the moments of the other steps."""
    kinds = ends_by(step.reading.said)
    for one in sentences if kinds else ():
        middle = (one.start_ms + one.end_ms) // 2
        free = all(not one.start_ms - _APART_MS <= ms <= one.end_ms for ms in others)
        if one.start_ms > after_ms and one.end_ms < until_ms and free and tells_the_end(one.text, kinds):
            return middle
    return None


def only_rests(step: Step) -> bool:
    """Whether the step is nothing but a rest, at which nothing goes in."""
    return step.reading.method == "rest" and not step.additions


def rest_told(sentences: Sequence[Sentence], at_ms: float) -> bool:
    """Whether a rest is told of about the moment, in whatever words."""
    return any(
        one.end_ms > at_ms - _NEAR_MS and one.start_ms < at_ms + _NEAR_MS and tells_the_end(one.text, frozenset({REST}))
        for one in sentences
    )
