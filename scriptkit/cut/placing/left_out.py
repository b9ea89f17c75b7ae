"""Which steps are most likely not in the cut at all: hardly anything of them is heard, in a film in which the others are well heard."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.placing.log_fit import LogFit
from scriptkit.cut.transcript.transcript import SpokenLine

_HEARD_NOWHERE, _SQUEEZED = 0.01, 1 / 3
"""Of the words that tell a step, so few in the whole cut, or so much of its planned time left to it, that it is not there: in the
benchmark's videos, where all steps are in the cut and no time is planned, hardly one is so."""
_WAIT_NEAR_MS = 25_000
"""So far from where a step would stand its wait tells of it (common sense, no source)."""
_TELLS = ((5.0, 0.0, 0.25, 0.4), (0.0, 0.8, 0.4, 0.4))
_OF_ADDITIONS = ((0.0, 0.45, 0.3, 0.2),)
"""A step is left out where what speaks for it, as a logarithm, is less than the third figure as a share of what speaks for half of the
others at least, and the share of its telling words that is said less than the fourth of theirs; where the others are so well heard:
the first two figures are the least of what speaks for them, and of their telling words. With the first two rows 3 of 1,151 steps of the
benchmark, known by a sentence alone, that stand within 5 s of their place lose it; with all, 1 of 177 of 26 of its talks whose dishes
were written as said, with what goes in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowHeard:
    """How well a step is heard about where it would stand. ``lasts_ms`` is the time that it would last; ``log`` by how much more what
    is said there speaks for the step than for mere talk, as a logarithm; ``words`` the share of its telling words that is said there,
    0 to 1, and ``anywhere`` the most that is said at any moment, asked only where none is said there; ``planned_ms``: its planned time, None where none is."""

    log: float
    words: float
    anywhere: float
    lasts_ms: float
    planned_ms: int | None


def speaks_for(log: LogFit, n: int, share: Sequence[float], at: int) -> float:
    """By how much more what is said speaks for step ``n`` than for mere talk, before, between or after the steps, summed over the
    stretches that are more than half as likely the step's as the one at ``at``; a logarithm."""
    least = share[at] / 2
    return sum([log.step[t][n] - max(log.gaps[t]) for t, x in enumerate(share) if x > least]) * log.pace


def left_out(steps: Sequence[HowHeard], *, additions_known: bool) -> frozenset[int]:
    """Numbers of the steps that are most likely not in the cut. ``additions_known``: whether the recipe says what goes in at its steps, so
    that a step of which nothing is named is told apart from one that is told in other words."""
    tells = (*_TELLS, *(_OF_ADDITIONS if additions_known else ()))
    return frozenset(
        n for n, one in enumerate(steps) if _nowhere(one) or _much_less(one, [*steps[:n], *steps[n + 1 :]], tells)
    )


def wait_heard(wait_ms: int, lines: Sequence[SpokenLine], at_ms: float, after_ms: float, until_ms: float) -> int | None:
    """Where about the moment, and between the two others, a time is said that is the step's wait (*ten minutes, hands off*): the middle
    of its line; None: nowhere."""
    from scriptkit.measure.figures import MS, figures_in

    first, last = max(at_ms - _WAIT_NEAR_MS, after_ms), min(at_ms + _WAIT_NEAR_MS, until_ms)
    near = [one for one in lines if one.start_ms > first and one.end_ms < last]
    said = [
        (one.start_ms + one.end_ms) // 2
        for one in near
        for figure in figures_in(one.text)
        if figure.unit == MS and not figure.idle and figure.low <= wait_ms <= figure.high
    ]
    return min(said, key=lambda ms: abs(ms - at_ms), default=None)


def _nowhere(one: HowHeard) -> bool:
    """None of its words are said where its order alone puts it, and either hardly any anywhere, or it would be over in a part of the
    time that is planned for it."""
    squeezed = one.planned_ms is not None and one.lasts_ms < _SQUEEZED * one.planned_ms
    return one.words == 0 and (one.anywhere < _HEARD_NOWHERE or squeezed)


def _much_less(one: HowHeard, others: Sequence[HowHeard], tells: Sequence[tuple[float, float, float, float]]) -> bool:
    if not others:
        return False
    log = statistics.median(o.log for o in others)
    words = statistics.median(o.words for o in others)
    return any(
        log > least_log and words > least_words and one.log < of_log * log and one.words < of_words * words
        for least_log, least_words, of_log, of_words in tells
    )
