"""The cut as a chain: talk, a step, talk, the next step. How likely each stretch of time belongs to each step.

A hidden semi-Markov-like chain of 2 n + 1 states, decoded by forward and backward sums (Rabiner 1989, scaled): the share of
all ways through the cut in which a stretch is the step's. The stretch with the largest share is the best guess of a moment
inside the step, and the share is how sure that is; the single best way through would say neither.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import mul


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Factors, not logarithms. ``step[t][i]`` and ``opening[t]``, ``between[t]``, ``closing[t]``: how well a stretch fits a step,
    and the talk before, between and after steps. ``stay[i]``: that a step goes on; the others: what follows what."""

    step: Sequence[Sequence[float]]
    opening: Sequence[float]
    between: Sequence[float]
    closing: Sequence[float]
    stay: Sequence[float]
    stay_opening: float
    stay_between: float
    stay_closing: float
    enter: float
    leave: float
    direct: float
    skip: float


def shares(chain: Chain, anchors: Mapping[int, int]) -> list[list[float]]:
    """For each step the share of each stretch, 0 to 1. ``anchors``: stretch → the step that it is known to be in; they must
    be in order. The work is the number of stretches times that of steps."""
    steps, bins = len(chain.stay), len(chain.step)
    found = [[0.0] * bins for _ in range(steps)]
    if not steps or not bins:
        return found
    forward, scales = _forward(chain, anchors)
    after_step, after_gap = [0.0] * steps, [0.0] * (steps + 1)
    after_step[-1], after_gap[-1], after_gap[-2] = chain.leave, 1.0, chain.skip
    stays = [chain.stay_opening, *[chain.stay_between] * (steps - 1), chain.stay_closing]
    enter, leave, direct, skip = chain.enter, chain.leave, chain.direct, chain.skip
    for t in range(bins - 1, -1, -1):
        before_step, before_gap = forward[t]
        both = list(map(mul, before_step, after_step))
        whole = sum(both) + sum(map(mul, before_gap, after_gap))
        if whole > 0:
            least = 1e-12 * whole
            for i, value in enumerate(both):
                if value > least:
                    found[i][t] = value / whole
        fit_step, fit_gap = _fit(chain, t, anchors, steps)
        scale = scales[t]
        e_step = [x * b / scale for x, b in zip(fit_step, after_step, strict=True)]
        e_gap = [x * b / scale for x, b in zip(fit_gap, after_gap, strict=True)]
        after_step = [
            stay * e + leave * g + direct * d
            for stay, e, g, d in zip(chain.stay, e_step, e_gap[1:], [*e_step[1:], 0.0], strict=True)
        ]
        after_gap = [
            stay * g + enter * e + skip * n
            for stay, g, e, n in zip(stays, e_gap, [*e_step, 0.0], [*e_gap[1:], 0.0], strict=True)
        ]
    return found


def _forward(chain: Chain, anchors: Mapping[int, int]) -> tuple[list[tuple[list[float], list[float]]], list[float]]:
    """For each stretch how likely what came so far ends in each step and each gap, and by what it was scaled."""
    steps, bins = len(chain.stay), len(chain.step)
    stays = [chain.stay_opening, *[chain.stay_between] * (steps - 1), chain.stay_closing]
    enter, leave, direct, skip = chain.enter, chain.leave, chain.direct, chain.skip
    in_step, in_gap = [0.0] * steps, [0.0] * (steps + 1)
    rows, scales = [], []
    for t in range(bins):
        fit_step, fit_gap = _fit(chain, t, anchors, steps)
        if t == 0:
            in_step = [fit_step[0], *[0.0] * (steps - 1)]
            in_gap = [fit_gap[0], fit_gap[1] * skip, *[0.0] * (steps - 1)]
        else:
            new = [
                x * (a * stay + g * enter + d * direct)
                for x, a, stay, g, d in zip(fit_step, in_step, chain.stay, in_gap, [0.0, *in_step[:-1]], strict=False)
            ]
            in_gap = [
                x * (g * stay + a * leave + s * skip)
                for x, g, stay, a, s in zip(fit_gap, in_gap, stays, [0.0, *in_step], [0.0, *in_gap[:-1]], strict=True)
            ]
            in_step = new
        scale = sum(in_step) + sum(in_gap) or 1e-300
        in_step = [a / scale for a in in_step]
        in_gap = [g / scale for g in in_gap]
        rows.append((in_step, in_gap))
        scales.append(scale)
    return rows, scales


def _fit(chain: Chain, t: int, anchors: Mapping[int, int], steps: int) -> tuple[Sequence[float], Sequence[float]]:
    if (only := anchors.get(t)) is not None:
        return [float(i == only) for i in range(steps)], [0.0] * (steps + 1)
    return chain.step[t], [chain.opening[t], *[chain.between[t]] * (steps - 1), chain.closing[t]]
