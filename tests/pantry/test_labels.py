"""Foods off a label: two bases, polyols, what the label leaves out, and what it cannot mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.pantry.food import NUTRIENTS
from scriptkit.pantry.labels import from_label

if TYPE_CHECKING:
    from conftest import Table


# The definitions: 21 CFR 101.9(c)(6), total carbohydrate by difference; Reg. (EU) 1169/2011, Annex I, carbohydrate is what
# man metabolises, polyols included. Of polyols that nobody named half comes off (common practice, no source).
@pytest.mark.parametrize(
    ("basis", "carbohydrate", "fibre", "polyols", "net"),
    [
        ("us", 15, 4, None, 11),
        ("eu", 15, 4, None, 15),
        ("us", 20, 5, 8, 11),
        ("eu", 20, None, 8, 16),
        ("eu", 20, 5, 8, 16),
    ],
)
def test_net_carbs_of_a_label(
    basis: str, carbohydrate: float, fibre: float | None, polyols: float | None, net: float
) -> None:
    label = from_label(per_g=100, basis=basis, carbohydrate_g=carbohydrate, fibre_g=fibre, polyols_g=polyols)
    assert label.net_carbs_g == pytest.approx(net)


def test_total_carbohydrate_is_the_us_figure_whatever_the_basis() -> None:
    assert from_label(per_g=100, basis="us", carbohydrate_g=15, fibre_g=4).carbohydrate_g == 15
    assert from_label(per_g=100, basis="eu", carbohydrate_g=15, fibre_g=4).carbohydrate_g == 19


@pytest.mark.parametrize(
    ("basis", "given_figures", "unknown"),
    [
        ("us", {"carbohydrate_g": 10}, {"net_carbs_g", "fibre_g"}),  # without fibre, no net carbs
        ("us", {"fibre_g": 3}, {"net_carbs_g", "carbohydrate_g"}),
        ("eu", {"carbohydrate_g": 10}, {"carbohydrate_g", "fibre_g"}),  # net is known, total is not
        ("eu", {"fibre_g": 3}, {"net_carbs_g", "carbohydrate_g"}),
    ],
)
def test_what_a_label_does_not_say_is_unknown(basis: str, given_figures: dict[str, float], unknown: set[str]) -> None:
    label = from_label(per_g=30, basis=basis, **given_figures)
    lacking = {n for n in NUTRIENTS if getattr(label, n) is None}
    assert lacking == unknown | {
        "energy_kcal",
        "fat_g",
        "saturated_g",
        "protein_g",
        "sugars_g",
        "alcohol_g",
        "sodium_mg",
    }
    assert label.polyols_g == 0  # these count only where they are declared


def test_parts_that_round_to_more_than_the_total_make_the_total() -> None:
    label = from_label(per_g=100, basis="us", carbohydrate_g=0.5, fibre_g=1)
    assert (label.net_carbs_g, label.carbohydrate_g, label.fibre_g) == (0, 1, 1)
    label = from_label(per_g=100, basis="eu", carbohydrate_g=5, fibre_g=2, kinds={"erythritol": 6})
    assert (label.net_carbs_g, label.carbohydrate_g, label.polyols_g) == (0, 8, 6)


@pytest.mark.parametrize(
    ("declared", "kinds", "polyols", "deducted"),
    [  # of 40 g carbohydrate and 5 g fibre, US: erythritol and allulose come off whole, other polyols by half
        (None, {"erythritol": 12}, 12, 12),
        (None, {"xylitol": 12}, 12, 6),
        (None, {"allulose": 12}, 0, 12),
        (20, {"erythritol": 12}, 20, 16),
        (None, {"erythritol": 10, "maltitol": 6, "allulose": 4}, 16, 17),
        (3, {"sorbitol": 3.2}, 3.2, 1.6),  # rounded apart on the label
    ],
)
def test_polyols_by_kind_and_allulose(
    declared: float | None, kinds: dict[str, float], polyols: float, deducted: float
) -> None:
    label = from_label(per_g=100, basis="us", carbohydrate_g=40, fibre_g=5, polyols_g=declared, kinds=kinds)
    assert (label.polyols_g, label.deducted_sweeteners_g) == (pytest.approx(polyols), pytest.approx(deducted))
    assert label.net_carbs_g == pytest.approx(35 - deducted)
    assert label.carbohydrate_g == 40  # allulose stays in total carbohydrate: FDA guidance of October 2020
    assert (label.erythritol_g, label.allulose_g) == (kinds.get("erythritol", 0), kinds.get("allulose", 0))


def test_another_basis_is_refused() -> None:
    with pytest.raises(ValueError, match="us or eu"):
        from_label(per_g=100, basis="jp")


figures = st.none() | st.floats(0, 90)


@given(st.floats(1, 1000), st.sampled_from(["us", "eu"]), figures, figures, figures, figures)
def test_figures_of_a_serving_scale_to_100_g_and_add_up(
    per_g: float, basis: str, carbohydrate: float | None, fibre: float | None, polyols: float | None, fat: float | None
) -> None:
    read = {"carbohydrate_g": carbohydrate, "fibre_g": fibre, "polyols_g": polyols, "fat_g": fat}
    label, as_is = from_label(per_g=per_g, basis=basis, **read), from_label(per_g=100, basis=basis, **read)
    for nutrient in NUTRIENTS:
        small, large = getattr(label, nutrient), getattr(as_is, nutrient)
        assert (small is None) == (large is None)
        assert small is None or small * per_g / 100 == pytest.approx(large)
    assert (label.fat_g is None) == (fat is None)
    if label.carbohydrate_g is not None and label.fibre_g is not None and label.net_carbs_g is not None:
        assert label.deducted_sweeteners_g is not None
        assert label.carbohydrate_g == pytest.approx(
            label.fibre_g + label.deducted_sweeteners_g + label.net_carbs_g, abs=1e-6
        )
        assert label.net_carbs_g >= 0


def test_salt_on_a_label_becomes_sodium(table: Table) -> None:
    """Salt = sodium × 2.5: Reg. (EU) 1169/2011, Annex I."""
    dish = table.dish("""
        dish: Harbour broth
        servings: 1
        foods:
          kelp stock: {basis: eu, energy_kcal: 5, fat_g: 0, protein_g: 1, carbohydrate_g: 0.2, fibre_g: 0, salt_g: 0.8}
          tin stock: {basis: us, per: 240 g, energy_kcal: 10, fat_g: 0, protein_g: 1, carbohydrate_g: 1, sodium_mg: 480}
        ingredients:
          kelp stock: 500 g
          tin stock: 500 g
        steps: [{stage: cook, do: Warm it., add: {kelp stock: all, tin stock: all}}]
    """)
    kelp, tin = (i.food.composition for i in dish.ingredients)
    assert kelp.sodium_mg == pytest.approx(320)
    assert tin.sodium_mg == pytest.approx(200)
    assert tin.fibre_g is None and tin.net_carbs_g is None
