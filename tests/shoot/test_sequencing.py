"""The sequencer, held against an enumeration of every start there is."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from scriptkit.shoot.day.scheduling_model import Hold, Impossible, Network
from scriptkit.shoot.day.sequencing import MOST_CELLS, _Group, shortest

HORIZON = 9


def keeps(network: Network, starts: Sequence[int]) -> bool:
    """Whether these starts keep every lag and every capacity, told moment by moment."""
    if any(starts[j] - starts[i] < lag for i, j, lag in network.lags):
        return False
    use: Counter[tuple[str, int]] = Counter()
    for hold in network.holds:
        for moment in range(starts[hold.first], starts[hold.last] + hold.length):
            use[hold.resource, moment] += 1
    return all(count <= network.capacity.get(name, 1) for (name, _), count in use.items())


def enumerated(network: Network) -> int | None:
    """The shortest length of any schedule within the horizon."""
    inner = range(network.count - 2)
    best = None
    for middle in itertools.product(range(HORIZON), repeat=len(inner)):
        for end in range(max(middle, default=0), HORIZON + 3 if best is None else best):
            if keeps(network, (0, *middle, end)):
                best = end
                break
    return best


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """Two to four activities with orders, deadlines, one or two of a thing, and sometimes a vessel kept over two."""
    n = draw(st.integers(2, 4))
    length = [draw(st.integers(1, 3)) for _ in range(n)]
    last = n + 1
    lags = [(i + 1, last, length[i]) for i in range(n)]
    for i, j in itertools.combinations(range(n), 2):
        kind = draw(st.sampled_from(["free", "free", "after", "soon"]))
        if kind != "free":
            lags.append((i + 1, j + 1, length[i]))
        if kind == "soon":
            lags.append((j + 1, i + 1, -(length[i] + draw(st.integers(0, 2)))))
    if draw(st.booleans()):
        lags.append((last, 1, -(length[0] + draw(st.integers(0, 2)))))  # lands in time
    holds = [
        Hold(resource=draw(st.sampled_from(["hands", "burner"])), first=i + 1, last=i + 1, length=length[i])
        for i in range(n)
    ]
    if n > 2 and draw(st.booleans()):
        lags.append((1, 2, length[0]))
        holds += [
            Hold(resource="pot", first=1, last=2, length=length[1]),
            Hold(resource="pot", first=3, last=3, length=length[2]),
        ]
    capacity = {"hands": draw(st.integers(1, 2)), "burner": draw(st.integers(1, 2))}
    return Network(count=n + 2, lags=tuple(lags), holds=tuple(holds), capacity=capacity)


@settings(max_examples=200, deadline=None)
@given(networks())
def test_the_shortest_schedule_agrees_with_enumeration(network: Network) -> None:
    try:
        found = shortest(network)
    except Impossible:
        assert enumerated(network) is None
        return
    assert found is not None
    assert found.proven
    assert keeps(network, found.starts)
    assume(found.length <= HORIZON)  # a longer one lies outside what is enumerated
    assert found.length == enumerated(network)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 2), st.integers(0, 3)), min_size=4, max_size=5), st.integers(2, 4), st.data())
def test_several_of_a_thing(tasks: list[tuple[int, int]], there: int, data: st.DataObject) -> None:
    """Tasks that must all end shortly before the serving, for two, three or four of one thing."""
    last = len(tasks) + 1
    lags = [(i, last, length) for i, (length, _) in enumerate(tasks, 1)]
    lags += [(last, i, -(length + late)) for i, (length, late) in enumerate(tasks, 1)]
    if data.draw(st.booleans()):
        lags.append((1, 2, tasks[0][0]))
    holds = tuple(Hold(resource="x", first=i, last=i, length=length) for i, (length, _) in enumerate(tasks, 1))
    network = Network(count=last + 1, lags=tuple(lags), holds=holds, capacity={"x": there})
    best = None
    for end in range(1, 8):
        places = [range(max(0, end - length - late), end - length + 1) for length, late in tasks]
        if any(keeps(network, (0, *starts, end)) for starts in itertools.product(*places)):
            best = end
            break
    try:
        found = shortest(network)
    except Impossible:
        assert best is None
        return
    assert found is not None
    assert (found.length, found.proven, keeps(network, found.starts)) == (best, True, True)


def test_two_pots_and_one_cook_interleave() -> None:
    """Hands 5, wait 20 and hands 10, wait 5: the second dish fits into the first one's wait."""
    lags = ((1, 3, 25), (2, 3, 15))
    holds = (Hold(resource="hands", first=1, last=1, length=5), Hold(resource="hands", first=2, last=2, length=10))
    found = shortest(Network(count=4, lags=lags, holds=holds))
    assert found is not None
    assert (found.length, found.proven) == (25, True)


