"""The sums over all orders of the steps against the plain sum over every way through a small cut."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.placing.order_lattice import LatticeFit, orders_of, shares

LOG = st.floats(-2.0, 1.5)


def allowed(before: list[frozenset[int]]) -> list[tuple[int, ...]]:
    orders = itertools.permutations(range(len(before)))
    return [o for o in orders if all(before[n] <= set(o[:k]) for k, n in enumerate(o))]


def every_way(
    fit: LatticeFit, before: list[frozenset[int]], dishes: list[int], anchors: dict[int, int]
) -> list[list[float]]:
    """The same as shares: of each order every sequence of talk 0, step, talk 1, step, …; each order weighed by its turns."""
    count, bins = len(before), len(fit.opening)
    whole, inside = 0.0, np.zeros((count, bins))
    for order in allowed(before):
        prior = 0.0
        for k, n in enumerate(order):
            done = set(order[:k])
            prior += fit.late * any(m > n and dishes[m] == dishes[n] for m in done)
            if k and dishes[order[k - 1]] != dishes[n]:
                ended = {m for m in range(count) if dishes[m] == dishes[order[k - 1]]} <= done
                prior += fit.turn if ended else fit.turn_early
        for way in itertools.combinations_with_replacement(range(2 * count + 1), bins):
            weight = prior
            for t, state in enumerate(way):
                n = order[state // 2] if state % 2 else -1
                if t in anchors:
                    weight += 0.0 if n == anchors[t] else -math.inf
                elif state % 2:
                    at = (state // 2 + 0.5) / count
                    weight += fit.step[t, n] - fit.planned * ((t + 0.5) / bins - at) ** 2
                else:
                    talk = fit.opening if state == 0 else fit.closing if state == 2 * count else fit.between
                    weight += talk[t]
            for a, b in itertools.pairwise(way):
                stay = fit.stay[order[a // 2]] if a % 2 else 0.0
                stay = fit.stay_opening if a == 0 else fit.stay_closing if a == 2 * count else stay
                steps = {0: stay, 1: fit.leave if a % 2 else fit.enter, 2: fit.direct if a % 2 else fit.skip}
                weight += steps.get(b - a, -math.inf)
            weight += {0: 0.0, 1: 0.0, 2: fit.skip}.get(way[0], -math.inf)
            weight += {0: 0.0, 1: fit.leave, 2: fit.skip}.get(2 * count - way[-1], -math.inf)
            if weight == -math.inf:
                continue
            whole += math.exp(weight)
            for t, state in enumerate(way):
                if state % 2:
                    inside[order[state // 2], t] += math.exp(weight)
    return (inside / whole).tolist() if whole else []


GRAPHS = [
    ([frozenset(), frozenset({0}), frozenset()], [0, 0, 1]),
    ([frozenset(), frozenset(), frozenset({1})], [0, 0, 0]),
    ([frozenset(), frozenset({0}), frozenset({0, 1})], [0, 0, 0]),
]


@given(st.data(), st.sampled_from(GRAPHS), st.integers(3, 5), st.booleans())
@settings(max_examples=30)
def test_shares_are_those_of_every_way_in_every_order(
    data: st.DataObject, graph: tuple[list[frozenset[int]], list[int]], bins: int, anchored: bool
) -> None:
    before, dishes = graph
    count = len(before)

    def row(size: int) -> np.ndarray:  # type: ignore[type-arg]
        return np.array(data.draw(st.lists(LOG, min_size=size, max_size=size)))

    fit = LatticeFit(
        step=np.stack([row(count) for _ in range(bins)]), opening=row(bins), between=row(bins), closing=row(bins),
        planned=abs(data.draw(LOG)), pace=1.0, stay=row(count), stay_opening=data.draw(LOG), stay_closing=data.draw(LOG),
        enter=data.draw(LOG), leave=data.draw(LOG), direct=data.draw(LOG), skip=data.draw(LOG), turn=data.draw(LOG),
        turn_early=data.draw(LOG), late=data.draw(LOG),
    )  # fmt: skip
    anchors = {bins - 1: count - 1} if anchored else {}
    of = orders_of(before, dishes, dishes, range(count), [(1 / count, 0.0)] * count, 0.0, 100)
    assert of is not None
    wanted = every_way(fit, before, dishes, anchors)
    found = shares(of, fit, anchors)
    assert found is not None
    for one, other in zip(found, wanted, strict=True):
        assert one == pytest.approx(other, abs=1e-9)


def test_there_are_as_many_orders_as_the_graph_allows() -> None:
    of = orders_of([frozenset()] * 3, [0, 1, 2], [0, 1, 2], range(3), [(0.2, 0.0)] * 3, 0.1, 100)
    assert of is not None and (of.sets, len(of.step)) == (8, 12)
    assert orders_of([frozenset()] * 3, [0, 1, 2], [0, 1, 2], range(3), [(0.2, 0.0)] * 3, 0.1, 11) is None


def test_steps_of_one_block_are_done_in_one_go() -> None:
    of = orders_of([frozenset()] * 3, [0, 0, 1], [0, 0, 1], [0, 0, 1], [(0.2, 0.0)] * 3, 0.1, 100)
    assert of is not None
    ways = {(int(s), int(a), int(b)) for s, a, b in zip(of.step, of.source, of.target, strict=True)}
    inside = {b for s, a, b in ways if a == 0 and s != 2}
    assert {s for s, a, _ in ways if a in inside} == {0, 1}


def test_anchors_that_no_order_has_give_no_shares() -> None:
    before = [frozenset(), frozenset({0})]
    of = orders_of(before, [0, 0], [0, 0], range(2), [(0.4, 0.0)] * 2, 0.1, 100)
    flat = np.zeros(6)
    fit = LatticeFit(
        step=np.zeros((6, 2)), opening=flat, between=flat, closing=flat, planned=0.0, pace=1.0, stay=np.zeros(2),
        stay_opening=0.0, stay_closing=0.0, enter=-1.0, leave=-1.0, direct=-1.0, skip=-9.0, turn=0.0, turn_early=0.0, late=0.0,
    )  # fmt: skip
    assert of is not None
    assert shares(of, fit, {1: 1, 4: 0}) is None
    told = shares(of, fit, {1: 0, 4: 1})
    assert told is not None and (told[0][1], told[1][4]) == (pytest.approx(1.0), pytest.approx(1.0))
