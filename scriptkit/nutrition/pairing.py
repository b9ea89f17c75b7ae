"""Which of many dishes goes with this one on a plate that keeps its limits, and in which portions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portioning import Bound, Choice, weights_of

_EPSILON = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A partner with both portions in grams. ``distance`` is the sum of the shares by which they differ from usual."""

    partner: Choice
    main_g: float
    partner_g: float
    plate: Macros
    distance: float


def rank_partners(main: Choice, partners: Sequence[Choice], bounds: Sequence[Bound]) -> list[Pair]:
    """Partners with which the plate keeps every bound, those nearest to usual portions first, by name where equal.

    The same optimum as ``portioning.portions`` of the two dishes, without a solver: with one portion fixed, each bound
    leaves an interval for the other. Raises ValueError where a bound's figure is unknown of a dish.
    """
    found = [pair for partner in partners if (pair := _best(main, partner, bounds)) is not None]
    return sorted(found, key=lambda p: (round(p.distance, 9), p.partner.name))


def _best(main: Choice, partner: Choice, bounds: Sequence[Bound]) -> Pair | None:
    rows = []
    for bound in bounds:
        of_main, right = weights_of(bound, main.per_gram)
        of_partner, _ = weights_of(bound, partner.per_gram)
        rows.append((of_main * main.step_g, of_partner * partner.step_g, right))
    best: tuple[float, int, int] | None = None
    for n in sorted(main.steps, key=lambda n: (abs(n * main.step_g - main.usual_g), n)):
        away = abs(n * main.step_g - main.usual_g) / main.usual_g
        if best is not None and away >= best[0]:
            break
        other = _nearest_partner(partner, [(b, right - a * n) for a, b, right in rows])
        if other is not None:
            distance = away + abs(other * partner.step_g - partner.usual_g) / partner.usual_g
            if best is None or distance < best[0] - _EPSILON:
                best = (distance, n, other)
    if best is None:
        return None
    distance, n, other = best
    main_g, partner_g = n * main.step_g, other * partner.step_g
    plate = main.per_gram.times(main_g) + partner.per_gram.times(partner_g)
    return Pair(partner=partner, main_g=main_g, partner_g=partner_g, plate=plate, distance=distance)


def _nearest_partner(partner: Choice, rows: Sequence[tuple[float, float]]) -> int | None:
    """The number of the partner's steps nearest to usual with ``coefficient x steps <= right side`` for every row."""
    low, high = partner.steps.start, partner.steps.stop - 1
    for coefficient, right in rows:
        if abs(coefficient) < 1e-12:
            if right < -_EPSILON:
                return None
        elif coefficient > 0:
            high = min(high, math.floor((right + _EPSILON) / coefficient))
        else:
            low = max(low, math.ceil((right + _EPSILON) / coefficient))
    if low > high:
        return None
    usual = partner.usual_g / partner.step_g
    return min((max(low, min(high, f)) for f in (math.floor(usual), math.ceil(usual))), key=lambda n: abs(n - usual))