def test_a_circle_is_named() -> None:
    with pytest.raises(Impossible) as caught:
        shortest(Network(count=4, lags=((1, 2, 3), (2, 1, 2)), holds=()))
    assert caught.value.circle == (1, 2)


def test_what_is_not_there_at_all_is_impossible() -> None:
    hold = Hold(resource="oven", first=1, last=1, length=5)
    with pytest.raises(Impossible):
        shortest(Network(count=3, lags=((1, 2, 5),), holds=(hold,), capacity={"oven": 0}))


def test_with_few_nodes_the_gap_is_told() -> None:
    """Twelve tasks for two cooks, with deadlines between them: one node proves nothing."""
    n = 12
    lags = [(i, n + 1, 3 + i % 4) for i in range(1, n + 1)] + [(n + 1, i, -40) for i in range(1, n + 1)]
    holds = [Hold(resource="hands", first=i, last=i, length=3 + i % 4) for i in range(1, n + 1)]
    network = Network(count=n + 2, lags=tuple(lags), holds=tuple(holds), capacity={"hands": 2})
    found = shortest(network, most_nodes=40)
    best = shortest(network)
    assert best is not None
    assert keeps(network, best.starts)
    if found is not None:
        assert found.at_least <= best.length <= found.length


def all_at_once(holds: int, capacity: int) -> Network:
    """So many holds of one thing, all of which must be under way at one moment: there are as many sets of them as ways to choose."""
    serving = holds + 1
    lags = [(0, n, 0) for n in range(1, serving)] + [(n, serving, 4) for n in range(1, serving)]
    lags += [(serving, n, -6) for n in range(1, serving)]  # at most 6 before the serving, and 4 long
    return Network(
        count=serving + 1,
        lags=tuple(lags),
        holds=tuple(Hold(resource="burner", first=n, last=n, length=4) for n in range(1, serving)),
        capacity={"burner": capacity},
    )


@pytest.mark.parametrize("holds", [12, 120])
def test_what_is_kept_of_sets_that_overlap_grows_with_the_holds_and_not_with_the_ways_to_choose_them(
    holds: int,
) -> None:
    network = all_at_once(holds, 10)
    group = _Group(network.holds, 10)
    overlap = np.ones((holds, holds), dtype=bool)
    np.fill_diagonal(overlap, False)
    sets = group._cliques(overlap)
    assert sets.size <= max(MOST_CELLS, holds)  # of 120 holds there are 10 ** 13 sets of 9
    assert all(overlap[row].any() for row in sets)


def test_a_large_kitchen_is_told_apart_from_one_that_is_too_small() -> None:
    assert (found := shortest(all_at_once(60, 60))) is not None
    assert found.length == 4
    with pytest.raises(Impossible):
        shortest(all_at_once(24, 20))


def test_sets_that_force_nothing_are_left_out_and_forced_orders_stay() -> None:
    network = all_at_once(6, 3)
    overlap = np.ones((6, 6), dtype=bool)
    overlap[5, :] = overlap[:, 5] = False
    overlap[5, 0] = overlap[0, 5] = True  # overlaps one other only: it is in no set of two with two more beside it
    np.fill_diagonal(overlap, False)
    sets = _Group(network.holds, 3)._cliques(overlap)
    pairs = {tuple(sorted(pair)) for pair in itertools.combinations(range(5), 2)}
    assert len(sets) == len(pairs)
    assert not sets[:, 5].any()
