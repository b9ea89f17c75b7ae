"""Steps placed in whatever order the cut shows them: where several dishes share it, or a step is heard out of the plan's order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from scriptkit.cut.placing.log_fit import LogFit, bounded_power
from scriptkit.cut.placing.order_lattice import LatticeFit, Orders, orders_of, shares
from scriptkit.cut.placing.planned_places import Planned
from scriptkit.cut.placing.step_order import Before, of_each_dish
from scriptkit.cut.placing.weights import weights
from scriptkit.cut.step_names import Pair

MOST_CELLS = 2_000_000
"""Edges of the lattice times stretches of the cut: 16 MB, and a third of a second. A meal with more orders is held to fewer."""
MOST_EDGES = 4_000


def shares_in_any_order(
    pairs: Sequence[Pair],
    before: Before,
    planned: Planned,
    log: LogFit,
    anchors: Mapping[int, int],
) -> list[list[float]] | None:
    """For each step the share of each stretch, 0 to 1. ``anchors``: number of a step → the stretch that it is known to be in. None
    where the steps can be done in too many orders, or in none with these anchors."""
    of = orders(pairs, before, planned, min(MOST_EDGES, MOST_CELLS // max(len(log.step), 1)))
    if of is None:
        return None
    w, gaps, pace = weights(), np.array(log.gaps), log.pace
    fit = LatticeFit(
        step=np.array(log.step),
        opening=gaps[:, 0],
        between=gaps[:, 1],
        closing=gaps[:, 2],
        planned=log.planned,
        pace=pace,
        stay=np.array([bounded_power(x * pace) for x in log.stay]),
        stay_opening=bounded_power(w["opening goes on"] * pace),
        stay_closing=bounded_power(w["closing goes on"] * pace),
        enter=w["step begins"],
        leave=w["step ends"],
        direct=w["step to step"],
        skip=w["step left out"],
        turn=w["other dish"],
        turn_early=w["other dish in the middle"],
        late=w["after a later step"],
    )
    return shares(of, fit, {t: n for n, t in anchors.items()})


def orders(pairs: Sequence[Pair], before: Before, planned: Planned, most: int) -> Orders | None:
    """The orders in which the steps may follow one another: all that the recipe allows; where those are more than ``most`` edges,
    with the prep of a dish in the plan's order, with all of a dish in it, with its prep in one go and its cooking, or the dish in
    one go. None where even those are more."""
    numbers = of_each_dish(pairs)
    places = list(zip(planned.lengths, planned.closings, strict=True))
    dish = {n: k for k, own in enumerate(numbers) for n in own}
    dishes = [dish[n] for n in range(len(pairs))]
    prep = [step.stage == "prep" for _, step in pairs]
    own = [[m for m in numbers[dishes[n]] if m < n] for n in range(len(pairs))]
    preps = [before[n] | {m for m in own[n] if prep[m] and prep[n]} for n in range(len(pairs))]
    chains = [frozenset(o) for o in own]
    stages = [2 * d + p for d, p in zip(dishes, prep, strict=True)]
    for of, in_one_go in ((before, None), (preps, None), (chains, None), (chains, stages), (chains, dishes)):
        blocks = range(len(pairs)) if in_one_go is None else in_one_go
        found = orders_of(of, dishes, stages, blocks, places, planned.opening, most)
        if found is not None:
            return found
    return None
