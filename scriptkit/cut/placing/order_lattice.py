"""Every order in which the steps may follow one another, as a lattice of what is done already; and how likely each stretch of
the cut belongs to each step over all of them.

The sets of steps that may be done at a moment are the order ideals of the partial order (Davey and Priestley 2002). A way through
the cut is a way through them, with talk before, between and after the steps: the chain of forward_backward.py for a single order,
and its sums for all orders at once (forward and backward, Rabiner 1989, scaled), each order weighed by how far it is from the plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

Array = Any  # numpy's own types say no more here
_NOTHING = 1e-300


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """The lattice. An edge is a step done after a set of others: ``step``, and ``source`` and ``target``, the sets before and
    after it, as numbers from 0 (nothing done) to ``sets`` - 1 (all done). ``dish`` is the step's; ``late`` whether a later step
    of its dish was done before it; ``ends`` whether with it all prep or all cooking of its dish is done; ``done`` the share of the
    plan that is over when the step is half done."""

    step: Array
    source: Array
    target: Array
    dish: Array
    late: Array
    ends: Array
    done: Array
    sets: int
    dishes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LatticeFit:
    """Logarithms: ``step[t, i]``, ``opening[t]``, ``between[t]``, ``closing[t]`` are how well a stretch fits a step, and the talk;
    ``planned`` weighs how far from its planned share of the cut a step stands. ``stay[i]`` and the others: what follows what, for a
    stretch; ``turn``: to leave a dish for another when its prep or its cooking is done, ``turn_early``: before that; ``late``: to do
    a step after one of its dish that the plan has later."""

    step: Array
    opening: Array
    between: Array
    closing: Array
    planned: float
    pace: float
    stay: Array
    stay_opening: float
    stay_closing: float
    enter: float
    leave: float
    direct: float
    skip: float
    turn: float
    turn_early: float
    late: float


def orders_of(
    before: Sequence[frozenset[int]],
    dishes: Sequence[int],
    stages: Sequence[int],
    blocks: Sequence[int],
    place: Sequence[tuple[float, float]],
    first: float,
    most: int,
) -> Orders | None:
    """The lattice of steps, in the order of the plan; ``before``: for each, those that must come before it. Steps of one number in
    ``stages`` are one dish's prep, or its cooking; those of one in ``blocks`` are done in one go. ``place``: the share of the cut that is planned for each, and for what follows it; ``first``:
    for the opening. None where it has more than ``most`` edges."""
    count = len(before)
    needed = [sum(1 << m for m in of) for of in before]
    later = [sum(1 << m for m in range(n + 1, count) if dishes[m] == dishes[n]) for n in range(count)]
    in_block = [sum(1 << m for m in range(count) if blocks[m] == blocks[n]) for n in range(count)]
    in_stage = [sum(1 << m for m in range(count) if stages[m] == stages[n]) for n in range(count)]
    number = {0: 0}
    spent = {0: first}
    queue = [0]
    edges: list[tuple[int, int, int, bool, bool, float]] = []
    for now in queue:
        free = [n for n in range(count) if not now >> n & 1 and needed[n] & ~now == 0]
        begun = [n for n in free if in_block[n] & now]
        for n in begun or free:
            after = now | 1 << n
            if after not in number:
                number[after] = len(number)
                spent[after] = spent[now] + sum(place[n])
                queue.append(after)
            late, ends = bool(later[n] & now), in_stage[n] & ~after == 0
            edges.append((n, number[now], number[after], late, ends, spent[now] + place[n][0] / 2))
        if len(edges) > most:
            return None
    if not edges:
        return None
    step, source, target, late_, ends_, done = (np.array(column) for column in zip(*edges, strict=True))
    return Orders(
        step=step, source=source, target=target, dish=np.array(dishes)[step], late=late_, ends=ends_, done=done,
        sets=len(number), dishes=max(dishes) + 1,
    )  # fmt: skip


class _Sums:
    """Factors, not logarithms, and the two ways of handing them on along the lattice."""

    def __init__(self, of: Orders, fit: LatticeFit, anchors: Mapping[int, int]) -> None:
        self.of, self.anchors = of, anchors
        self.bins = len(fit.opening)
        self.last = of.target == of.sets - 1
        self.first = of.source == 0
        self.into = of.source * of.dishes + of.dish
        self.out = of.target * of.dishes + of.dish
        self.late = np.exp(fit.late * of.late)
        self.turn = np.exp(np.where(of.ends, fit.turn, fit.turn_early))
        self.kept = 1 - self.turn
        self.stay = np.exp(fit.stay)[of.step]
        self.stay_gap = np.where(self.last, np.exp(fit.stay_closing), 1.0)
        self.stay_opening = float(np.exp(fit.stay_opening))
        self.enter, self.leave, self.direct, self.skip = (
            float(np.exp(x)) for x in (fit.enter, fit.leave, fit.direct, fit.skip)
        )
        talk = np.stack([fit.opening, fit.between, fit.closing])
        tops = np.maximum(fit.step.max(1), talk.max(0))
        now = (np.arange(self.bins) + 0.5) / self.bins
        self.steps = -fit.planned * fit.pace * (now[:, None] - of.done) ** 2
        np.exp(self.steps, out=self.steps)
        self.steps *= np.exp((fit.step - tops[:, None]) * fit.pace)[:, of.step]
        self.opening, self.between, self.closing = np.exp((talk - tops) * fit.pace)

    def at(self, t: int) -> tuple[Array, Array, float]:
        """How well the stretch fits each edge's step, the talk after it, and the opening."""
        of = self.of
        if (only := self.anchors.get(t)) is not None:
            return (of.step == only).astype(float), np.zeros(len(of.step)), 0.0
        return self.steps[t], np.where(self.last, self.closing[t], self.between[t]), self.opening[t]

    def onward(self, ended: Array, opening: float) -> Array:
        """What comes to each edge from what has just ended, a figure for each edge, and from the opening."""
        of = self.of
        turned = np.bincount(of.target, ended * self.turn, of.sets)
        kept = np.bincount(self.out, ended * self.kept, of.sets * of.dishes)
        come = turned[of.source] + kept[self.into]
        if opening:
            come[self.first] += opening
        return come * self.late

    def back(self, begun: Array) -> Array:
        """The same the other way: what the end of each edge leads to."""
        of = self.of
        weighed = begun * self.late
        turned = np.bincount(of.source, weighed, of.sets)
        kept = np.bincount(self.into, weighed, of.sets * of.dishes)
        return self.turn * turned[of.target] + self.kept * kept[self.out]


