"""Portions nearest to the usual ones that keep every limit, in steps that a person can serve; solved by HiGHS."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from scriptkit.measure.amounts import Amount, format_grams
from scriptkit.nutrition.limits import WEIGHT, figure_of, printed_figures
from scriptkit.nutrition.macros import Macros, total
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.sure_limits import slopes, surely_keeps

_EPSILON = 1e-7
_LARGEST_RATIO = 100.0
_HALVINGS = 30
_TRIES = 40
"""How often portions that break a limit only as printed are given up for the next best."""
_STRICTER = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A dish whose portion may change. ``per_gram`` is one gram as served; the portion is a whole number of ``step_g``
    from ``least_g`` to ``most_g``, or the usual one, which is served anyway."""

    name: str
    per_gram: Macros
    usual_g: float
    step_g: float
    least_g: float
    most_g: float
    step: Amount | None = None
    """The step as the cook measures it, where it is not weighed."""

    def said(self, grams: float) -> str:
        """The portion in the cook's own steps: ``¾ cup``; empty where it is no whole number of them."""
        steps = round(grams / self.step_g)
        if self.step is None or steps < 1 or abs(steps * self.step_g - grams) > 1e-6:
            return ""
        return str(self.step.times(steps))

    def words(self, grams: float) -> str:
        """``180 g (¾ cup)``, or ``180 g`` where no measure says it."""
        said = self.said(grams)
        return format_grams(grams) + (f" ({said})" if said else "")

    @property
    def steps(self) -> range:
        """The numbers of steps that may be served."""
        return range(
            math.ceil(self.least_g / self.step_g - _EPSILON), math.floor(self.most_g / self.step_g + _EPSILON) + 1
        )

    @property
    def usual_serves(self) -> bool:
        """Whether the usual portion lies within the bounds."""
        return self.least_g - _EPSILON <= self.usual_g <= self.most_g + _EPSILON

    @property
    def servings(self) -> list[float]:
        """Every portion that may be served, in grams: nearest to the usual one first, the smaller first where two are as
        near."""
        grams = {n * self.step_g for n in self.steps} | ({self.usual_g} if self.usual_serves else set())
        return sorted(grams, key=lambda g: (abs(g - self.usual_g), g))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """At most or at least ``figure`` of a macro, a ratio or the weight, on one plate."""

    name: str
    at_most: bool
    figure: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Portions:
    """Grams by choice, or None with the bounds that contradict one another and the nearest figure for each that would
    do while the others are kept."""

    grams: tuple[float, ...] | None
    conflict: tuple[tuple[Bound, float | None], ...] = ()


def portions(
    choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros | None = None, *, sure: bool = False
) -> Portions:
    """Portions with the least sum of shares by which each differs from its usual, that keep every bound: exactly, and in
    the rounded figures that are printed. Of equally near ones the first dish stays nearest to its usual portion, then the
    second.

    ``sure``: by the end of each figure's interval, and not by the best estimate alone.
    ``extra`` is what lies on the plate whatever the portions (garnish). Figures of the bounds must be known of every
    choice and of ``extra``; ValueError otherwise.
    """
    extra = extra or Macros()
    grams = _kept(choices, bounds, extra, settle=True, sure=sure)
    if grams is not None:
        return Portions(grams=grams)
    core = list(bounds)
    for bound in bounds:  # the fewest, by taking out one after another, that still cannot be kept together
        rest = [b for b in core if b is not bound]
        if _kept(choices, rest, extra, sure=sure) is None:
            core = rest
    return Portions(grams=None, conflict=tuple((b, _would_do(b, core, choices, extra, sure=sure)) for b in core))


def keeps(bound: Bound, plate: Macros) -> bool:
    """Whether the plate keeps the bound, exactly and as it is printed."""
    left, right = weights_of(bound, plate)
    if left > right + _EPSILON * max(1.0, abs(right)):
        return False
    return all(
        printed is None or (printed <= bound.figure + _EPSILON if bound.at_most else printed >= bound.figure - _EPSILON)
        for printed in printed_figures(plate, bound.name)
    )


