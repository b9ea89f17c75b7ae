"""The one rounding for display: what a viewer adds up on the screen comes out, and no figure is far from the truth.

The bound that the algorithm keeps: every printed figure lies within one step of its true value (0.1 g, 1 kcal), and strictly
so in a table without polyols where all is known; a line by itself, without polyols, within two thirds of a step.
"""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_macros import row, rows, whole_of

from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.controlled import MILLION, Line, alone, half_up, together
from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.nutrition.rounding import (
    PARTS_OF_CARBOHYDRATE,
    Printed,
    PrintedTable,
    apportion,
    print_one,
    print_table,
    round_half_up,
    step_of,
)
from scriptkit.pantry.food import NUTRIENTS, Composition

NOISE = 2e-6
"""Of a step: figures are taken in millionths."""

bases = st.sampled_from(list(Basis))
finer = st.sampled_from([1, 10])


def steps(printed: Printed, nutrient: str, finer: int = 1) -> int:
    """The printed figure, or the lower bound printed for it, in whole steps."""
    figure = printed.at_least[nutrient] / step_of(nutrient, finer)
    assert figure == pytest.approx(round(figure), abs=1e-3), "a figure is printed between two steps"
    return round(figure)


def parts_make_the_total(printed: Printed, basis: Basis, finer: int) -> bool:
    return steps(printed, "carbohydrate_g", finer) == sum(
        steps(printed, n, finer) for n in PARTS_OF_CARBOHYDRATE[basis]
    )


def columns_add_up(table: PrintedTable, finer: int) -> bool:
    return all(sum(steps(r, n, finer) for r in table.rows) == steps(table.whole, n, finer) for n in NUTRIENTS)


def errors(table: PrintedTable, true: list[Macros], basis: Basis, finer: int) -> list[float]:
    """How far each printed figure is from its true value, in steps."""
    return [
        abs(printed.at_least[n] - to_basis(m, basis).at_least(n)) / step_of(n, finer)
        for printed, m in zip((*table.rows, table.whole), true, strict=True)
        for n in NUTRIENTS
    ]


@settings(max_examples=50, deadline=None)
@given(rows(), bases, finer)
def test_rows_and_columns_of_a_table_add_up_within_a_step(parts: list[Macros], basis: Basis, finer: int) -> None:
    whole = whole_of(parts)
    table = print_table(parts, whole, basis=basis, finer=finer)
    assert all(parts_make_the_total(r, basis, finer) for r in (*table.rows, table.whole))
    assert not parts or columns_add_up(table, finer)
    assert max(errors(table, [*parts, whole], basis, finer)) <= 1 + NOISE
    assert all(figure is not None and figure >= 0 for r in table.rows for figure in r.figures.values())
    for printed, macros in zip(table.rows, parts, strict=True):
        assert all(printed.at_least[n] == 0 for n in NUTRIENTS if to_basis(macros, basis).at_least(n) == 0)


@settings(max_examples=60, deadline=None)
@given(rows(polyols=False), bases)
def test_without_polyols_every_figure_is_next_to_its_true_value(parts: list[Macros], basis: Basis) -> None:
    whole = whole_of(parts)
    table = print_table(parts, whole, basis=basis)
    assert max(errors(table, [*parts, whole], basis, 1)) < 1 + NOISE
    for n in NUTRIENTS:
        share = 2 / 3 if n in ("carbohydrate_g", "fibre_g", "net_carbs_g") else 1 / 2
        assert abs(table.whole.at_least[n] - to_basis(whole, basis).at_least(n)) <= step_of(n) * share + NOISE


@settings(max_examples=50, deadline=None)
@given(rows(known=False, most=12), bases, finer)
def test_rows_that_lack_a_figure(parts: list[Macros], basis: Basis, finer: int) -> None:
    whole = whole_of(parts)
    table = print_table(parts, whole, basis=basis, finer=finer)
    assert not parts or columns_add_up(table, finer)
    assert max(errors(table, [*parts, whole], basis, finer)) <= 1 + NOISE
    of_total = {"carbohydrate_g", *PARTS_OF_CARBOHYDRATE[basis]}
    for macros, printed in zip([*parts, whole], (*table.rows, table.whole), strict=True):
        seen = to_basis(macros, basis)
        assert {n for n, figure in printed.figures.items() if figure is None} == seen.unknown
        assert seen.unknown & of_total or parts_make_the_total(printed, basis, finer)


