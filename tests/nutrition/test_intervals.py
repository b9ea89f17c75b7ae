"""Intervals of 90 %: how doubts add up, held against a Monte Carlo, and what is doubted of which food."""

from __future__ import annotations

import random
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import EXAMPLES
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.checks import check
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.display_figures import likely_words, range_words, reasons
from scriptkit.nutrition.intervals import BOUNDED, Source, Uncertainty, combined, shifts_of
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.uncertainty import blank_bounds, weight_off
from scriptkit.pantry import table as pantry
from scriptkit.pantry.food import NUTRIENTS, Composition
from scriptkit.pantry.spreads import spread_of
from scriptkit.papers.macros_json import dish_json, meal_json
from scriptkit.preproduction import Preproduction
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table

MEALS = sorted(p for p in EXAMPLES.glob("*.yaml") if p.stem != "faulty-chowder")
Z_90 = 1.645
"""Standard deviations from the middle of a normal distribution to the ends of its 90 % interval."""


def eaten(path: Path) -> Macros:
    source = read_source(str(path)).usable()
    return meal_macros(source).plate if isinstance(source, Meal) else dish_macros(source).serving


def source_of(*doubts: Uncertainty) -> Source:
    return Source(lambda: doubts)


# --- how they add up ------------------------------------------------------------------------------------------------------


def sampled(macros: Macros, nutrient: str, times: int, seed: int) -> list[float]:
    """Figures that could be: each doubt drawn once for all the parts that share it, normally distributed on either side."""
    shifts = shifts_of(macros.parts)[nutrient]
    rng = random.Random(seed)
    found = []
    for _ in range(times):
        figure = macros.at_least(nutrient)
        for low, high, _ in shifts.values():
            z = rng.gauss(0, 1) / Z_90
            figure += abs(z) * (high if z > 0 else low)
        found.append(max(figure, 0.0))
    return found


@pytest.mark.parametrize("path", MEALS, ids=lambda p: p.stem)
@pytest.mark.parametrize("nutrient", ["net_carbs_g", "energy_kcal", "fat_g", "protein_g"])
def test_nine_in_ten_of_what_could_be_lies_in_the_interval(path: Path, nutrient: str) -> None:
    macros = eaten(path)
    low, high = macros.ranges[nutrient]
    found = sampled(macros, nutrient, 1500, seed=11)
    inside = sum(low <= figure <= high for figure in found) / len(found)
    assert 0.85 <= inside <= 0.985
    if high - low > 0.1:
        below = sum(figure < low for figure in found) / len(found)
        above = sum(figure > high for figure in found) / len(found)
        assert below < 0.12 and above < 0.12


def macros_of(figure: float, *parts: tuple[float, Source]) -> Macros:
    return Macros(100.0, tuple(figure for _ in NUTRIENTS), parts=parts)


def test_independent_doubts_add_by_their_squares_and_shared_ones_straight() -> None:
    one = source_of(Uncertainty("food a", "a", {"fat_g": (-3.0, 6.0)}))
    other = source_of(Uncertainty("food b", "b", {"fat_g": (-4.0, 8.0)}))
    shared = source_of(Uncertainty("food a", "a", {"fat_g": (-1.0, 2.0)}))
    assert macros_of(50, (1.0, one), (1.0, other)).ranges["fat_g"] == pytest.approx((45, 60))
    assert macros_of(50, (1.0, one), (1.0, shared)).ranges["fat_g"] == pytest.approx((46, 58))
    assert macros_of(50, (2.0, one)).ranges["fat_g"] == pytest.approx((44, 62))
    taken_away = macros_of(50, (1.0, one), (-1.0, other))
    assert taken_away.ranges["fat_g"] == pytest.approx((50 - (9 + 64) ** 0.5, 50 + (36 + 16) ** 0.5))
    assert macros_of(50, (1.0, one), (-1.0, one)).ranges["fat_g"] == pytest.approx((50, 50))
    assert macros_of(2, (1.0, other)).ranges["fat_g"] == pytest.approx((0, 10))  # nothing eaten is below zero


def test_bounds_of_blanks_add_up_straight() -> None:
    assert combined([("blank a", 0.0, 3.0), ("blank b", 0.0, 4.0), ("food", -2.0, 1.0)]) == pytest.approx((-2, 8))


