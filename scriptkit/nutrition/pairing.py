"""Which of many dishes goes with this one on a plate that keeps its limits, and in which portions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portion_choice import Bound, Choice, plate_of, weights_of
from scriptkit.nutrition.portioning import keeps, portions
from scriptkit.nutrition.sure_limits import surely_keeps

_EPSILON = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A partner with both portions in grams. ``distance`` is the sum of both changes (`Choice.change`); ``plates``: how many such
    plates the two pots give."""

    partner: Choice
    main_g: float
    partner_g: float
    plate: Macros
    distance: float
    plates: float


def rank_partners(
    main: Choice, partners: Sequence[Choice], bounds: Sequence[Bound], *, sure: bool = False
) -> list[Pair]:
    """Partners with which the plate keeps every bound, those nearest to usual portions first; of equally near ones those with more
    protein, then less energy. No portion is more than its pot holds for as many plates as both dishes are cooked for.

    ``sure``: by the end of each figure's interval, and not by the best estimate alone. The same portions as
    ``portioning.portions`` of the two dishes, mostly without a solver: with one portion fixed, each bound leaves an interval for
    the other. Raises ValueError where a bound's figure is unknown of a dish.
    """
    found = [pair for partner in partners if (pair := _best(main, partner, bounds, sure=sure)) is not None]
    return sorted(found, key=_rank)


def _rank(pair: Pair) -> tuple[float, float, float, str]:
    protein, energy = pair.plate.at_least("protein_g"), pair.plate.at_least("energy_kcal")
    return round(pair.distance, 9), -round(protein, 3), round(energy, 3), pair.partner.name


def _best(main: Choice, partner: Choice, bounds: Sequence[Bound], *, sure: bool) -> Pair | None:
    plates = min(main.serves, partner.serves)
    both = (main.pot_for(plates), partner.pot_for(plates))
    grams = _nearest(*both, bounds)
    if grams is None:
        return None
    plate = plate_of(both, grams)
    if not all(_kept(bound, plate, sure=sure) for bound in bounds):  # the solver goes on from here
        found = portions(both, bounds, sure=sure).grams
        if found is None:
            return None
        grams = (found[0], found[1])
        plate = plate_of(both, grams)
    distance = sum(c.change(g) for g, c in zip(grams, both, strict=True))
    pots = min((c.pot_g / g for g, c in zip(grams, both, strict=True) if g), default=math.inf)
    return Pair(partner=partner, main_g=grams[0], partner_g=grams[1], plate=plate, distance=distance, plates=pots)


def _kept(bound: Bound, plate: Macros, *, sure: bool) -> bool:
    return keeps(bound, plate) and (not sure or surely_keeps(plate, bound.name, bound.figure, at_most=bound.at_most))


def _nearest(main: Choice, partner: Choice, bounds: Sequence[Bound]) -> tuple[float, float] | None:
    rows = []
    for bound in bounds:
        of_main, right = weights_of(bound, main.per_gram)
        of_partner, _ = weights_of(bound, partner.per_gram)
        rows.append((of_main, of_partner, right))
    best: tuple[float, float, float] | None = None
    for grams in main.servings:
        away = main.change(grams)
        if best is not None and away >= best[0]:
            break
        other = _nearest_partner(partner, [(b, right - a * grams) for a, b, right in rows])
        if other is not None:
            distance = away + partner.change(other)
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