@settings(max_examples=50, deadline=None)
@given(rows(most=15), bases, finer)
def test_a_whole_reads_the_same_with_its_rows_and_without(parts: list[Macros], basis: Basis, finer: int) -> None:
    whole = whole_of(parts)
    assert print_one(whole, basis=basis, finer=finer) == print_table(parts, whole, basis=basis, finer=finer).whole


@settings(max_examples=50, deadline=None)
@given(rows(known=False, polyols=False, most=6), bases)
def test_so_does_a_whole_that_lacks_a_figure(parts: list[Macros], basis: Basis) -> None:
    whole = whole_of(parts)
    assert print_one(whole, basis=basis) == print_table(parts, whole, basis=basis).whole


def test_a_whole_that_lacks_a_figure_is_rounded_so_that_its_rows_can_follow() -> None:
    """½ g fibre and ½ g net carbs make exactly 1 g of one row; beside it 0.4 g of a food of which only the total is known.

    Both halves rounded up would make 2 of that row, and leave less than nothing for the other.
    """
    half = MILLION // 2
    lines = [Line((half, half), MILLION, adds=True), Line((0, 0), 400_000, adds=False)]
    whole = Line((half, half), 1_400_000, adds=False)
    rounded, goal = together(lines, whole)
    assert goal == alone(whole)
    assert [r.total for r in rounded] == [1, 0]


@given(row(), bases)
def test_one_ingredient_is_its_dish(one: Macros, basis: Basis) -> None:
    table = print_table([one], one, basis=basis)
    assert table.rows == (table.whole,)


@given(row(), bases)
def test_what_adds_up_rounded_to_the_nearest_is_left_so(one: Macros, basis: Basis) -> None:
    seen = to_basis(one, basis)
    names = ("carbohydrate_g", *PARTS_OF_CARBOHYDRATE[basis])
    total, *parts = (half_up(round(seen.at_least(n) / step_of(n) * MILLION)) for n in names)
    if total == sum(parts):
        assert [steps(print_one(one, basis=basis), n) for n in names] == [total, *parts]


def test_a_dish_of_nothing() -> None:
    table = print_table([], Macros())
    assert table.rows == ()
    assert set(table.whole.figures.values()) == {0.0}
    assert table.whole.weight_g == 0


def test_a_zero_stays_a_zero() -> None:
    """Oil has no fibre, however the others round."""
    oil = macros_of(Composition(fibre_g=0, net_carbs_g=0, carbohydrate_g=0, fat_g=100), 10)
    leek = macros_of(Composition(fibre_g=1.45, net_carbs_g=3.45, carbohydrate_g=4.9, fat_g=0.2), 100)
    printed = print_table([oil, leek, oil], oil + leek + oil).rows
    assert [r.at_least["fibre_g"] for r in printed][::2] == [0, 0]
    assert [r.at_least["net_carbs_g"] for r in printed][::2] == [0, 0]


def test_weights_of_rows_add_up_to_what_went_in_and_the_batch_weighs_what_it_weighs() -> None:
    parts = [Macros(weight_g=g) for g in (33.4, 33.4, 33.4)]
    table = print_table(parts, Macros(weight_g=80.2))
    assert sum(r.weight_g for r in table.rows) == 100
    assert table.whole.weight_g == 80


@pytest.mark.parametrize(
    ("unknown", "known", "text"),
    [
        (False, 12.34, "12.3"),
        (True, 12.34, "≥ 12.3"),
        (True, 0.0, "unknown"),
        (True, 0.02, "unknown"),
        (False, 0.0, "0.0"),
    ],
)
def test_text_of_a_figure(unknown: bool, known: float, text: str) -> None:
    printed = print_one(Macros(100).with_figure("fat_g", known, unknown=unknown))
    assert printed.text("fat_g") == text
    assert printed.text("energy_kcal", unit=True) == "0 kcal"