@given(factor=st.floats(0.01, 20), figure=st.floats(0, 500), low=st.floats(-20, 0), high=st.floats(0, 20))
def test_intervals_grow_with_the_portion(factor: float, figure: float, low: float, high: float) -> None:
    one = macros_of(figure, (1.0, source_of(Uncertainty("x", "x", dict.fromkeys(BOUNDED, (low, high))))))
    for nutrient, (least, most) in one.ranges.items():
        assert least <= figure <= most
        assert one.times(factor).ranges[nutrient] == pytest.approx((least * factor, most * factor), abs=1e-6)


# --- what is doubted ------------------------------------------------------------------------------------------------------


def test_without_a_second_row_the_interval_holds_its_figure_for_most_foods() -> None:
    """Every food of the pantry with rows in both tables, its second one not looked at."""
    held = asked = 0
    for name in pantry.food_rows():
        food = pantry.food(name)
        bounds = spread_of(food, "net_carbs_g", alone=True)
        if food.second_net_carbs_g is None or bounds is None:
            continue
        asked += 1
        held += bounds[0] - 1e-9 <= food.second_net_carbs_g <= bounds[1] + 1e-9
    assert asked > 350
    assert held / asked >= 0.85


def test_of_starchy_vegetables_it_holds_all_but_garlic() -> None:
    """USDA SR28 against Ciqual 2020; a leek, which has less, keeps the wider bounds."""
    starchy = [
        f
        for f in map(pantry.food, pantry.food_rows())
        if f.category == "vegetable" and (f.composition.net_carbs_g or 0) >= 14
    ]
    outside = []
    for food in (f for f in starchy if f.second_net_carbs_g is not None):
        low, high = spread_of(food, "net_carbs_g", alone=True) or (0.0, 0.0)
        net = food.composition.net_carbs_g or 0.0
        assert (low, high) == pytest.approx((0.7 * net, 1.2 * net))
        outside += [food.name] if not low <= (food.second_net_carbs_g or 0.0) <= high else []
    assert outside == ["garlic"]
    leek = pantry.food("leek")
    assert (spread_of(leek, "net_carbs_g", alone=True) or (0.0, 0.0))[1] > 1.5 * (leek.composition.net_carbs_g or 0.0)


def test_with_a_second_row_it_holds_both_and_a_little_more() -> None:
    low, high = spread_of(pantry.food("leek"), "net_carbs_g") or (0, 0)
    assert low < 4.9  # Ciqual 2020 20039
    assert high > 12.35  # USDA SR28 11246


@pytest.mark.parametrize("food", ["water", "salt"])
def test_nobody_doubts_water_and_salt(food: str) -> None:
    assert all(spread_of(pantry.food(food), nutrient) is None for nutrient in BOUNDED)


def test_blanks_have_the_bounds_that_they_must_have() -> None:
    """0 ≤ fibre ≤ carbohydrate ≤ 100 g less fat, protein and water."""
    assert blank_bounds(Composition(energy_kcal=100, fat_g=2, protein_g=3, carbohydrate_g=20), 70) == {
        "net_carbs_g": 20,
        "fibre_g": 20,
    }
    everything = blank_bounds(Composition(energy_kcal=100, fat_g=2, protein_g=3), 70)
    assert everything == {"carbohydrate_g": 25, "net_carbs_g": 25, "fibre_g": 25}
    assert blank_bounds(pantry.food("butter, unsalted").composition, 16) == {}


def serving(table: Table, ingredients: str, more: str = "") -> Macros:
    return dish_macros(table.dish(f"dish: D\nservings: 1\n{more}ingredients: {{{ingredients}}}\n")).serving


def width(macros: Macros, nutrient: str = "energy_kcal") -> float:
    low, high = macros.ranges[nutrient]
    return high - low


def test_a_spoon_is_less_sure_than_a_scale(table: Table) -> None:
    weighed = serving(table, "olive oil: 27 g")
    spooned = serving(table, "olive oil: 2 tbsp")
    assert weighed.at_least("energy_kcal") == pytest.approx(spooned.at_least("energy_kcal"), rel=0.01)
    assert width(spooned) > 5 * width(weighed)
    pieces = serving(table, "onion: 1 medium")
    assert width(pieces, "net_carbs_g") > width(serving(table, "onion: 110 g"), "net_carbs_g")


