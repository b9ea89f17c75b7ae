"""Cook order against grouping by camera setup."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import schedule_of
from scriptkit.shoot.day.shooting_order import camera_moves, cook_order, grouped, order_of
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.framing import LOOKS
from scriptkit.shoot.shots.shots import Shot, shots_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def shot(number: int, setup: int, *, repeatable: bool = False, stage: str = "cook") -> Shot:
    return Shot(
        number=number, slate=f"{number}A", look=LOOKS["hands"], what="", sound="VO", start_ms=0, end_ms=1, dish=None,
        step=None, additions=(), irreversible=not repeatable, stage=stage, camera_setup=setup, repeatable=repeatable,
    )  # fmt: skip


def shots_like(words: str) -> list[Shot]:
    """``1 2r 1 3p``: setups in cook order; r can be repeated at any time, p is prep and can only be filmed earlier."""
    return [
        shot(n, int(word.rstrip("rp")), repeatable=word[-1] in "rp", stage="prep" if word[-1] == "p" else "cook")
        for n, word in enumerate(words.split(), 1)
    ]


@pytest.mark.parametrize(
    ("cooked", "order", "moves"),
    [
        ("1 2 1", [1, 2, 3], (2, 2)),  # what cannot be repeated is left alone
        ("1p 2 1p 2", [1, 3, 2, 4], (3, 1)),  # knife work together
        ("1 2r 1 2", [1, 3, 2, 4], (3, 1)),  # a piece to camera waits for its setup
        ("1 2p 1 2", [2, 1, 3, 4], (3, 2)),  # prep does not wait: it goes in then
        ("1r 2r 1r 2r", [1, 3, 2, 4], (3, 1)),
        ("1r 2 3r 3r 1 3r", [3, 4, 6, 2, 1, 5], (4, 2)),
        ("1", [1], (0, 0)),
        ("", [], (0, 0)),
    ],
)
def test_repeatable_shots_go_with_their_setup(cooked: str, order: list[int], moves: tuple[int, int]) -> None:
    shots = shots_like(cooked)
    found = grouped(shots)
    assert [s.number for s in found] == order
    assert (camera_moves(shots), camera_moves(found)) == moves


kinds = st.lists(st.tuples(st.integers(1, 5), st.sampled_from(["", "r", "p"])), max_size=25)


@settings(max_examples=100, deadline=None)
@given(kinds)
def test_grouping_costs_no_move_and_keeps_what_cannot_be_repeated_in_order(
    cooked: list[tuple[int, str]],
) -> None:
    shots = shots_like(" ".join(f"{setup}{kind}" for setup, kind in cooked))
    found = grouped(shots)
    assert sorted(s.number for s in found) == [s.number for s in shots]
    fixed = [s.number for s in found if not s.repeatable]
    assert fixed == sorted(fixed)
    assert camera_moves(found) <= camera_moves(shots)
    for at, one in enumerate(found):
        if one.stage == "prep":  # everything that cannot be repeated and came after it still does
            assert all(s.number < one.number for s in found[:at] if not s.repeatable)


@pytest.mark.parametrize("scheduled", [False, True])
@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_of_an_example(path: object, scheduled: bool) -> None:
    source = read_source(str(path)).usable()
    shots = shots_of(plan_of(source))
    order = order_of(shots, schedule_of(source, most_nodes=300) if scheduled else None)
    assert (
        sorted(s.number for s in order.cooked) == sorted(s.number for s in order.grouped) == [s.number for s in shots]
    )
    once = [s.slate for s in order.cooked if s.irreversible]
    assert [s.slate for s in order.grouped if s.irreversible] == once
    assert order.moves_grouped <= order.moves_cooked == camera_moves(order.cooked)


def test_the_cooking_is_as_the_schedule_says_and_nothing_is_bitten_before_it_is_filmed_whole() -> None:
    """The promise at the head of the film shows the whole plate: it is filmed before the first bite of any dish of it."""
    source = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    schedule = schedule_of(source, most_nodes=300)
    start = {(t.dish.file, t.step.number): t.start_min for t in schedule.tasks}
    cooked = cook_order(shots_of(plan_of(source)), schedule)
    times = [start[s.dish.file, s.step.number] for s in cooked if s.dish and s.step]
    assert times == sorted(times)
    assert [(s.stage, s.look.kind) for s in cooked[-5:]] == [
        ("meal closing", "beauty"), ("opening", "beauty"),
        ("closing", "first bite"), ("closing", "first bite"), ("meal closing", "first bite"),
    ]  # fmt: skip
    order = order_of(shots_of(plan_of(source)), schedule)
    for shots in (order.cooked, order.grouped, order.listed):
        kinds = [s.look.kind for s in shots]
        assert kinds.index("first bite") > max(n for n, kind in enumerate(kinds) if kind == "beauty")
    minutes = [order.start_min[s.number] for s in cooked if s.number in order.start_min]
    assert minutes[-3:] == [schedule.length_min] * 3


def test_with_a_hero_the_opening_may_come_first(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {leek: 100 g}
        steps: [{id: s, stage: cook, do: Stir., add: leek, vessel: pan, screen: 9 s}]
        film: {opening: 4 s, heroes: 1}
    """)
    order = order_of(shots_of(plan_of(dish)))
    assert [s.slate for s in order.cooked] == ["1A", "2A", "2B", "3A", "3B"]
    assert [s.slate for s in order.grouped] == ["1A", "3A", "2A", "2B", "3B"]
    assert (order.moves_cooked, order.moves_grouped) == (4, 3)


def test_a_list_where_nothing_is_repeatable_is_the_cook_order() -> None:
    shots = [replace(s, repeatable=False) for s in shots_like("1r 2p 1 3")]
    assert grouped(shots) == tuple(shots)
