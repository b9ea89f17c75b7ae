"""The chain's sums against the plain sum over every way through a small cut."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.placing.forward_backward import Chain, shares

FACTOR = st.floats(0.05, 4.0)


def every_way(chain: Chain, anchors: dict[int, int]) -> list[list[float]]:
    """The same as shares, from all sequences of states: talk 0, step 0, talk 1, step 1, …"""
    steps, bins = len(chain.stay), len(chain.step)

    def fit(t: int, state: int) -> float:
        if t in anchors:
            return float(state == 2 * anchors[t] + 1)
        if state % 2:
            return chain.step[t][state // 2]
        return chain.opening[t] if state == 0 else chain.closing[t] if state == 2 * steps else chain.between[t]

    def follow(one: int, other: int) -> float:
        if one == other:
            if one % 2:
                return chain.stay[one // 2]
            return chain.stay_opening if one == 0 else chain.stay_closing if one == 2 * steps else chain.stay_between
        if one % 2:
            return {one + 1: chain.leave, one + 2: chain.direct}.get(other, 0.0)
        return {one + 1: chain.enter, one + 2: chain.skip}.get(other, 0.0)

    first = {0: 1.0, 1: 1.0, 2: chain.skip}
    last = {2 * steps: 1.0, 2 * steps - 1: chain.leave, 2 * steps - 2: chain.skip}
    whole, inside = 0.0, [[0.0] * bins for _ in range(steps)]
    for way in itertools.product(range(2 * steps + 1), repeat=bins):
        weight = first.get(way[0], 0.0) * last.get(way[-1], 0.0) * math.prod(fit(t, s) for t, s in enumerate(way))
        weight *= math.prod(follow(a, b) for a, b in itertools.pairwise(way))
        whole += weight
        for t, state in enumerate(way):
            if state % 2:
                inside[state // 2][t] += weight
    return [[x / whole if whole else 0.0 for x in row] for row in inside]


@given(st.data(), st.integers(1, 2), st.integers(2, 5), st.booleans())
@settings(max_examples=40)
def test_shares_are_those_of_every_way_through_the_cut(
    data: st.DataObject, steps: int, bins: int, anchored: bool
) -> None:
    row = st.lists(FACTOR, min_size=bins, max_size=bins)
    chain = Chain(
        step=[data.draw(st.lists(FACTOR, min_size=steps, max_size=steps)) for _ in range(bins)],
        opening=data.draw(row), between=data.draw(row), closing=data.draw(row),
        stay=data.draw(st.lists(FACTOR, min_size=steps, max_size=steps)),
        stay_opening=data.draw(FACTOR), stay_between=1.0, stay_closing=data.draw(FACTOR), enter=data.draw(FACTOR),
        leave=data.draw(FACTOR), direct=data.draw(FACTOR), skip=data.draw(FACTOR),
    )  # fmt: skip
    anchors = {bins - 1: steps - 1} if anchored else {}
    for found, wanted in zip(shares(chain, anchors), every_way(chain, anchors), strict=True):
        assert found == pytest.approx(wanted, abs=1e-9)


def test_an_anchor_is_certain() -> None:
    flat = [1.0] * 8
    chain = Chain(
        step=[[1.0, 1.0]] * 8, opening=flat, between=flat, closing=flat, stay=[1.0, 1.0], stay_opening=1.0, stay_between=1.0,
        stay_closing=1.0, enter=0.1, leave=0.1, direct=0.1, skip=0.01,
    )  # fmt: skip
    found = shares(chain, {3: 1})
    assert found[1][3] == pytest.approx(1.0)
    assert max(found[0][3:]) == 0.0


def test_a_cut_without_steps_or_time_has_no_shares() -> None:
    assert (
        shares(
            Chain(
                step=[], opening=[], between=[], closing=[], stay=[], stay_opening=1.0, stay_between=1.0, stay_closing=1.0,
                enter=1.0, leave=1.0, direct=1.0, skip=1.0,
            ),
            {},
        )
        == []
    )  # fmt: skip
