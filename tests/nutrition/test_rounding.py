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
from scriptkit.nutrition.controlled_rounding import MILLION, Rounded, SumLine, alone, half_up, together
from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.nutrition.rounding import (
    PARTS_OF_CARBOHYDRATE,
    Printed,
    PrintedTable,
    apportion,
    print_each,
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
    for n in NUTRIENTS:
        if parts and n not in to_basis(whole, basis).unknown:
            assert sum(steps(r, n, finer) for r in table.rows) == steps(table.whole, n, finer)
    assert max(errors(table, [*parts, whole], basis, finer)) <= 1 + NOISE
    for printed, macros in zip((*table.rows, table.whole), [*parts, whole], strict=True):
        true = to_basis(macros, basis)
        off = [abs(printed.at_least[n] - true.at_least(n)) / step_of(n, finer) for n in true.unknown]
        assert max(off, default=0.0) <= 0.5 + NOISE, "a bound gives way to no sum"
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


def test_known_parts_that_make_the_known_total_do_so_whatever_floats_leave() -> None:
    """0.869140625 g of which 0.865234375 g are fibre, twice 5.23 g of net carbs, and a food of which the total is not known: in floats
    the parts miss the total by a millionth of a step, which is no difference for rows to take up."""
    none = dict.fromkeys(NUTRIENTS, 0.0)
    nothing, lacking = (tuple(none.values()), frozenset({"alcohol_g", "carbohydrate_g"}))
    net = tuple((none | {"carbohydrate_g": 5.23, "net_carbs_g": 5.23}).values())
    some = {"carbohydrate_g": 0.869140625, "fibre_g": 0.865234375, "net_carbs_g": 0.00390625}
    fibre = tuple((none | some).values())
    parts = [
        Macros(weight_g=1.0, known=known, unknown=unknown, net_low_g=0.0, net_high_g=0.0)
        for known, unknown in ((nothing, lacking), (net, frozenset()), (net, frozenset()), (fibre, frozenset()))
    ]
    whole = whole_of(parts)
    assert print_one(whole) == print_table(parts, whole).whole


def test_a_whole_that_lacks_a_figure_is_rounded_so_that_its_rows_can_follow() -> None:
    """½ g fibre and ½ g net carbs make exactly 1 g of one row; beside it 0.4 g of a food of which only the total is known.

    Both halves rounded up would make 2 of that row, and leave less than nothing for the other.
    """
    half = MILLION // 2
    lines = [SumLine((half, half), MILLION, adds=True), SumLine((0, 0), 400_000, adds=False)]
    whole = SumLine((half, half), 1_400_000, adds=False)
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


@pytest.mark.parametrize(("finer", "grams", "printed"), [(1, 33.4, 33), (10, 33.44, 33.4), (1, 10.5, 11)])
def test_what_a_scale_shows_is_bent_for_no_sum(finer: int, grams: float, printed: float) -> None:
    """Three times 33.4 g are 100.2 g, and each bowl weighs 33 g all the same."""
    table = print_table([Macros(weight_g=grams)] * 3, Macros(weight_g=80.26), finer=finer)
    assert [r.weight_g for r in table.rows] == [printed] * 3
    assert table.whole.weight_g == (80 if finer == 1 else 80.3)


@settings(max_examples=50, deadline=None)
@given(rows(known=False), bases, finer)
def test_a_thing_of_its_own_has_its_figures_beside_whatever_it_stands(
    parts: list[Macros], basis: Basis, finer: int
) -> None:
    whole = whole_of(parts)
    table = print_each(parts, whole, basis=basis, finer=finer)
    assert [*table.rows, table.whole] == [print_one(m, basis=basis, finer=finer) for m in (*parts, whole)]


@settings(max_examples=50, deadline=None)
@given(rows(most=6), bases)
def test_that_its_columns_miss_the_whole_is_known(parts: list[Macros], basis: Basis) -> None:
    table = print_each(parts, whole_of(parts), basis=basis)
    weights = sum(r.weight_g for r in table.rows) == pytest.approx(table.whole.weight_g)
    assert table.adds_up(NUTRIENTS) == (weights and columns_add_up(table, 1))


def test_a_column_that_lacks_a_figure_misses_nothing() -> None:
    half = Macros(100).with_figure("fat_g", 0.25)
    assert not print_each([half, half], half + half).adds_up(["fat_g"])  # 0.3 and 0.3 beside 0.5
    lacking = Macros(100).with_figure("fat_g", 0.25, unknown=True)
    assert print_each([half, lacking], half + lacking).adds_up(["fat_g"])
    assert print_each([half, half], half + half).adds_up(["protein_g"])


def test_a_total_that_its_parts_do_not_make_is_printed_as_it_is() -> None:
    """Where a label's own figures do not add up, none of them is bent until they do."""
    odd = Macros(100)
    for name, grams in (("carbohydrate_g", 10.0), ("fibre_g", 2.04), ("net_carbs_g", 5.01)):
        odd = odd.with_figure(name, grams)
    printed = print_one(odd)
    assert [printed.text(n) for n in ("carbohydrate_g", "fibre_g", "net_carbs_g")] == ["10.0", "2.0", "5.0"]


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
    assert printed.text("net_carbs_g", unit=True) == "0.0 g"


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
    line = SumLine((fibre, net), fibre + net, adds=True)
    rounded = alone(line)
    assert sum(rounded.parts) == rounded.total
    worst = max(
        abs(p * MILLION - t) for p, t in zip((*rounded.parts, rounded.total), (fibre, net, fibre + net), strict=True)
    )
    assert worst <= MILLION * 2 // 3 + 1


@pytest.mark.parametrize(
    ("parts", "printed"),
    [
        ((400_000, 400_000), (1, 0)),  # fibre gives, net carbs stay at the nearest
        ((0, 400_000, 400_000), (0, 1, 0)),  # so do polyols
        ((400_000, 0, 400_000), (1, 0, 0)),
        ((350_000, 450_000), (0, 1)),  # but the one nearer to the next step goes up
    ],
)
def test_of_parts_that_could_give_net_carbs_are_the_last(parts: tuple[int, ...], printed: tuple[int, ...]) -> None:
    """0.4 g and 0.4 g are 0.8 g, in tenths of which one must be counted up for the whole to read 1."""
    assert alone(SumLine(parts, sum(parts), adds=True)) == Rounded(printed, 1)


def test_of_a_line_that_lacks_a_figure_the_halves_go_up_only_as_far_as_its_rows_can_follow() -> None:
    """1 ½ and 2 ½ of the known 4: counted up both, they would make 5, and a row of just that has no way to."""
    line = SumLine((3 * MILLION // 2, 5 * MILLION // 2), 4 * MILLION, adds=False)
    rounded, goal = together([line], line)
    assert sum(goal.parts) <= goal.total == 4
    assert rounded == [goal] == [alone(line)]


def test_the_row_that_is_nearest_to_the_next_step_is_counted_up() -> None:
    """0.44 and 0.27 make 0.71, which reads 1: it is the 0.44 that is counted up."""
    lines = [SumLine((439_986, 0), 439_986, adds=True), SumLine((270_354, 0), 270_354, adds=True)]
    rounded, goal = together(lines, SumLine((710_340, 0), 710_340, adds=True))
    assert goal == Rounded((1, 0), 1)
    assert rounded == [Rounded((1, 0), 1), Rounded((0, 0), 0)]


@pytest.mark.parametrize(
    ("parts", "printed"),
    [
        # the columns of the whole could swap a step, and must not
        ([(500_000, 0), (2_930_683, 2_434_294)], [(1, 0), (2, 3)]),
        # once a column is mended, nothing more is moved
        ([(1_649_320, 0), (0, 1_500_000), (2_693_818, 708_935)], [(2, 0), (0, 1), (2, 1)]),
        # of two ways that cost the same, the first
        ([(1_000_000, 500_000), (0, 1_500_000)], [(1, 0), (0, 2)]),
    ],
)
def test_rows_follow_the_whole_and_the_whole_stays(
    parts: list[tuple[int, ...]], printed: list[tuple[int, ...]]
) -> None:
    lines = [SumLine(p, sum(p), adds=True) for p in parts]
    whole = SumLine(tuple(map(sum, zip(*parts, strict=True))), sum(map(sum, parts)), adds=True)
    rounded, goal = together(lines, whole)
    assert goal == alone(whole)
    assert [r.parts for r in rounded] == printed
    assert tuple(map(sum, zip(*printed, strict=True))) == goal.parts


HALF = MILLION // 2


@pytest.mark.parametrize(
    ("lines", "printed"),
    [
        # a half is not counted up where the other part then has to fall a step below its row
        ([SumLine((HALF, 750_000), 1_250_000, adds=False)], [Rounded((0, 1), 1)]),
        ([SumLine((HALF, 1_500_000), 3_750_000, adds=False)], [Rounded((0, 2), 4)]),
        # a row of which only the total is known keeps its noughts; the exact 1 beside it may read 2
        (
            [SumLine((0, 0), HALF, adds=False), SumLine((HALF, HALF), MILLION, adds=True)],
            [Rounded((0, 0), 0), Rounded((1, 1), 2)],
        ),
        # a dear way that was found first does not end the search for a cheaper one
        (
            [SumLine((HALF, 1_750_000), 3_250_000, adds=False), SumLine((0, HALF), HALF, adds=False)],
            [Rounded((1, 2), 3), Rounded((0, 0), 1)],
        ),
    ],
)
def test_rows_that_lack_a_figure_follow_the_whole(lines: list[SumLine], printed: list[Rounded]) -> None:
    parts = tuple(map(sum, zip(*(n.parts for n in lines), strict=True)))
    whole = SumLine(parts, sum(n.total for n in lines), adds=False)
    rounded, goal = together(lines, whole)
    assert goal == alone(whole)
    assert rounded == printed


def brute_force(lines: list[SumLine], goal: tuple[int, ...]) -> bool:
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
    lines = [SumLine(p, sum(p), adds=True) for p in parts]
    whole = SumLine(tuple(map(sum, zip(*parts, strict=True))), sum(map(sum, parts)), adds=True)
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
        SumLine((MILLION // 2, MILLION // 2, 0), MILLION, adds=True),
        SumLine((0, 0, MILLION // 2), MILLION // 2, adds=True),
    ]
    whole = SumLine((MILLION // 2, MILLION // 2, MILLION // 2), 3 * MILLION // 2, adds=True)
    rounded, goal = together(lines, whole)
    assert all(sum(r.parts) == r.total for r in (*rounded, goal))
    assert max(abs(r.total * MILLION - line.total) for r, line in zip(rounded, lines, strict=True)) <= MILLION
