"""Weights that no table prints: borrowed, bounded, marked, and only where the table does not tell."""

from __future__ import annotations

import json
from collections.abc import Callable
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit.measure.amounts import Cups, parse_amount
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.pantry import table as pantry_table
from scriptkit.pantry.borrowing import borrowed_rows
from scriptkit.pantry.food import Composition, Food, HouseholdWeight
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.weighing import CannotWeigh, Weighed, weigh, weigh_or_estimate

PANTRY = Pantry()


def of(food: str, amount: str, state: str = "", cups: Cups = Cups.US) -> Weighed:
    return weigh_or_estimate(PANTRY.find(food), parse_amount(amount, cups=cups), state, cups)


def test_every_estimate_is_of_a_food_or_category_and_within_its_bounds() -> None:
    categories = {row["category"] for row in pantry_table.food_rows().values()}
    for of_what, rows in borrowed_rows().items():
        kind, _, category = of_what.rpartition("category:")
        assert (category in categories) if of_what.startswith("category:") else of_what in pantry_table.food_rows(), (
            kind
        )
        for b in rows:
            assert 0 < b.low_g < b.weight.grams < b.high_g, (of_what, b)
            assert b.source and b.cups in ("", *Cups)
            parse_amount(f"1 {b.weight.unit}")


def test_what_the_table_prints_goes_first_and_is_no_estimate() -> None:
    for food, amount, state in (
        ("butter, unsalted", "1 tbsp", ""),
        ("onion", "1 cup", "chopped"),
        ("garlic", "2 cloves", ""),
    ):
        exact = weigh(PANTRY.find(food), parse_amount(amount), state)
        assert of(food, amount, state) == exact and not exact.borrowed


@pytest.mark.parametrize(
    ("cups", "amount", "grams", "low", "high"),
    [  # with the shell: EU small under 53 g, medium 53 to 63, large 63 to 73 (Reg. (EU) 2023/2465), 12 % of it shell (SR28)
        (Cups.US, "2", 100, 94, 112),
        (Cups.METRIC, "2", 102, 93.2, 110.8),
        (Cups.METRIC, "1 large", 60, 55.4, 64.2),
        (Cups.METRIC, "1 medium", 51, 46.6, 55.4),
        (Cups.AUSTRALIAN, "2", 100, 86, 114),
    ],
)
def test_an_egg_is_graded_by_the_region(cups: Cups, amount: str, grams: float, low: float, high: float) -> None:
    egg = of("egg", amount, cups=cups)
    assert (egg.grams, egg.low_g, egg.high_g) == pytest.approx((grams, low, high))
    assert egg.borrowed


def test_a_us_egg_with_its_size_is_the_table_s() -> None:
    assert of("egg", "2 large") == Weighed(100, "large")


def test_the_same_food_in_another_form_bounds_a_form_that_is_not_weighed() -> None:
    kelp = Food(
        name="kelp", category="own", source="invented", composition=Composition(),
        weights=(HouseholdWeight(1, "cup", "chopped", 160, "cup, chopped"), HouseholdWeight(1, "cup", "sliced", 115, "cup, sliced")),
    )  # fmt: skip
    found = weigh_or_estimate(kelp, parse_amount("2 cups"), "diced")
    assert found.grams == pytest.approx(320) and "chopped" in found.borrowed
    assert (found.low_g, found.high_g) == (pytest.approx(2 * 115 * 0.85), pytest.approx(2 * 160 * 1.15))
    with pytest.raises(CannotWeigh, match="several weights"):
        weigh_or_estimate(kelp, parse_amount("1 cup"))  # a word settles it
    with pytest.raises(CannotWeigh):
        weigh_or_estimate(kelp, parse_amount("2 bunches"))


def test_a_bare_count_is_the_medium_one_between_small_and_large() -> None:
    onion = of("onion", "½", "chopped")
    assert (onion.grams, onion.low_g, onion.high_g) == (55, 35, 75)  # SR28 11282: small 70 g, medium 110, large 150
    assert onion.borrowed == "a medium one"


DISH = """
    dish: Quay bowl
    servings: 2
    {cups}
    ingredients: {{Greek yoghurt: 2 tbsp, eggs: "2", basil: {{amount: 2 tbsp, prep: chopped}}, pepper: ½ tsp, salt: to taste, halloumi: 100 g}}
    steps: [{{stage: cook, do: Stir., add: {{Greek yoghurt: all, eggs: all, basil: all, pepper: all, salt: to taste, halloumi: all}}}}]
"""


def test_an_estimate_is_seen_in_check_and_in_the_figures(
    table: Table, run: Callable[..., CompletedProcess[str]]
) -> None:
    path = table.write("bowl.yaml", DISH.format(cups="cups: metric"))
    said = json.loads(run("check", path, "--json").stdout)["problems"]
    assert {(p["code"], p["severity"]) for p in said if p["code"] in ("estimated-weight", "food-by-form")} == {
        ("estimated-weight", "note"),
        ("food-by-form", "note"),
    }
    macros = json.loads(run("macros", path, "--json").stdout)
    yoghurt, eggs, basil, *_ = macros["ingredients"]
    assert yoghurt["weight_g_range"] == [28.5, 33.6] and "SR28 01116" in yoghurt["borrowed_from"]
    assert (eggs["weight_g"], eggs["weight_g_range"]) == (102, [93.2, 110.8])
    assert basil["food"] == "basil, fresh" and "weight_g_range" not in basil
    assert any(w.startswith("Greek yoghurt: 2 tbsp taken as 31 g") for w in macros["estimated"])
    assert "halloumi: a typical label, makes differ by about 15%" in macros["estimated"]


def test_the_notes_stand_at_the_ingredient(table: Table) -> None:
    reading = table.read(DISH.format(cups=""))
    by_code = {p.code: p for p in reading.problems}
    assert (
        "is taken as pepper, black" in by_code["food-by-form"].message
        and "beside salt" in by_code["food-by-form"].message
    )
    dish = table.dish(DISH.format(cups=""))
    assert [i.food.name for i in dish.ingredients][:4] == ["yoghurt, greek", "egg", "basil, fresh", "pepper, black"]
    assert dish_macros(dish).batch.weight_g > 0


def test_a_chopped_herb_is_no_cup_of_sprigs() -> None:
    """SR28 02045 weighs a cup of dill sprigs, 8.9 g; a tablespoon of chopped parsley is 3.8 g and of basil 2.65 g (11297, 02044)."""
    found = of("dill, fresh", "2 tbsp", "chopped")
    assert found.grams == pytest.approx(6)
    assert found.low_g is not None and found.high_g is not None
    assert found.low_g <= 2 * 2.65 <= 2 * 3.8 <= found.high_g
    assert of("dill, fresh", "1 cup", "sprigs").grams == pytest.approx(8.9)


def test_coarse_salt_is_no_ground_spice() -> None:
    """Between a teaspoon of the lightest flakes and one of table salt, which has its own row."""
    coarse = weigh_or_estimate(PANTRY.find("kosher salt"), parse_amount("1 tsp"))
    assert (coarse.grams, coarse.low_g, coarse.high_g) == (4, 3, 5)
    assert "spice" not in coarse.borrowed
    assert weigh_or_estimate(PANTRY.find("salt"), parse_amount("1 tsp")).grams == 6
