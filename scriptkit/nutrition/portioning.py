"""Portions nearest to the usual ones that keep every limit, in steps that a person can serve; solved by HiGHS."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from scriptkit.nutrition.limits import KCAL, RATIOS, WEIGHT
from scriptkit.nutrition.macros import Macros, total

_EPSILON = 1e-7
_LARGEST_RATIO = 100.0
_HALVINGS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A dish whose portion may change. ``per_gram`` is one gram as served; the portion is a whole number of ``step_g``
    from ``least_g`` to ``most_g``."""

    name: str
    per_gram: Macros
    usual_g: float
    step_g: float
    least_g: float
    most_g: float

    @property
    def steps(self) -> range:
        """The numbers of steps that may be served."""
        return range(
            math.ceil(self.least_g / self.step_g - _EPSILON), math.floor(self.most_g / self.step_g + _EPSILON) + 1
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """At most or at least ``figure`` of a macro, a ratio or the weight, on one plate."""

    name: str
    at_most: bool
    figure: float

    def __str__(self) -> str:
        return f"{self.name} {'at most' if self.at_most else 'at least'} {self.figure:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Portions:
    """Grams by choice, or None with the bounds that contradict one another and the nearest figure for each that would
    do while the others are kept."""

    grams: tuple[float, ...] | None
    conflict: tuple[tuple[Bound, float | None], ...] = ()


def portions(choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros | None = None) -> Portions:
    """Portions with the least sum of shares by which each differs from its usual, that keep every bound.

    ``extra`` is what lies on the plate whatever the portions (garnish). Figures of the bounds must be known of every
    choice; ValueError otherwise.
    """
    problem = _Problem(choices, bounds, extra or Macros())
    steps = problem.nearest(bounds)
    if steps is not None:
        return Portions(grams=tuple(n * c.step_g for n, c in zip(steps, choices, strict=True)))
    core = _contradiction(problem, bounds)
    return Portions(grams=None, conflict=tuple((b, problem.best_for(b, [o for o in core if o is not b])) for b in core))


def plate_of(choices: Sequence[Choice], grams: Sequence[float]) -> Macros:
    """The plate with these portions."""
    return total(c.per_gram.times(g) for c, g in zip(choices, grams, strict=True))


def _contradiction(problem: _Problem, bounds: Sequence[Bound]) -> list[Bound]:
    """The fewest bounds, by taking out one after another, that still cannot be kept together."""
    core = list(bounds)
    for bound in bounds:
        rest = [b for b in core if b is not bound]
        if problem.nearest(rest) is None:
            core = rest
    return core


def weights_of(bound: Bound, macros: Macros) -> tuple[float, float]:
    """The bound as ``sum(coefficient x grams) <= 0`` or ``<= right side``: (coefficient of this food per gram x its
    weight, right side). Raises ValueError where the figure is unknown."""
    if bound.name == WEIGHT:
        coefficient, right = macros.weight_g, bound.figure
    elif bound.name in RATIOS:
        coefficient, right = _ratio(bound, macros), 0.0
    else:
        coefficient, right = _known(macros, bound.name), bound.figure
    return (coefficient, right) if bound.at_most else (-coefficient, -right)


def _known(macros: Macros, nutrient: str) -> float:
    figure = macros.figure(nutrient)
    if figure is None:
        raise ValueError(f"{nutrient} is unknown")
    return figure


def _ratio(bound: Bound, macros: Macros) -> float:
    """Linear in grams: upper part - figure x lower part, at most 0 where the ratio is at most the figure."""
    fat, protein, net = (_known(macros, n) for n in KCAL)
    if bound.name == "fat_to_protein_and_net_carbs":
        return fat - bound.figure * (protein + net)
    if bound.name == "fat_to_net_carbs":
        return fat - bound.figure * net
    energy = {n: _known(macros, n) * kcal for n, kcal in KCAL.items()}
    part = energy[bound.name.replace("_energy_percent", "_g")]
    return part - bound.figure / 100 * sum(energy.values())


class _Problem:
    """The plate as an integer programme: a whole number of steps of each dish, its distance from the usual one."""

    def __init__(self, choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros) -> None:
        self.choices = choices
        self.extra = extra
        self.rows = {}
        for bound in bounds:
            parts = [weights_of(bound, c.per_gram)[0] * c.step_g for c in choices]
            _, right = weights_of(bound, Macros())
            self.rows[id(bound)] = (parts, right - weights_of(bound, extra)[0])

    def nearest(self, bounds: Sequence[Bound]) -> list[int] | None:
        """Steps of each choice, nearest to the usual portions; None where the bounds cannot be kept."""
        n = len(self.choices)
        # variables: steps (integer), then distances
        costs = [0.0] * n + [1.0 / max(c.usual_g, c.step_g) for c in self.choices]
        rows: list[tuple[list[int], list[float], float]] = []
        for i, c in enumerate(self.choices):
            rows.append(([i, n + i], [c.step_g, -1.0], c.usual_g))
            rows.append(([i, n + i], [-c.step_g, -1.0], -c.usual_g))
        rows += [(list(range(n)), *self.rows[id(b)]) for b in bounds]
        lower = [float(c.steps.start) for c in self.choices] + [0.0] * n
        upper = [float(c.steps.stop - 1) for c in self.choices] + [math.inf] * n
        values = _solve(costs, lower, upper, rows, n)
        return None if values is None else [round(v) for v in values[:n]]

    def best_for(self, bound: Bound, others: Sequence[Bound]) -> float | None:
        """The nearest figure of the bound that can be kept together with the others; None where they alone cannot."""
        if bound.name in RATIOS:
            return self._best_ratio(bound, others)
        n = len(self.choices)
        parts, right = self.rows[id(bound)]
        rows = [(list(range(n)), *self.rows[id(b)]) for b in others]
        lower = [float(c.steps.start) for c in self.choices]
        upper = [float(c.steps.stop - 1) for c in self.choices]
        values = _solve(list(parts), lower, upper, rows, n)
        if values is None:
            return None
        reached = sum(p * round(v) for p, v in zip(parts, values, strict=True))
        shifted = reached + (bound.figure if bound.at_most else -bound.figure) - right
        return shifted if bound.at_most else -shifted

    def _best_ratio(self, bound: Bound, others: Sequence[Bound]) -> float | None:
        """By halving: a ratio is not linear in the portions, but whether a figure of it can be kept is."""
        if self.nearest(others) is None:
            return None
        good, bad = (_LARGEST_RATIO, bound.figure) if bound.at_most else (0.0, bound.figure)
        for _ in range(_HALVINGS):
            middle = (good + bad) / 2
            tried = replace(bound, figure=middle)
            if _Problem(self.choices, [tried, *others], self.extra).nearest([tried, *others]) is None:
                bad = middle
            else:
                good = middle
        return good


def _solve(
    costs: Sequence[float],
    lower: Sequence[float],
    upper: Sequence[float],
    rows: Sequence[tuple[Sequence[int], Sequence[float], float]],
    integers: int,
) -> list[float] | None:
    """Minimise costs x values under ``coefficients x values <= right side``; the first ``integers`` are whole numbers."""
    import highspy
    import numpy as np

    if any(a > b for a, b in zip(lower, upper, strict=True)):
        return None
    solver: Any = highspy._Highs()  # type: ignore[attr-defined]  # the wrapped one prints a banner, and standard output is for data
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    solver.setOptionValue("threads", 1)
    for i, (cost, low, high) in enumerate(zip(costs, lower, upper, strict=True)):
        solver.addVar(low, highspy.kHighsInf if math.isinf(high) else high)
        solver.changeColCost(i, cost)
        if i < integers:
            solver.changeColIntegrality(i, highspy.HighsVarType.kInteger)
    for columns, coefficients, right in rows:
        solver.addRow(
            -highspy.kHighsInf,
            right + _EPSILON,
            len(columns),
            np.array(columns, dtype=np.int32),
            np.array(coefficients),
        )
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return list(solver.getSolution().col_value)
