"""Which of many dishes goes with this one on a plate that keeps its limits, and in which portions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portioning import Bound, Choice, keeps, plate_of, portions, weights_of

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

    The same portions as ``portioning.portions`` of the two dishes, without a solver: with one portion fixed, each bound
    leaves an interval for the other. Raises ValueError where a bound's figure is unknown of a dish.
    """
    found = [pair for partner in partners if (pair := _best(main, partner, bounds)) is not None]
    return sorted(found, key=lambda p: (round(p.distance, 9), p.partner.name))


def _best(main: Choice, partner: Choice, bounds: Sequence[Bound]) -> Pair | None:
    grams = _nearest(main, partner, bounds)
    if grams is None:
        return None
    plate = plate_of((main, partner), grams)
    if not all(keeps(bound, plate) for bound in bounds):  # only as printed, which is rare: the solver goes on from here
        found = portions((main, partner), bounds).grams
        if found is None:
            return None
        grams = (found[0], found[1])
        plate = plate_of((main, partner), grams)
    distance = sum(abs(g - c.usual_g) / c.usual_g for g, c in zip(grams, (main, partner), strict=True))
    return Pair(partner=partner, main_g=grams[0], partner_g=grams[1], plate=plate, distance=distance)


def _nearest(main: Choice, partner: Choice, bounds: Sequence[Bound]) -> tuple[float, float] | None:
    rows = []
    for bound in bounds:
        of_main, right = weights_of(bound, main.per_gram)
        of_partner, _ = weights_of(bound, partner.per_gram)
        rows.append((of_main, of_partner, right))
    best: tuple[float, float, float] | None = None
    for grams in main.servings:
        away = abs(grams - main.usual_g) / main.usual_g
        if best is not None and away >= best[0]:
            break
        other = _nearest_partner(partner, [(b, right - a * grams) for a, b, right in rows])
        if other is not None:
            distance = away + abs(other - partner.usual_g) / partner.usual_g
            if best is None or distance < best[0] - _EPSILON:
                best = (distance, grams, other)
    return None if best is None else best[1:]


def _nearest_partner(partner: Choice, rows: Sequence[tuple[float, float]]) -> float | None:
    """The partner's portion nearest to usual with ``coefficient x grams <= right side`` for every row."""
    least, most = 0.0, math.inf
    for coefficient, right in rows:
        if abs(coefficient) < 1e-12:
            if right < -_EPSILON:
                return None
        elif coefficient > 0:
            most = min(most, (right + _EPSILON) / coefficient)
        else:
            least = max(least, (right + _EPSILON) / coefficient)
    if partner.usual_serves and least <= partner.usual_g <= most:
        return partner.usual_g
    low = max(partner.steps.start, math.ceil(least / partner.step_g - _EPSILON))
    high = partner.steps.stop - 1
    if not math.isinf(most):
        high = min(high, math.floor(most / partner.step_g + _EPSILON))
    if low > high:
        return None
    return (low if partner.usual_g < low * partner.step_g else high) * partner.step_g  # usual lies outside them
