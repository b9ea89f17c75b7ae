"""A dish's and a meal's table from the first line to the last, with figures that can be added up by hand."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.display_figures import printed_plate, printed_serving
from scriptkit.nutrition.rounding import print_one
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.macros_json import dish_json, meal_json
from scriptkit.recipe.dish import Dish, Meal

if TYPE_CHECKING:
    from conftest import Table

PANTRY = """
    foods:
      beans: {basis: us, energy_kcal: 100, fat_g: 1, protein_g: 8, carbohydrate_g: 20, fibre_g: 5}
      powder: {basis: us, energy_kcal: 300, fat_g: 10, protein_g: 10}
      paste: {basis: us, energy_kcal: 200, fat_g: 20, protein_g: 5}
      dripping: {basis: us, energy_kcal: 900, fat_g: 100, protein_g: 0, carbohydrate_g: 0, fibre_g: 0, alcohol_g: 0}
"""
POT = """
    dish: Bean pot
    servings: 4
    cooked_weight: 800 g
    ingredients:
      beans: 600 g
      dripping: {amount: 40 g, left_in_pan: 10 g}
      powder: {amount: 20 g, strained_out: half}
      paste: 10 g
      salt: to taste
      pepper: {amount: to taste, food: "pepper, black"}
    left_in_pan: {fat: {amount: 15 g, food: dripping}}
"""
SUPPER = """
    meal: Bean supper
    dishes: [{dish: pot.yaml}]
    at_most: {net_carbs_g: 40}
    at_table: {powder: 2 g, paste: 4 g, salt: to taste, pepper: {amount: to taste, food: "pepper, black"}}
"""

KEY = (
    "Weights and macros in grams, energy in kcal. US basis: carbohydrate includes fibre; "
    "net carbs = carbohydrate − fibre (− declared erythritol and allulose whole, other polyols by half)."
)
UNKNOWN_RATIOS = """\
  unknown  grams of fat : grams of protein + net carbs
  unknown  grams of fat : grams of net carbs
  unknown  percent of energy from fat / protein / net carbs (9, 4, 4 kcal per g)
  Arithmetic, not medical advice: a medical diet is supervised by a doctor or a dietitian."""

DISH = f"""\
Bean pot

                      weight  kcal    fat  protein    carbs    fibre  net carbs
-------------------------------------------------------------------------------
beans                    600   600    6.0     48.0    120.0     30.0       90.0
dripping                  30   270   30.0      0.0      0.0      0.0        0.0
powder                    10    30    1.0      1.0  unknown  unknown    unknown
paste                     10    20    2.0      0.5  unknown  unknown    unknown
fat, left in the pan     −15  −135  −15.0      0.0      0.0      0.0        0.0
-------------------------------------------------------------------------------
batch                    800   785   24.0     49.5  ≥ 120.0   ≥ 30.0     ≥ 90.0
serving (1 of 4)         200   196    6.0     12.4   ≥ 30.0    ≥ 7.5     ≥ 22.5
100 g                    100    98    3.0      6.2   ≥ 15.0    ≥ 3.7     ≥ 11.3

{KEY}
670 g went in, 10 g is discarded, 25 g is left in the pan, the batch weighs 800 g; the difference counts as water.

Macro ratios of a serving, from its figures before rounding
{UNKNOWN_RATIOS}

The serving as a US label would round it (21 CFR 101.9(c))
  calories 200, fat 6 g, total carbohydrate unknown, dietary fibre unknown, protein 12 g

not counted (to taste): salt, pepper
carbs of powder, paste not known; figures with ≥ lack it
fibre of powder, paste not known; figures with ≥ lack it
net carbs of powder, paste not known; figures with ≥ lack it
estimated: powder: 50% of it counted as thrown away; what it leaves in the dish is not known

Where the figures are from
  beans     600 g     600 g                             beans, label in pantry.yaml
  dripping  40 g      40 g, 10 g of it left in the pan  dripping, label in pantry.yaml
  powder    20 g      20 g, 10 g of it thrown away      powder, label in pantry.yaml
  paste     10 g      10 g                              paste, label in pantry.yaml
  salt      to taste                                    salt, USDA SR28 02047
  pepper    to taste                                    pepper, black, USDA SR28 02030
  fat       15 g      15 g                              dripping, label in pantry.yaml"""

MEAL = f"""\
Bean supper

                      weight  kcal  fat  protein    carbs    fibre  net carbs
