"""Which steps are most likely not in the cut at all: hardly anything of them is heard, in a film in which the others are well heard."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.placing.log_fit import LogFit

_HEARD_NOWHERE, _SQUEEZED = 0.01, 1 / 3
"""Of the words that tell a step, so few in the whole cut, or so much of its planned time left to it, that it is not there: in the
benchmark's videos, where all steps are in the cut and no time is planned, hardly one is so."""
_MUCH_SAID, _ALL_SAID = (5.0, 0.25), (0.8, 0.4)
"""Where so much speaks for half of the other steps at least, as a logarithm, or so large a share of their telling words is said, a
step is left out for which no more than this share of it speaks. In nine of ten of the benchmark's videos, whose steps are known by a
sentence alone, both are less, and then nothing tells."""
_WORDS_OF_THE_OTHERS = 0.4
"""And no more than this share of the telling words that are said of the others. Of 1,151 steps of the benchmark 3 that stand within 5 s
of their place lose it so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowHeard:
    """How well a step is heard about where it would stand. ``lasts_ms`` is the time that it would last; ``log`` by how much more what
    is said there speaks for the step than for mere talk, as a logarithm; ``words`` the share of its telling words that is said there,
    0 to 1, and ``anywhere`` the most that is said at any moment; ``planned_ms``: its planned time, None where none is."""

    log: float
    words: float
    anywhere: float
    lasts_ms: float
    planned_ms: int | None


def speaks_for(log: LogFit, n: int, share: Sequence[float], at: int) -> float:
    """By how much more what is said speaks for step ``n`` than for talk between steps, summed over the stretches about ``at`` that are
    more likely the step's than half as likely as that one; a logarithm."""
    least = share[at] / 2
    return sum(log.step[t][n] - log.gaps[t][1] for t, x in enumerate(share) if x > least) * log.pace


def left_out(steps: Sequence[HowHeard]) -> frozenset[int]:
    """Numbers of the steps that are most likely not in the cut."""
    return frozenset(
        n for n, one in enumerate(steps) if _nowhere(one) or _much_less(one, [*steps[:n], *steps[n + 1 :]])
    )


def _nowhere(one: HowHeard) -> bool:
    """None of its words are said where its order alone puts it, and either hardly any anywhere, or it would be over in a part of the
    time that is planned for it."""
    squeezed = one.planned_ms is not None and one.lasts_ms < _SQUEEZED * one.planned_ms
    return one.words == 0 and (one.anywhere < _HEARD_NOWHERE or squeezed)


def _much_less(one: HowHeard, others: Sequence[HowHeard]) -> bool:
    if not others:
        return False
    usual = statistics.median(o.log for o in others)
    words = statistics.median(o.words for o in others)
    shares = [share for much, (least, share) in ((usual, _MUCH_SAID), (words, _ALL_SAID)) if much > least]
    return bool(shares) and one.log < max(shares) * usual and one.words < _WORDS_OF_THE_OTHERS * words
