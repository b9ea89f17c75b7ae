"""Figures that add and scale; what is unknown stays unknown and is never taken for zero."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_macros import composition, foods_in_grams, of, whole_of

from scriptkit.nutrition.macros import PRINTED, Macros, macros_of, total, words_of_macro
from scriptkit.pantry.food import NUTRIENTS, Composition

BUTTER = Composition(energy_kcal=717, fat_g=81.11, protein_g=0.85, carbohydrate_g=0.06, fibre_g=0, net_carbs_g=0.06)
TEMPEH = Composition(energy_kcal=192, fat_g=10.8, protein_g=20.29, carbohydrate_g=7.64)  # SR28 16114: no fibre measured


def test_grams_of_a_food() -> None:
    some = macros_of(BUTTER, 50)
    assert some.figure("fat_g") == pytest.approx(40.555)
    assert some.figure("energy_kcal") == pytest.approx(358.5)
    assert some.figure("sodium_mg") is None


def test_unknown_net_carbs_widen_no_bounds() -> None:
    """The bounds are of what is known; tempeh's net carbs are not."""
    unknown = macros_of(TEMPEH, 100)
    assert (unknown.net_low_g, unknown.net_high_g) == (0, 0)


def test_one_part_that_is_unknown_makes_the_sum_unknown_and_what_is_known_a_lower_bound() -> None:
    both = macros_of(BUTTER, 100) + macros_of(TEMPEH, 100)
    assert both.figure("net_carbs_g") is None
    assert both.at_least("net_carbs_g") == pytest.approx(0.06)
    assert both.figure("protein_g") == pytest.approx(21.14)
    assert both.weight_g == 200


def test_of_nothing_everything_is_known() -> None:
    for nothing in (macros_of(TEMPEH, 0), macros_of(TEMPEH, 80).times(0), total([])):
        assert nothing.weight_g == 0
        assert [nothing.figure(n) for n in NUTRIENTS] == [0.0] * len(NUTRIENTS)


def test_a_portion_of_what_weighs_nothing_cannot_be_told() -> None:
    with pytest.raises(ZeroDivisionError):
        Macros().weighing(100)


def test_another_figure_for_one_nutrient() -> None:
    changed = macros_of(TEMPEH, 100).with_figure("fibre_g", 6.0)
    assert changed.figure("fibre_g") == 6.0
    assert changed.figure("net_carbs_g") is None
    lower = changed.with_figure("fibre_g", 2.0, unknown=True)
    assert (lower.figure("fibre_g"), lower.at_least("fibre_g")) == (None, 2.0)


@pytest.mark.parametrize(
    ("nutrient", "words"), [("net_carbs_g", "net carbs"), ("saturated_g", "saturated fat"), ("energy_kcal", "energy")]
)
def test_words_for_a_sentence(nutrient: str, words: str) -> None:
    assert words_of_macro(nutrient) == words


@given(foods_in_grams)
def test_unknown_never_becomes_zero(foods: list[tuple[Composition, float]]) -> None:
    sum_of_all = whole_of([of(c, g) for c, g in foods])
    for nutrient in PRINTED:
        lacking = any(getattr(c, nutrient) is None for c, g in foods if g > 0)
        assert (sum_of_all.figure(nutrient) is None) == lacking
        known = sum(getattr(c, nutrient) * g / 100 for c, g in foods if getattr(c, nutrient) is not None)
        if nutrient in ("carbohydrate_g", "fibre_g"):  # where net carbs are known, no less of them than those need
            assert sum_of_all.at_least(nutrient) >= known - 1e-9
        else:
            assert sum_of_all.at_least(nutrient) == pytest.approx(known)


def test_carbohydrate_that_a_label_does_not_print_is_at_least_what_its_net_carbs_are_of() -> None:
    """An EU label without fibre: carbohydrate less fibre is known, with fibre it is not, and the equation holds all the same."""
    cream = Composition(energy_kcal=203, fat_g=20, protein_g=2.6, net_carbs_g=3.4, deducted_sweeteners_g=0.5)
    of_cream = macros_of(cream, 100)
    assert of_cream.figure("carbohydrate_g") is None
    assert of_cream.at_least("carbohydrate_g") == pytest.approx(3.4 + 0.5)


@given(foods_in_grams, st.floats(0.01, 100))
def test_scaling_the_parts_scales_the_sum(foods: list[tuple[Composition, float]], factor: float) -> None:
    one = whole_of([of(c, g) for c, g in foods]).times(factor)
    other = whole_of([of(c, g * factor) for c, g in foods])
    assert one.known == pytest.approx(other.known)
    assert one.unknown == other.unknown
    assert one.weight_g == pytest.approx(other.weight_g)


@given(composition(), st.floats(1, 1000), st.floats(1, 1000))
def test_a_weight_of_the_same_food(one: Composition, have: float, want: float) -> None:
    scaled, direct = macros_of(one, have).weighing(want), macros_of(one, want)
    assert scaled.weight_g == pytest.approx(want)
    assert scaled.known == pytest.approx(direct.known)
    assert scaled.unknown == direct.unknown