-----------------------------------------------------------------------------
Bean pot, 1 serving      200   196  6.0     12.4   ≥ 30.0    ≥ 7.5     ≥ 22.5
powder, at the table       2     6  0.2      0.2  unknown  unknown    unknown
paste, at the table        4     8  0.8      0.2  unknown  unknown    unknown
-----------------------------------------------------------------------------
the plate                206   210  7.0     12.8   ≥ 30.0    ≥ 7.5     ≥ 22.5

{KEY}

Likely range of the plate (9 in 10): net carbs 20–34 g, energy 190–230 kcal
  What would settle most of the net carbs: the label of beans; what its label does not print of paste.

Macro ratios of the plate, from its figures before rounding
{UNKNOWN_RATIOS}

The plate as a US label would round it (21 CFR 101.9(c))
  calories 210, fat 7 g, total carbohydrate unknown, dietary fibre unknown, protein 13 g

Promised of a plate
  at most 40 g net carbs; it has ≥ 22.5 g (likely 20–34 g)

not counted (to taste): salt, pepper
carbs of powder, paste not known; figures with ≥ lack it
fibre of powder, paste not known; figures with ≥ lack it
net carbs of powder, paste not known; figures with ≥ lack it
estimated: powder: 50% of it counted as thrown away; what it leaves in the dish is not known
on the plate: not counted (to taste): salt, pepper
on the plate: carbs of powder, paste not known; figures with ≥ lack it
on the plate: fibre of powder, paste not known; figures with ≥ lack it
on the plate: net carbs of powder, paste not known; figures with ≥ lack it"""


@pytest.fixture
def supper(table: Table) -> Meal:
    table.write("pantry.yaml", PANTRY)
    table.write("pot.yaml", POT)
    return table.meal(SUPPER)


def test_a_dish_from_the_first_line_to_the_last(supper: Meal, table: Table) -> None:
    (pot,) = supper.dishes
    text = dish_text(dish_macros(pot), label=True, spread=False)
    assert text.replace(f"{table.folder}{os.sep}", "") == DISH


def test_a_meal_from_the_first_line_to_the_last(supper: Meal) -> None:
    assert meal_text(meal_macros(supper), label=True) == MEAL
    assert "US label" not in meal_text(meal_macros(supper))


def test_a_dish_as_json_says_what_was_weighed_and_what_was_lost(supper: Meal) -> None:
    out = dish_json(dish_macros(supper.dishes[0]))
    keys = ("name", "food", "amount", "left_in_pan_g", "strained_out_g", "weight_g")
    assert [tuple(i[k] for k in keys) for i in out["ingredients"]] == [
        ("beans", "beans", "600 g", 0, 0, 600),
        ("dripping", "dripping", "40 g", 10, 0, 30),
        ("powder", "powder", "20 g", 0, 10, 10),
        ("paste", "paste", "10 g", 0, 0, 10),
        ("fat", "dripping", "15 g", 0, 0, -15),
    ]


def test_a_meal_as_json_says_how_much_of_what(supper: Meal) -> None:
    out = meal_json(meal_macros(supper))
    assert list(out) == [
        "meal", "basis", "plates", "portions", "extras", "plate", "party", "ratios", "dishes", "unknown", "unconfirmed",
        "estimated",
    ]  # fmt: skip
    assert (out["plates"], [(p["dish"], p["portion"]) for p in out["portions"]]) == (1, [("Bean pot", "1 serving")])
    assert [(e["name"], e["how"], e["weight_g"]) for e in out["extras"]] == [
        ("powder", "at the table", 2),
        ("paste", "at the table", 4),
    ]
    assert out["ratios"] == dict.fromkeys(
        ("fat_g_to_protein_and_net_carbs_g", "fat_g_to_net_carbs_g", "energy_percent")
    )


def bean_dish(table: Table, text: str) -> Dish:
    table.write("pantry.yaml", PANTRY)
    return table.dish(text)


def test_ratios_as_json(table: Table) -> None:
    """300 g of beans: 3 g fat, 24 g protein, 45 g net carbs; 27, 96 and 180 kcal of 303."""
    out = dish_json(dish_macros(bean_dish(table, "dish: B\nservings: 1\ningredients: {beans: 300 g}\n")))
    assert out["ratios"] == {
        "fat_g_to_protein_and_net_carbs_g": 0.043,  # 3 / 69
        "fat_g_to_net_carbs_g": 0.067,  # 3 / 45
        "energy_percent": {"fat": 9, "protein": 32, "net_carbs": 59},  # 8.9, 31.7, 59.4
    }


def test_what_is_lost_is_told_to_a_hundredth_of_a_gram(table: Table) -> None:
    dish = bean_dish(
        table,
        "dish: B\nservings: 1\ncooked_weight: 200 g\ningredients:\n"
        "  beans: {amount: 100.5 g, strained_out: 12.5 %}\n  dripping: {amount: 100.5 g, left_in_pan: 12.5 %}\n",
    )
    beans, dripping = dish_json(dish_macros(dish))["ingredients"]
    assert (beans["strained_out_g"], dripping["left_in_pan_g"]) == (12.56, 12.56)  # 12.5625


@pytest.mark.parametrize(("cooked", "told"), [("601.5 g", True), ("601 g", True), ("600.5 g", False)])
def test_a_gram_that_came_or_went_is_told(table: Table, cooked: str, told: bool) -> None:
    dish = bean_dish(table, f"dish: B\nservings: 1\ncooked_weight: {cooked}\ningredients: {{beans: 600 g}}\n")
    assert ("the difference counts as water" in dish_text(dish_macros(dish))) is told


def test_what_is_lost_altogether_and_what_is_hardly_there(table: Table) -> None:
    dish = bean_dish(
        table,
        "dish: B\nservings: 2\ncooked_weight: 500 g\ningredients:\n  leek: {amount: 100 g, strained_out: all}\n"
        "  beans: 500 g\n  paste: 0.4 g\n  white wine: {amount: 50 g, left_in_pan: half}\n",
    )
    text = dish_text(dish_macros(dish))
    assert "100 g, all of it thrown away " in text
    rows = {line.split("  ")[0]: line.split()[1:] for line in text.split("\n\n")[1].splitlines()}
    assert (rows["leek"][0], rows["paste"][0]) == ("0", "<1")
    key = "Alcohol –: the table has no figure, as for many foods that are not drinks; ≥ is what is known."
    assert key in text.splitlines()


def test_a_dish_of_which_nothing_is_eaten_weighs_nothing(table: Table) -> None:
    dish = bean_dish(table, "dish: B\nservings: 1\ningredients: {leek: {amount: 100 g, strained_out: all}}\n")
    rows = {line.split("  ")[0]: line.split()[-7:] for line in dish_text(dish_macros(dish)).splitlines()[4:7]}
    assert rows["leek"][0] == "0"


def test_a_dish_that_lies_twice_on_a_plate_has_its_notes_once(table: Table) -> None:
    table.write("pantry.yaml", PANTRY)
    table.write("pot.yaml", POT)
    meal = table.meal("meal: M\ndishes: [{dish: pot.yaml}, {dish: pot.yaml, portion: 50 g}]\n")
    assert meal_text(meal_macros(meal)).splitlines().count("not counted (to taste): salt, pepper") == 1


def test_how_each_amount_became_grams(table: Table) -> None:
    """A little trimmed, a spoon of which half stays in the pan, a dish by its serving, and a food about which tables agree."""
    table.write("stock.yaml", "dish: Stock\nservings: 4\ncooked_weight: 1 kg\ningredients: {beans: 300 g}\n")
    dish = bean_dish(
        table,
        "dish: B\nservings: 1\ningredients:\n  celeriac: {amount: 3 g, bought: whole}\n"
        "  olive oil: {amount: 2 tbsp, left_in_pan: half}\n  stock: {amount: 1, dish: stock.yaml}\n  cassava: 50 g\n",
    )
    traced = dish_text(dish_macros(dish)).split("Where the figures are from\n")[1].splitlines()
    columns = [[c.strip() for c in line.strip().split("  ") if c.strip()] for line in traced]
    assert columns[0][:3] == ["celeriac", "3 g", "2.6 g trimmed"]  # 14 % of it is discarded: SR28 11141
    # SR28 04053: 13.5 g a tablespoon
    assert columns[1][:3] == ["olive oil", "2 tbsp", "27 g (1 tablespoon: 13.5 g), 14 g of it left in the pan"]
    assert columns[2][:3] == ["stock", "1 serving", "250 g (1 serving: 250 g)"]
    assert columns[3][-1] == "cassava, USDA SR28 11134"  # 36.26 and 36.3 g in the other table


def test_fat_on_a_label_is_rounded_to_half_a_gram(table: Table) -> None:
    """240 g of beans have 2.4 g fat: 2.5 g, 21 CFR 101.9(c)(2)."""
    dish = bean_dish(table, "dish: B\nservings: 1\ningredients: {beans: 240 g}\n")
    assert "  calories 240, fat 2.5 g, total carbohydrate 48 g, dietary fibre 12 g, protein 19 g\n" in dish_text(
        dish_macros(dish), label=True
    )


def test_two_foods_about_which_tables_differ_are_both_named(table: Table) -> None:
    text = dish_text(dish_macros(bean_dish(table, "dish: B\nservings: 1\ningredients: {leek: 90 g, celeriac: 90 g}\n")))
    assert "\n\nNet carbs of a serving: " in text
    assert "\n  Tables differ about leek, celeriac.\n\nLikely range" in text


# --- a serving beside others ---------------------------------------------------------------------------------------------


def two_soups(table: Table, first: str, second: str = "{dish: b.yaml}") -> Meal:
    """100.4 g of beans are 100.4 kcal, and twice that 200.8: 100 and 100 beside the plate's 201."""
    table.write("pantry.yaml", PANTRY)
    for name in "ab":
        table.write(
            f"{name}.yaml", f"dish: Soup {name}\nservings: 2\ncooked_weight: 200 g\ningredients: {{beans: 200.8 g}}\n"
        )
    return table.meal(f"meal: M\ndishes: [{first}, {second}]\n")


