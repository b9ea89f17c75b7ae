"""Portions as an integer programme, solved by HiGHS: whole steps of each dish, and what is best among those that keep every bound."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portion_choice import Bound, Choice, known_of, weights_of
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.sure_limits import slopes

NEAREST, FEWEST_CHANGES, MOST_PROTEIN = "nearest", "fewest changes", "most protein"
"""What a cook may wish for among the plates that keep the limits."""
_EPSILON = 1e-7
_LARGEST_RATIO = 100.0
_HALVINGS = 30
_PERCENT = 100.0
_SAME_G = 1e-6
"""Portions nearer to one another than this are one."""

Row = tuple[list[int], list[float], float]
"""``coefficients x variables <= right side``: which variables, their coefficients, the right side."""


class PortionProgramme:
    """The plate as an integer programme: a whole number of steps of each dish or its usual portion, and its distance from
    the usual one."""

    def __init__(self, choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros) -> None:
        self.choices = choices
        self.extra = extra
        self.rows = {}
        for bound in bounds:
            per_gram = [weights_of(bound, c.per_gram)[0] for c in choices]
            parts = [p * c.step_g for p, c in zip(per_gram, choices, strict=True)]
            parts += [p * c.usual_g for p, c in zip(per_gram, choices, strict=True)]
            _, right = weights_of(bound, Macros())
            self.rows[id(bound)] = (parts, right - weights_of(bound, extra)[0])

    def cut(self, bound: Bound, grams: Sequence[float]) -> Row:
        """The plane that touches the end of the bound's interval at the plate of these grams. What the usual portion is doubted by is its
        own: a share of the pot may be surer than as many grams."""
        choices = self.choices
        usual = [abs(g - c.usual_g) < _SAME_G for g, c in zip(grams, choices, strict=True)]
        parts = [c.per_gram for c in choices] + [c.served(c.usual_g).times(1 / c.usual_g) for c in choices]
        at = [0.0 if there else g for g, there in zip(grams, usual, strict=True)]
        at += [g if there else 0.0 for g, there in zip(grams, usual, strict=True)]
        off, fixed = slopes([p.parts for p in parts], at, self.extra.parts, bound.name, at_most=bound.at_most)
        sign = 1.0 if bound.at_most else -1.0
        per_gram = [sign * known_of(p, bound.name) + s for p, s in zip(parts, off, strict=True)]
        each = [*(c.step_g for c in choices), *(c.usual_g for c in choices)]
        coefficients = [p * g for p, g in zip(per_gram, each, strict=True)]
        right = sign * (bound.figure - known_of(self.extra, bound.name)) - fixed
        return list(range(2 * len(choices))), coefficients, right

    def best(self, bounds: Sequence[Bound], *, wish: str = "", cuts: Sequence[Row] = ()) -> tuple[float, ...] | None:
        """Grams of each choice by the wish, without one the nearest; None where the bounds cannot be kept. Among equally good ones
        the wish's order decides: protein, then the first dish."""
        n = len(self.choices)
        rows = [*self._portion_rows(), *self._bound_rows(bounds, n), *cuts]
        grams, change, changed = ([0.0] * k for k in (2 * n, n, n))
        ones = [1.0] * n
        protein = [*self._gains("protein_g"), *change, *changed]
        nearest = [*grams, *ones, *changed]
        fewest = [*grams, *change, *ones]
        goals = {
            NEAREST: [nearest, protein],
            FEWEST_CHANGES: [fewest, nearest, protein],
            MOST_PROTEIN: [protein, nearest],
        }
        asked = goals.get(wish, [nearest])
        asked += [[*grams, *(float(i == k) for k in range(n)), *changed] for i in range(n if wish else 0)]
        found = None
        for costs in asked:
            found = self._solved(costs, rows) or found
            if found is None:
                return None
            least = sum(c * v for c, v in zip(costs, found, strict=True))
            columns = [i for i, c in enumerate(costs) if c]
            rows.append((columns, [costs[i] for i in columns], least + _EPSILON * max(1.0, abs(least))))
        return None if found is None else self._grams(found)

    def any(self, bounds: Sequence[Bound], cuts: Sequence[Row] = ()) -> tuple[float, ...] | None:
        """Grams of each choice that keep the bounds and the cuts, whichever: quicker than the best; None where there are none."""
        n = len(self.choices)
        found = self._solved([0.0] * (4 * n), [*self._serving_rows(), *self._bound_rows(bounds, n), *cuts])
        return None if found is None else self._grams(found)

    def least_end(
        self, others: Sequence[Bound], cuts: Sequence[Row], planes: Sequence[Row]
    ) -> tuple[tuple[float, ...], float] | None:
        """The plate that comes nearest to a bound by the ends of its interval, as far as ``planes`` (cuts of that bound) know them,
        while the others and the cuts are kept; with how far beyond the bound it lies. None where the others cannot be kept."""
        n = len(self.choices)
        beyond = 4 * n
        rows = [*self._serving_rows(), *self._bound_rows(others, n), *cuts]
        rows += [([*columns, beyond], [*coefficients, -1.0], right) for columns, coefficients, right in planes]
        found = self._solved([*[0.0] * (4 * n), 1.0], rows)
        return None if found is None else (self._grams(found), found[beyond])

    def _gains(self, nutrient: str) -> list[float]:
        """What a step and the usual portion of each choice have of it, below zero, as less is better of a cost."""
        per_gram = [c.per_gram.at_least(nutrient) for c in self.choices]
        gains = [-p * c.step_g for p, c in zip(per_gram, self.choices, strict=True)]
        return gains + [-p * c.usual_g for p, c in zip(per_gram, self.choices, strict=True)]

    def _grams(self, values: Sequence[float]) -> tuple[float, ...]:
        n = len(self.choices)
        return tuple(
            c.usual_g if round(values[n + i]) else round(values[i]) * c.step_g for i, c in enumerate(self.choices)
        )

    def _portion_rows(self) -> list[Row]:
        """Variables: steps of each choice, whether it is its usual portion instead, its change in percent squared, and whether there
        is one."""
        n = len(self.choices)
        rows = self._serving_rows()
        for i, c in enumerate(self.choices):
            grams = sorted(c.servings)
            served = [g for k, g in enumerate(grams) if not k or g - grams[k - 1] > _SAME_G]
            changes = [c.change(g) * _PERCENT**2 for g in served]
            for k in range(
                len(served) - 1
            ):  # a convex function is the highest of the lines through its neighbouring points
                slope = (changes[k + 1] - changes[k]) / (served[k + 1] - served[k])
                right = slope * served[k] - changes[k]
                rows.append(([i, n + i, 2 * n + i], [slope * c.step_g, slope * c.usual_g, -1.0], right))
            if len(served) == 1:
                rows.append(([2 * n + i], [-1.0], -changes[0]))
        return rows

    def _serving_rows(self) -> list[Row]:
        """That each choice is a number of its steps or its usual portion, whatever the change."""
        n = len(self.choices)
        rows: list[Row] = []
        for i, c in enumerate(self.choices):
            if c.steps:  # a number of steps, or none of them where it is the usual portion
                last = float(c.steps.stop - 1)
                rows.append(([i, n + i], [1.0, last], last))
                rows.append(([i, n + i], [-1.0, -float(c.steps.start)], -float(c.steps.start)))
                rows.append(([i, 3 * n + i], [1.0, -last], 0.0))
            else:
                rows.append(([n + i], [-1.0], -1.0))
        return rows

    def _bound_rows(self, bounds: Sequence[Bound], n: int) -> list[Row]:
        return [(list(range(2 * n)), *self.rows[id(b)]) for b in bounds]

    def _solved(self, costs: Sequence[float], rows: Sequence[Row]) -> list[float] | None:
        n = len(self.choices)
        upper = [float(c.steps.stop - 1) if c.steps else 0.0 for c in self.choices]
        upper += [float(c.usual_serves) for c in self.choices] + [math.inf] * n + [1.0] * n
        more = len(costs) - 4 * n  # of any size, either way
        lower, upper = [0.0] * (4 * n) + [-math.inf] * more, [*upper, *[math.inf] * more]
        return _solve(costs, lower, upper, rows, whole=[*range(2 * n), *range(3 * n, 4 * n)])

    def best_for(self, bound: Bound, others: Sequence[Bound]) -> float | None:
        """The nearest figure of the bound that can be kept together with the others; None where they alone cannot."""
        if bound.name in RATIOS:
            return self._best_ratio(bound, others)
        n = len(self.choices)
        parts, right = self.rows[id(bound)]
        values = self._solved([*parts, *[0.0] * (2 * n)], self._serving_rows() + self._bound_rows(others, n))
        if values is None:
            return None
        reached = sum(p * round(v) for p, v in zip(parts, values, strict=False))
        shifted = reached + (bound.figure if bound.at_most else -bound.figure) - right
        return shifted if bound.at_most else -shifted

    def _best_ratio(self, bound: Bound, others: Sequence[Bound]) -> float | None:
        """By halving: a ratio is not linear in the portions, but whether a figure of it can be kept is."""
        if self.any(others) is None:
            return None
        good, bad = (_LARGEST_RATIO, bound.figure) if bound.at_most else (0.0, bound.figure)
        for _ in range(_HALVINGS):
            middle = (good + bad) / 2
            tried = replace(bound, figure=middle)
            if PortionProgramme(self.choices, [tried, *others], self.extra).any([tried, *others]) is None:
                bad = middle
            else:
                good = middle
        return good


def _solve(
    costs: Sequence[float],
    lower: Sequence[float],
    upper: Sequence[float],
    rows: Sequence[Row],
    *,
    whole: Sequence[int],
) -> list[float] | None:
    """Minimise costs x values under ``coefficients x values <= right side``; those of the columns ``whole`` are whole numbers."""
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
        solver.addVar(-highspy.kHighsInf if math.isinf(low) else low, highspy.kHighsInf if math.isinf(high) else high)
        solver.changeColCost(i, cost)
    for i in whole:
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
