"""What no label, row, dish or plate can be."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.pantry import table as pantry_table
from scriptkit.pantry.physics import composition_faults, energy_bounds, faults

BREAD = {
    "energy_kcal": 266.0, "fat_g": 3.3, "saturated_g": 0.7, "protein_g": 8.9, "carbohydrate_g": 49.4, "fibre_g": 2.7,
    "sugars_g": 5.7, "sodium_mg": 490.0,
}  # fmt: skip


def wrong(basis: str = "us", weight_g: float = 100, **figures: float) -> list[str]:
    """Which figures of a bread cannot be once these are written over it."""
    return [f.figure for f in faults(weight_g, basis, BREAD | figures)]


def test_what_can_be_is_left_alone() -> None:
    assert wrong() == wrong("eu") == []
    assert faults(100, "us", {}) == faults(100, "us", {"energy_kcal": 300}) == []


@pytest.mark.parametrize(
    ("figures", "basis", "figure"),
    [
        ({"fat_g": 55.0, "energy_kcal": 700.0}, "us", "per"),
        ({"water_g": 60.0}, "us", "per"),
        ({"carbohydrate_g": 50.0, "fibre_g": 45.0, "energy_kcal": 360.0}, "eu", "per"),
        ({"sodium_mg": 20_000.0}, "us", "sodium_mg"),
        ({"saturated_g": 5.0}, "us", "saturated_g"),
        ({"sugars_g": 52.0}, "us", "sugars_g"),
        ({"polyols_g": 55.0, "energy_kcal": 150.0}, "us", "polyols_g"),
        ({"xylitol_g": 55.0, "energy_kcal": 150.0}, "us", "xylitol_g"),
        ({"allulose_g": 55.0, "energy_kcal": 150.0}, "us", "allulose_g"),
        ({"polyols_g": 5.0, "xylitol_g": 9.0}, "us", "polyols_g"),
        ({"energy_kcal": 1113.0}, "us", "energy_kcal"),  # kilojoules
        ({"energy_kcal": 120.0}, "us", "energy_kcal"),
        ({"energy_kcal": 360.0}, "us", "energy_kcal"),
        ({"salt_g": 0.4}, "us", "sodium_mg"),
    ],
)
def test_what_cannot_be_is_told_by_its_figure(figures: dict[str, float], basis: str, figure: str) -> None:
    assert wrong(basis, **figures) == [figure]


def test_fibre_over_carbohydrate_is_a_european_label_typed_as_us() -> None:
    bran = {"energy_kcal": 216.0, "fat_g": 4.3, "protein_g": 15.6, "carbohydrate_g": 21.7, "fibre_g": 42.8}
    (fault,) = faults(100, "us", bran)
    assert fault.figure == "fibre_g" and "basis: eu" in fault.hint
    assert faults(100, "eu", bran) == []


@pytest.mark.parametrize(
    ("carbohydrate", "kinds", "least", "most"),
    [  # kcal/g: 21 CFR 101.9(c)(1)(i)(F) and Reg. (EU) 1169/2011, Annex XIV; allulose 0.4 (FDA, October 2020) or 4
        (100, {"erythritol_g": 100}, 0, 0),
        (100, {"xylitol_g": 100}, 240, 240),
        (100, {"maltitol_g": 100}, 210, 240),
        (100, {"mannitol_g": 100}, 160, 240),
        (100, {"sorbitol_g": 100}, 240, 260),
        (100, {"allulose_g": 100}, 40, 400),
        (100, {"polyols_g": 100}, 0, 300),
        (100, {"polyols_g": 100, "erythritol_g": 90}, 0, 30),
        (100, {"fibre_g": 100}, 0, 400),
        (100, {}, 0, 400),  # how much of it is fibre is not known
        (100, {"fibre_g": 0}, 400, 400),
    ],
)
def test_energy_that_a_sweetener_can_have(
    carbohydrate: float, kinds: dict[str, float], least: float, most: float
) -> None:
    macros = {"fat_g": 0.0, "protein_g": 0.0, "carbohydrate_g": carbohydrate}
    if any(k != "fibre_g" for k in kinds):
        macros["fibre_g"] = 0.0
    assert energy_bounds("us", macros | kinds) == pytest.approx((least, most))


@pytest.mark.parametrize("per_g", [10, 15, 30])
def test_a_small_serving_may_be_rounded_as_the_us_rule_rounds(per_g: float) -> None:
    """21 CFR 101.9(c): grams to the gram, energy to 5 or 10 kcal: half a gram of each is off by 8.5 kcal."""
    exact = {"fat_g": 1.4, "protein_g": 1.4, "carbohydrate_g": 1.4}
    label = dict.fromkeys(exact, 1.0) | {"energy_kcal": 25.0, "fibre_g": 1.0, "saturated_g": 1.5, "sugars_g": 1.0}
    assert faults(per_g, "us", label) == []


# Rows whose printed energy their printed macros do not give, with the reason.
NOT_BY_THE_MACROS = {
    "baking powder": "carbohydrate by difference holds carbonate, which gives no energy",
    "beef stock powder": "part of its sodium is glutamate, whose mass is counted as protein too",
    "chicken stock cube": "part of its sodium is glutamate, whose mass is counted as protein too",
    "chicken stock powder": "part of its sodium is glutamate, whose mass is counted as protein too",
    "cocoa powder, dutch-process": "USDA counts cocoa protein at 1.83 and its carbohydrate at 1.33 kcal/g",
    "stevia extract": "USDA counts its glycosides as carbohydrate by difference, without energy",
    "oat bran": "USDA counts its carbohydrate at 1.89 kcal/g",
}


def test_every_row_of_the_pantry_can_be() -> None:
    found = {
        name: [f.message for f in said]
        for name in pantry_table.food_rows()
        if (said := composition_faults((food := pantry_table.food(name)).composition, food.water_g))
    }
    assert set(found) == set(NOT_BY_THE_MACROS), found


DISH = """
    dish: Harbour bran
    servings: 2
    ingredients: {{leek: 300 g, bran: 100 g}}
    steps: [{{stage: cook, do: Soften them., add: [leek, bran]}}]
    foods:
      bran: {label}
"""


def test_an_impossible_label_is_refused_with_its_places_and_nothing_is_computed(table: Table) -> None:
    label = "{basis: us, energy_kcal: 0, fat_g: 50, saturated_g: 80, carbohydrate_g: 10, sugars_g: 30, fibre_g: 60, protein_g: 10, salt_g: 1, sodium_mg: 9000}"
    reading = table.read(DISH.format(label=label))
    told = [p for p in reading.problems if p.code == "label"]
    line = "  bran: " + label
    assert [p.place.column for p in told] == [
        line.index(f"{name}: ") + len(name) + 3
        for name in ("energy_kcal", "saturated_g", "sugars_g", "fibre_g", "sodium_mg")
    ]
    assert all(p.place.line == 7 and p.hint and "bran" in p.message for p in told)


def test_a_sweetener_by_kind_counts_and_without_it_is_asked_for(table: Table) -> None:
    label = "{basis: us, energy_kcal: 20, fat_g: 0, carbohydrate_g: 100, fibre_g: 0, protein_g: 0%s}"
    bran = table.dish(DISH.format(label=label % ", erythritol_g: 100")).ingredients[1].food.composition
    assert (bran.net_carbs_g, bran.polyols_g, bran.carbohydrate_g) == (0, 100, 100)
    (told,) = [p for p in table.read(DISH.format(label=label % "")).problems if p.code == "label"]
    assert "polyols" in told.hint