def kcal(meal: Meal, number: int, basis: Basis = Basis.US) -> str:
    macros = meal_macros(meal)
    return printed_serving(dish_macros(meal.dishes[number]), macros, basis).text("energy_kcal")


def test_a_serving_has_one_figure_alone_and_among_the_plates_parts(table: Table) -> None:
    meal = two_soups(table, "{dish: a.yaml}")
    assert (kcal(meal, 0), kcal(meal, 1)) == ("100", "100")
    assert printed_plate(meal_macros(meal)).whole.text("energy_kcal") == "201"
    assert "rounded by itself" in meal_text(meal_macros(meal))
    alone = dish_macros(meal.dishes[0])
    assert printed_serving(alone).text("energy_kcal") == "100"
    text = dish_text(alone, beside=meal_macros(meal))
    assert next(line for line in text.splitlines() if line.startswith("serving (1 of 2)")).split()[4:6] == [
        "100",
        "100",
    ]


def test_a_portion_that_is_no_serving_leaves_the_serving_alone(table: Table) -> None:
    """99.5 g on the plate are not the serving of 100 g."""
    meal = two_soups(table, "{dish: a.yaml, portion: 99.5 g}")
    a = dish_macros(meal.dishes[0])
    assert printed_serving(a, meal_macros(meal)) == print_one(a.serving)


def test_a_serving_on_a_plate_is_on_the_basis_that_is_asked_for(table: Table) -> None:
    meal = two_soups(table, "{dish: a.yaml}")
    printed = printed_serving(dish_macros(meal.dishes[0]), meal_macros(meal), Basis.EU)
    assert printed.text("carbohydrate_g") == printed.text("net_carbs_g")  # without the fibre, and no polyols