def test_a_weighed_portion_of_an_unweighed_pot_is_less_sure_than_a_share_of_it(table: Table) -> None:
    text = """
        dish: Soup
        servings: 4
        {more}
        ingredients: {{water: 1 kg, olive oil: 100 g}}
        steps: [{{stage: cook, do: Simmer it., add: [water, olive oil], vessel: pot, wait: 30 min}}]
    """
    share, weighed, pot = (
        dish_macros(table.dish(text.format(more=more))).serving
        for more in ("", "serving: 214 g", "serving: 214 g\n        cooked_weight: 856 g")
    )
    assert width(weighed) > 3 * width(share)
    assert width(pot) == pytest.approx(width(share), rel=0.05)


def test_the_printed_figure_lies_in_its_range_and_both_are_short(table: Table) -> None:
    macros = serving(table, "leek: 100 g, butter: {amount: 20 g, food: 'butter, unsalted'}")
    assert macros.at_least("net_carbs_g") == pytest.approx(12.36, abs=0.01)
    assert range_words(macros, "net_carbs_g") == "4–13 g"
    assert likely_words(macros).startswith("net carbs 4–13 g, energy ")
    assert reasons(macros) == ["the figures of leek (USDA SR28 11246)"]
    assert likely_words(serving(table, "water: 100 g")) == ""


@pytest.mark.parametrize("path", MEALS, ids=lambda p: p.stem)
def test_json_has_every_range_round_its_figure(path: Path) -> None:
    source = read_source(str(path)).usable()
    for basis in Basis:
        if isinstance(source, Dish):
            whole = dish_json(dish_macros(source), basis=basis)
            parts = [whole["serving"], whole["batch"], whole["per_100_g"], *whole["ingredients"]]  # type: ignore[misc]
            plain = dish_json(dish_macros(source), basis=basis, spread=False)["serving"]
        else:
            whole = meal_json(meal_macros(source), basis=basis)
            parts = [whole["plate"], whole["party"], *whole["portions"]]  # type: ignore[misc]
            plain = meal_json(meal_macros(source), basis=basis, spread=False)["plate"]
        assert isinstance(plain, dict) and not any(key.endswith("_range") for key in plain)
        assert "net_carbs_g_range" in parts[0]
        for row in parts:
            for key, ends in row.items():
                if key.endswith("_range") and key != "weight_g_range":
                    figure = row[key.removesuffix("_range")]
                    low, high = ends
                    assert low <= high
                    step = 0.5 if "kcal" in key else 0.06
                    assert figure is None or low - step <= figure <= high + step, (key, row)


def test_a_sweetener_without_energy_is_doubted_and_never_more_than_all_of_it() -> None:
    low, high = spread_of(pantry.food("stevia extract"), "net_carbs_g") or (0, 0)
    assert low < 90
    assert high == 100


def test_a_european_label_without_fibre_lacks_fibre_alone(table: Table) -> None:
    reading = table.read("""
        dish: D
        servings: 1
        ingredients: {oats: {amount: 50 g, food: oat flakes of the shop}}
        foods: {oat flakes of the shop: {basis: eu, energy_kcal: 370, fat_g: 7, protein_g: 13, carbohydrate_g: 59, allergens: none}}
    """)
    source = reading.usable()
    (note,) = [p for p in check(Preproduction(source)) if p.code == "unknown-figure"]
    assert "oats: fibre, and with it total carbohydrate (net carbs are known) not known" in note.message
    low, high = dish_macros(source).serving.ranges["net_carbs_g"]  # type: ignore[arg-type]
    assert low < 29.5 < high


def test_a_serving_of_another_dish_weighs_what_that_dish_says(table: Table) -> None:
    table.write(
        "sauce.yaml",
        "dish: S\nservings: 4\ningredients: {leek: 400 g}\nsteps: [{stage: cook, do: Simmer it., add: leek}]\n",
    )
    text = "dish: D\nservings: 2\ningredients: {s: {amount: 1 serving, dish: sauce.yaml}}\nsteps: [{stage: cook, do: Warm it., add: s}]\n"
    assert weight_off(table.dish(text).ingredients[0]) == (0.0, 0.0, "")
