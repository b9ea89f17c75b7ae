"""How well each stretch of the cut fits each step and the talk around the steps, by the learned weights, as logarithms."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul

from scriptkit.cut.placing.evidence import FEATURES, LENGTHS, Query, Row, lengths_of
from scriptkit.cut.placing.forward_backward import Chain
from scriptkit.cut.placing.speech import MOOD_NAMES, Speech
from scriptkit.cut.placing.weights import weights


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFit:
    """Of a stretch ``t``: ``step[t][i]`` how well it fits the step, ``gaps[t]`` the talk before, between and after steps.
    ``stay[i]``: that the step goes on for a stretch. ``planned``: what a step far from its planned share of the cut loses, by
    the square of the distance. ``pace``: how many stretches of 2 s one is."""

    step: Sequence[Sequence[float]]
    gaps: Sequence[Sequence[float]]
    stay: Sequence[float]
    planned: float
    pace: float


def log_fit(
    queries: Sequence[Query], speech: Speech, rows: Sequence[Sequence[Row]], *, planned_weight: float
) -> LogFit:
    """By the learned weights. ``planned_weight``: how much more than an assumed place the planned one tells."""
    of = weights()
    bins, steps = speech.bins, len(queries)
    counted = [of[name] for name in FEATURES]
    columns = []
    for of_step in rows:
        column = [of["any step"]] * bins
        for figure, row in zip(counted, of_step, strict=True):
            for t, value in row.items():
                column[t] += figure * value
        columns.append(column)
    fit = list(zip(*columns, strict=True)) if steps else [()] * bins
    talk = [[of[f"{when}: {name}"] for name in MOOD_NAMES] for when in ("opening", "between", "closing")]
    longer = math.log(max(bins * 2 / max(steps, 1) / 40, 1e-6))
    stays = [
        of["step goes on"]
        + of["step goes on: fewer steps"] * longer
        + sum(of[f"step goes on: {name}"] * x for name, x in zip(LENGTHS, lengths_of(q), strict=True))
        for q in queries
    ]
    return LogFit(
        step=fit,
        gaps=[[sum(map(mul, row, moods)) for row in talk] for moods in speech.moods],
        stay=stays,
        planned=of["planned place"] * planned_weight * 10,
        pace=speech.bin_ms / 2000,
    )


def chain_of(log: LogFit, usual: Sequence[float]) -> Chain:
    """The chain of the steps in the order of ``log``; ``usual``: the share of the cut at which each is planned."""
    of = weights()
    pace, bins = log.pace, len(log.step)
    fit = [
        [x - log.planned * (now - at) ** 2 for now in ((t + 0.5) / bins,) for x, at in zip(row, usual, strict=True)]
        for t, row in enumerate(log.step)
    ]
    tops = [max(max(row, default=0.0), *gaps) for row, gaps in zip(fit, log.gaps, strict=True)]
    opening, between, closing = (
        [math.exp((g[n] - top) * pace) for g, top in zip(log.gaps, tops, strict=True)] for n in range(3)
    )
    return Chain(
        step=[[math.exp((x - top) * pace) for x in row] for row, top in zip(fit, tops, strict=True)],
        opening=opening,
        between=between,
        closing=closing,
        stay=[bounded_exp(x * pace) for x in log.stay],
        stay_opening=bounded_exp(of["opening goes on"] * pace),
        stay_between=1.0,
        stay_closing=bounded_exp(of["closing goes on"] * pace),
        enter=bounded_exp(of["step begins"]),
        leave=bounded_exp(of["step ends"]),
        direct=bounded_exp(of["step to step"]),
        skip=bounded_exp(of["step left out"]),
    )


def bounded_exp(power: float) -> float:
    """The factor of a bounded power."""
    return math.exp(bounded_power(power))


def bounded_power(power: float) -> float:
    """Of a cut of days, as broken times make one, a stretch is so long that the powers would pass all bounds."""
    return min(power, 50.0)