def shares(of: Orders, fit: LatticeFit, anchors: Mapping[int, int]) -> list[list[float]] | None:
    """For each step the share of each stretch, 0 to 1, over all orders. ``anchors``: stretch → the step that it is known to be in;
    None where no order has them all."""
    sums = _Sums(of, fit, anchors)
    bins, edges = sums.bins, len(of.step)
    in_step, in_gap, opening = np.zeros(edges), np.zeros(edges), 0.0
    steps_at, scales = np.empty((bins, edges)), np.empty(bins)
    for t in range(bins):
        step, gap, talk = sums.at(t)
        if t == 0:
            begun = sums.onward(in_gap, 1.0)
            in_step, in_gap, opening = step * begun, gap * begun * sums.skip, talk
        else:
            from_gap = sums.onward(in_gap, opening)
            new = step * (in_step * sums.stay + sums.enter * from_gap + sums.direct * sums.onward(in_step, 0.0))
            in_gap = gap * (in_gap * sums.stay_gap + sums.leave * in_step + sums.skip * from_gap)
            in_step, opening = new, opening * talk * sums.stay_opening
        scale = float(in_step.sum() + in_gap.sum() + opening) or _NOTHING
        in_step, in_gap, opening = in_step / scale, in_gap / scale, opening / scale
        steps_at[t], scales[t] = in_step, scale
    after_step = np.where(sums.last, sums.leave, 0.0)
    after_gap = np.where(sums.last, 1.0, sums.skip * sums.back(sums.last.astype(float)))
    whole = float((in_step * after_step).sum() + (in_gap * after_gap).sum())
    if whole <= 0 or scales.min() <= _NOTHING:
        return None
    found = np.empty((bins, fit.step.shape[1]))
    for t in range(bins - 1, -1, -1):
        found[t] = np.bincount(of.step, steps_at[t] * after_step, fit.step.shape[1]) / whole
        step, gap, _ = sums.at(t)
        e_step, e_gap = step * after_step / scales[t], gap * after_gap / scales[t]
        to_step = sums.back(e_step)
        after_step = sums.stay * e_step + sums.leave * e_gap + sums.direct * to_step
        after_gap = sums.stay_gap * e_gap + sums.enter * to_step + sums.skip * sums.back(e_gap)
    rows: list[list[float]] = found.T.tolist()
    return rows