def _kept(
    choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros, *, settle: bool = False, sure: bool = False
) -> tuple[float, ...] | None:
    """The nearest portions that keep the bounds, also as printed; None where there are none. ``settle``: of equally near
    ones always the same."""
    asked = list(bounds)
    cuts: list[Row] = []
    for _ in range(_TRIES):
        problem = _Problem(choices, asked, extra)
        grams = problem.nearest(asked, settle=settle, cuts=cuts)
        if grams is None:
            return None
        plate = plate_of(choices, grams) + extra
        broken = [n for n, bound in enumerate(bounds) if not keeps(bound, plate)]
        unsure = [b for b in bounds if sure and not surely_keeps(plate, b.name, b.figure, at_most=b.at_most)]
        if not broken and not unsure:
            return grams
        cuts += [problem.cut(bound, grams) for bound in unsure]
        for n in broken:  # printed, it breaks what it keeps: ask for a little less of it
            asked[n] = _stricter(asked[n], plate)
    return None


def _stricter(bound: Bound, plate: Macros) -> Bound:
    """A bound that this plate, and any that has as much, no longer keeps."""
    has = figure_of(plate, bound.name)
    figure = bound.figure if has is None else min(has, bound.figure) if bound.at_most else max(has, bound.figure)
    off = _STRICTER * max(1.0, abs(figure))
    return replace(bound, figure=figure - off if bound.at_most else figure + off)


def _would_do(
    bound: Bound, core: Sequence[Bound], choices: Sequence[Choice], extra: Macros, *, sure: bool = False
) -> float | None:
    """The nearest figure of the bound, to 0.1, that can be kept together with the others, also as printed; None where they
    cannot be kept without it."""
    others = [b for b in core if b is not bound]
    problem = _Problem(choices, core, extra)
    reached = problem.best_for(bound, others)
    if reached is None:
        return None
    tenths = math.ceil(reached * 10 - 1e-6) if bound.at_most else math.floor(reached * 10 + 1e-6)

    def works(off: int) -> bool:
        figure = (tenths + off if bound.at_most else tenths - off) / 10
        return figure >= 0 and _kept(choices, [replace(bound, figure=figure), *others], extra, sure=sure) is not None

    off = _least_that(works, _TRIES) if not sure else _least_by_halving(works)
    return None if off is None else (tenths + off if bound.at_most else tenths - off) / 10


def _least_that(works: Callable[[int], bool], most: int) -> int | None:
    return next((n for n in range(most) if works(n)), None)


def _least_by_halving(works: Callable[[int], bool]) -> int | None:
    """The least number that works, where every larger one does too: found by doubling, then by halving."""
    if works(0):
        return 0
    high: int | None = next((2**n for n in range(14) if works(2**n)), None)
    if high is None:
        return None
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if works(middle) else (middle, high)
    return high


def plate_of(choices: Sequence[Choice], grams: Sequence[float]) -> Macros:
    """The plate with these portions."""
    return total(c.per_gram.times(g) for c, g in zip(choices, grams, strict=True))


def weights_of(bound: Bound, macros: Macros) -> tuple[float, float]:
    """The bound as ``sum(coefficient x grams) <= 0`` or ``<= right side``: (coefficient of this food per gram x its
    weight, right side). Raises ValueError where the figure is unknown."""
    if bound.name == WEIGHT:
        coefficient, right = macros.weight_g, bound.figure
    elif bound.name in RATIOS:
        excess = RATIOS[bound.name].excess(macros, bound.figure)
        if excess is None:
            raise ValueError(f"a figure of {bound.name} is unknown")
        coefficient, right = excess, 0.0
    else:
        coefficient, right = _known(macros, bound.name), bound.figure
    return (coefficient, right) if bound.at_most else (-coefficient, -right)


def _known(macros: Macros, nutrient: str) -> float:
    figure = macros.figure(nutrient)
    if figure is None:
        raise ValueError(f"{nutrient} is unknown")
    return figure


Row = tuple[list[int], list[float], float]
"""``coefficients x variables <= right side``: which variables, their coefficients, the right side."""


