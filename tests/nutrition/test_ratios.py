"""The three meanings of “macro ratio”."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_macros import row

from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.pantry.food import Composition


def eaten(fat: float | None, protein: float | None, net: float | None) -> Macros:
    return macros_of(Composition(fat_g=fat, protein_g=protein, net_carbs_g=net), 100)


def test_three_meanings_of_one_plate() -> None:
    ratios = ratios_of(eaten(40, 30, 10))
    assert ratios.fat_to_protein_and_net_carbs == pytest.approx(1.0)
    assert ratios.fat_to_net_carbs == pytest.approx(4.0)
    assert ratios.energy_shares == (69, 23, 8)  # 360, 120 and 40 of 520 kcal: 69.2, 23.1, 7.7


def test_each_is_printed_with_its_meaning() -> None:
    assert ratios_of(eaten(40, 30, 10)).lines() == [
        "1.0 : 1  grams of fat : grams of protein + net carbs",
        "4.0 : 1  grams of fat : grams of net carbs",
        "69/23/8  percent of energy from fat / protein / net carbs (9, 4, 4 kcal per g)",
    ]


def test_a_small_ratio_keeps_two_decimals() -> None:
    assert ratios_of(eaten(5, 60, 40)).lines()[0].startswith("0.05 : 1")


@pytest.mark.parametrize(("fat", "shown"), [(18.9, "0.94 : 1"), (19, "0.95 : 1"), (19.1, "1.0 : 1"), (21, "1.1 : 1")])
def test_a_ratio_near_one_never_reads_less_than_a_smaller_one(fat: float, shown: str) -> None:
    """19 : 20 is 0.95, which one decimal would print as 0.9: less than 18.9 : 20."""
    assert ratios_of(eaten(fat, 15, 5)).lines()[0].startswith(f"{shown}  ")


def test_ratios_of_a_mouthful_and_of_mostly_carbohydrate() -> None:
    """0.5 g protein and 0.2 g net carbs are something to divide by; so is little protein beside more net carbs."""
    assert ratios_of(eaten(0.7, 0.5, 0.2)).fat_to_protein_and_net_carbs == pytest.approx(1.0)
    assert ratios_of(eaten(40, 10, 30)).fat_to_protein_and_net_carbs == pytest.approx(1.0)


def test_ratios_that_are_not_known_are_printed_so() -> None:
    assert ratios_of(eaten(None, 20, 10)).lines() == [
        "unknown  grams of fat : grams of protein + net carbs",
        "unknown  grams of fat : grams of net carbs",
        "unknown  percent of energy from fat / protein / net carbs (9, 4, 4 kcal per g)",
    ]


def test_no_net_carbs_leaves_nothing_to_divide_by() -> None:
    ratios = ratios_of(eaten(40, 20, 0))
    assert ratios.fat_to_net_carbs is None
    assert ratios.fat_to_protein_and_net_carbs == pytest.approx(2.0)
    assert ratios.energy_shares == (82, 18, 0)


def test_nothing_at_all() -> None:
    ratios = ratios_of(Macros())
    assert (ratios.fat_to_protein_and_net_carbs, ratios.fat_to_net_carbs, ratios.energy_shares) == (None, None, None)


@pytest.mark.parametrize(
    ("fat", "protein", "net", "first", "second"),
    [(None, 20, 10, None, None), (40, None, 10, None, 4.0), (40, 20, None, None, None)],
)
def test_what_is_unknown_makes_its_ratios_unknown(
    fat: float | None, protein: float | None, net: float | None, first: float | None, second: float | None
) -> None:
    ratios = ratios_of(eaten(fat, protein, net))
    assert (ratios.fat_to_protein_and_net_carbs, ratios.fat_to_net_carbs, ratios.energy_shares) == (first, second, None)
    assert "unknown" in ratios.lines()[0]


@given(row())
def test_shares_sum_to_100_and_are_next_to_the_true_ones(one: Macros) -> None:
    shares = ratios_of(one).energy_shares
    kcal = [one.at_least(n) * k for n, k in (("fat_g", 9), ("protein_g", 4), ("net_carbs_g", 4))]
    if shares is None:
        assert sum(kcal) == 0
    else:
        assert sum(shares) == 100
        assert all(abs(s - 100 * k / sum(kcal)) < 1 for s, k in zip(shares, kcal, strict=True))


@given(row(), st.floats(0.1, 50))
def test_a_ratio_does_not_hang_on_the_size_of_the_portion(one: Macros, factor: float) -> None:
    small, large = ratios_of(one), ratios_of(one.times(factor))
    assert (small.fat_to_net_carbs is None) == (large.fat_to_net_carbs is None)
    if small.fat_to_net_carbs is not None:
        assert large.fat_to_net_carbs == pytest.approx(small.fat_to_net_carbs)
