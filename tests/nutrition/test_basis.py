"""The European basis: carbohydrate without fibre, energy by Annex XIV."""

from __future__ import annotations

import pytest
from hypothesis import given
from random_macros import foods_in_grams, of, whole_of

from scriptkit.nutrition.basis import EU_KCAL, Basis, eu_carbohydrate, eu_energy_kcal, to_basis
from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.pantry.food import Composition
from scriptkit.pantry.labels import from_label


def test_the_us_basis_changes_nothing() -> None:
    some = macros_of(Composition(carbohydrate_g=15, fibre_g=4, net_carbs_g=11), 100)
    assert to_basis(some, Basis.US) == some


def test_an_eu_label_reads_the_same_on_the_eu_basis() -> None:
    label = from_label(
        per_g=100, basis="eu", carbohydrate_g=20, fibre_g=5, polyols_g=8, protein_g=3, fat_g=2, alcohol_g=1
    )
    some = macros_of(label, 100)
    assert eu_carbohydrate(some) == pytest.approx(20)
    # 12 g carbohydrate at 4, 8 g polyols at 2.4, 3 g protein at 4, 2 g fat at 9, 1 g alcohol at 7, 5 g fibre at 2
    assert eu_energy_kcal(some) == pytest.approx(48 + 19.2 + 12 + 18 + 7 + 10)


def test_a_us_label_loses_its_fibre_and_keeps_its_polyols() -> None:
    some = macros_of(from_label(per_g=100, basis="us", carbohydrate_g=20, fibre_g=5, polyols_g=8), 100)
    assert eu_carbohydrate(some) == pytest.approx(15)


@pytest.mark.parametrize(
    ("kinds", "kcal"),
    [  # Reg. (EU) 1169/2011, Annex XIV: polyols 2.4, erythritol 0; it names no allulose, which is carbohydrate at 4
        ({"erythritol": 10.0}, 0.0),
        ({"xylitol": 10.0}, 24.0),
        ({"maltitol": 5.0, "erythritol": 5.0}, 12.0),
        ({"allulose": 10.0}, 40.0),
    ],
)
@pytest.mark.parametrize("basis", ["us", "eu"])
def test_energy_of_ten_grams_of_sweetener_on_the_eu_basis(basis: str, kinds: dict[str, float], kcal: float) -> None:
    label = from_label(per_g=10, basis=basis, carbohydrate_g=10, fibre_g=0, protein_g=0, fat_g=0, kinds=kinds)
    assert eu_energy_kcal(macros_of(label, 10)) == pytest.approx(kcal, abs=1e-9)
    assert eu_carbohydrate(macros_of(label, 10)) == pytest.approx(10)


@pytest.mark.parametrize("lacking", ["fat_g", "protein_g", "fibre_g", "net_carbs_g"])
def test_energy_is_unknown_where_a_figure_is_but_what_is_known_stays(lacking: str) -> None:
    figures = {"fat_g": 2.0, "protein_g": 3.0, "fibre_g": 5.0, "net_carbs_g": 12.0}
    full = macros_of(Composition(**figures), 100)
    some = macros_of(Composition(**(figures | {lacking: None})), 100)  # type: ignore[arg-type]
    assert eu_energy_kcal(some) is None
    energy = to_basis(full, Basis.EU).at_least("energy_kcal")
    assert to_basis(some, Basis.EU).at_least("energy_kcal") == pytest.approx(
        energy - figures[lacking] * EU_KCAL["carbohydrate_g" if lacking == "net_carbs_g" else lacking]
    )


@pytest.mark.parametrize("lacking", ["net_carbs_g", "deducted_sweeteners_g"])
def test_carbohydrate_is_unknown_where_a_part_of_it_is(lacking: str) -> None:
    """Of the US carbohydrate, which is known, the fibre may be any part; what is known of the rest is a lower bound."""
    figures = {"carbohydrate_g": 20.0, "fibre_g": 5.0, "net_carbs_g": 12.0, "deducted_sweeteners_g": 3.0}
    some = macros_of(Composition(**(figures | {lacking: None})), 100)  # type: ignore[arg-type]
    assert eu_carbohydrate(some) is None
    assert to_basis(some, Basis.EU).at_least("carbohydrate_g") == pytest.approx(15 - figures[lacking])


def test_a_blank_for_alcohol_does_not_make_a_carrots_energy_unknown() -> None:
    carrot = Composition(fat_g=0.24, protein_g=0.93, fibre_g=2.8, net_carbs_g=6.78, alcohol_g=None)
    assert eu_energy_kcal(macros_of(carrot, 100)) == pytest.approx(9 * 0.24 + 4 * 0.93 + 2 * 2.8 + 4 * 6.78)


@given(foods_in_grams)
def test_rows_on_a_basis_add_up_to_their_whole_on_it(foods: list[tuple[Composition, float]]) -> None:
    parts = [of(c, g) for c, g in foods]
    one = to_basis(whole_of(parts), Basis.EU)
    other = whole_of([to_basis(p, Basis.EU) for p in parts])
    assert one.known == pytest.approx(other.known)
    assert one.unknown == other.unknown
    assert one.weight_g == other.weight_g


def test_each_basis_says_what_it_means() -> None:
    assert "includes fibre" in Basis.US.meaning and "excludes fibre" in Basis.EU.meaning
    assert eu_energy_kcal(Macros()) == 0