class _Problem:
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
        """The plane that touches the end of the bound's interval at the plate of these grams."""
        parts = [c.per_gram.parts for c in self.choices]
        each, fixed = slopes(parts, grams, self.extra.parts, bound.name, at_most=bound.at_most)
        sign = 1.0 if bound.at_most else -1.0
        per_gram = [sign * _known(c.per_gram, bound.name) + s for c, s in zip(self.choices, each, strict=True)]
        coefficients = [p * c.step_g for p, c in zip(per_gram, self.choices, strict=True)]
        coefficients += [p * c.usual_g for p, c in zip(per_gram, self.choices, strict=True)]
        right = sign * (bound.figure - _known(self.extra, bound.name)) - fixed
        return list(range(2 * len(self.choices))), coefficients, right

    def nearest(
        self, bounds: Sequence[Bound], *, settle: bool = False, cuts: Sequence[Row] = ()
    ) -> tuple[float, ...] | None:
        """Grams of each choice, nearest to the usual portions; None where the bounds cannot be kept."""
        n = len(self.choices)
        away = [1.0 / max(c.usual_g, c.step_g) for c in self.choices]
        rows = [*self._portion_rows(), *self._bound_rows(bounds, n), *cuts]
        usual, distance = [0.0] * (2 * n), [0.0] * n
        best = self._solved([*usual, *away], rows)
        if best is None:
            return None
        # of equally near ones: the first dish as near as can be, then the second
        least = sum(a * d for a, d in zip(away, best[2 * n :], strict=True))
        rows.append((list(range(2 * n, 3 * n)), away, least + _EPSILON))
        for i in range(n if settle and least > _EPSILON else 0):
            best = self._solved([*usual, *distance[:i], 1.0, *distance[i + 1 :]], rows) or best
            rows.append(([2 * n + i], [1.0], best[2 * n + i] + _EPSILON * self.choices[i].usual_g))
        return self._grams(best)

    def _grams(self, values: Sequence[float]) -> tuple[float, ...]:
        n = len(self.choices)
        return tuple(
            c.usual_g if round(values[n + i]) else round(values[i]) * c.step_g for i, c in enumerate(self.choices)
        )

    def _portion_rows(self) -> list[Row]:
        """Variables: steps of each choice, whether it is its usual portion instead, and its distance from that in grams."""
        n = len(self.choices)
        rows: list[Row] = []
        for i, c in enumerate(self.choices):
            grams = [c.step_g, c.usual_g]
            rows.append(([i, n + i, 2 * n + i], [*grams, -1.0], c.usual_g))
            rows.append(([i, n + i, 2 * n + i], [*(-g for g in grams), -1.0], -c.usual_g))
            if c.steps:  # a number of steps, or none of them where it is the usual portion
                rows.append(([i, n + i], [1.0, float(c.steps.stop - 1)], float(c.steps.stop - 1)))
                rows.append(([i, n + i], [-1.0, -float(c.steps.start)], -float(c.steps.start)))
            else:
                rows.append(([n + i], [-1.0], -1.0))
        return rows

    def _bound_rows(self, bounds: Sequence[Bound], n: int) -> list[Row]:
        return [(list(range(2 * n)), *self.rows[id(b)]) for b in bounds]

    def _solved(self, costs: Sequence[float], rows: Sequence[Row]) -> list[float] | None:
        n = len(self.choices)
        upper = [float(c.steps.stop - 1) if c.steps else 0.0 for c in self.choices]
        upper += [float(c.usual_serves) for c in self.choices] + [math.inf] * n
        return _solve(costs, [0.0] * (3 * n), upper, rows, 2 * n)

    def best_for(self, bound: Bound, others: Sequence[Bound]) -> float | None:
        """The nearest figure of the bound that can be kept together with the others; None where they alone cannot."""
        if bound.name in RATIOS:
            return self._best_ratio(bound, others)
        n = len(self.choices)
        parts, right = self.rows[id(bound)]
        values = self._solved([*parts, *[0.0] * n], self._portion_rows() + self._bound_rows(others, n))
        if values is None:
            return None
        reached = sum(p * round(v) for p, v in zip(parts, values, strict=False))
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
    rows: Sequence[Row],
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