@given(st.lists(st.floats(0, 1000), min_size=1, max_size=30))
def test_shares_of_a_whole_add_up_and_are_neighbours(values: list[float]) -> None:
    exact = [round(v, 6) for v in values]
    whole = half_up(sum(round(v * MILLION) for v in exact))
    shares = apportion(exact, whole)
    assert sum(shares) == whole
    assert all(abs(s - v) < 1 for s, v in zip(shares, exact, strict=True))


@pytest.mark.parametrize(
    ("value", "whole"), [(0.5, 1), (1.5, 2), (2.5, 3), (2.4999, 2), (0.0, 0), (-0.5, -1), (1e9, 10**9)]
)
def test_halves_go_away_from_zero(value: float, whole: int) -> None:
    assert round_half_up(value) == whole


millionths = st.one_of(st.just(0), st.integers(0, 9 * MILLION), st.integers(0, 12).map(lambda n: n * MILLION // 2))


@given(millionths, millionths)
def test_a_line_of_two_parts_is_off_by_two_thirds_of_a_step_at_most(fibre: int, net: int) -> None:
    line = Line((fibre, net), fibre + net, adds=True)
    rounded = alone(line)
    assert sum(rounded.parts) == rounded.total
    worst = max(
        abs(p * MILLION - t) for p, t in zip((*rounded.parts, rounded.total), (fibre, net, fibre + net), strict=True)
    )
    assert worst <= MILLION * 2 // 3 + 1


def brute_force(lines: list[Line], goal: tuple[int, ...]) -> bool:
    """Whether any choice of neighbours for every figure of rows of two parts adds up to the whole (parts, then total)."""

    def neighbours(value: int) -> set[int]:
        return {value // MILLION, -(-value // MILLION)}

    per_line = [
        [
            (*parts, sum(parts))
            for parts in itertools.product(*(sorted(neighbours(p)) for p in line.parts))
            if sum(parts) in neighbours(line.total)
        ]
        for line in lines
    ]
    return any(tuple(map(sum, zip(*choice, strict=True))) == goal for choice in itertools.product(*per_line))


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(millionths, millionths), min_size=1, max_size=5))
def test_a_way_is_found_and_there_was_one(parts: list[tuple[int, int]]) -> None:
    """Trying every neighbour of every figure says that the whole can be followed; the chains find it."""
    lines = [Line(p, sum(p), adds=True) for p in parts]
    whole = Line(tuple(map(sum, zip(*parts, strict=True))), sum(map(sum, parts)), adds=True)
    rounded, goal = together(lines, whole)
    assert goal == alone(whole)
    assert brute_force(lines, (*goal.parts, goal.total))
    assert tuple(map(sum, zip(*(r.parts for r in rounded), strict=True))) == goal.parts
    for line, printed in zip(lines, rounded, strict=True):
        assert all(
            abs(p * MILLION - t) < MILLION
            for p, t in zip((*printed.parts, printed.total), (*line.parts, line.total), strict=True)
        )


def test_three_halves_that_no_neighbours_can_follow() -> None:
    """½ + ½ of one row and ½ of another: a whole may have to print a row's exact 1 as 2, never worse."""
    lines = [
        Line((MILLION // 2, MILLION // 2, 0), MILLION, adds=True),
        Line((0, 0, MILLION // 2), MILLION // 2, adds=True),
    ]
    whole = Line((MILLION // 2, MILLION // 2, MILLION // 2), 3 * MILLION // 2, adds=True)
    rounded, goal = together(lines, whole)
    assert all(sum(r.parts) == r.total for r in (*rounded, goal))
    assert max(abs(r.total * MILLION - line.total) for r, line in zip(rounded, lines, strict=True)) <= MILLION
