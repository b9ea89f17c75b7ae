"""A kitchen's own measures: `measures:` of a dish, a meal or the pantry."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.amounts import Amount, Cups, NotAnAmount, folded, parse_amount
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.portions import portion_of
from scriptkit.recipe.reader import Reading
from scriptkit.recipe.user_measures import own_measures
from scriptkit.recipe.yamltree import parse_tree

STEPS = "steps:\n  - {stage: cook, do: Stir., add: {water: all}, screen: 14 s}\n"


def broth(amount: str, more: str = "", name: str = "Quay broth") -> str:
    return f"dish: {name}\nservings: 2\ncooked_weight: 800 g\n{more}ingredients:\n  water: {amount}\n{STEPS}"


def water_ml(dish: Dish) -> float:
    amount = dish.ingredients[0].amount
    assert amount is not None
    return amount.millilitres


def measures_of(text: str, cups: Cups = Cups.US) -> dict[str, Amount | None]:
    tree = parse_tree(text, "dish.yaml")
    found, problems = own_measures(tree.data["measures"], tree, cups, {})
    assert problems == []
    return dict(found)


@pytest.mark.parametrize("written", ["2 ladles", "2 ladle", "2 Ladles", "2 LADLE", "2 ladles.", "2ladles"])
def test_one_and_several_in_any_case(written: str, table: Table) -> None:
    assert water_ml(table.dish(broth(written, "measures: {ladle: 80 ml}\n"))) == 160


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("louche à soupe", "2 louche a soupe"),
        ("louche a soupe", "2 Louches à soupe"),
        ("soup-ladle", "2 soup ladles"),
        ("soup ladle", "2 Soup-Ladles"),
        ("ladles", "2 ladle"),
        ("box", "2 boxes"),
        ("dish's ladle", "2 dish's ladle"),
    ],
)
def test_accents_hyphens_and_plurals(name: str, written: str) -> None:
    own = measures_of(f'measures: {{"{name}": 80 ml}}')
    if "Louches" in written:  # only the last word of a name has a plural
        with pytest.raises(NotAnAmount):
            parse_amount(written, own=own)
        return
    assert parse_amount(written, own=own) == Amount(Fraction(160), "millilitre")


def test_the_longest_name_is_meant() -> None:
    own = measures_of("measures: {ladle: 80 ml, ladle of stock: 100 ml, large scoop: 45 g}")
    assert parse_amount("1 ladle", own=own) == parse_amount("80 ml")
    assert parse_amount("1 ladle of stock", own=own) == parse_amount("100 ml")
    assert parse_amount("2 large scoops", own=own) == parse_amount("90 g")
    assert parse_amount("2 large", own=own) == Amount(Fraction(2), "large")
    with pytest.raises(NotAnAmount, match="“of cream” is left over") as wrong:
        parse_amount("1 ladle of cream", own=own)
    assert "write `1 ladle`" in wrong.value.hint


def test_a_measure_without_its_number_is_told_with_one() -> None:
    own = measures_of("measures: {ladle: 80 ml}")
    with pytest.raises(NotAnAmount) as wrong:
        parse_amount("a ladle", own=own)
    assert wrong.value.hint == "write `1 ladle`"


def test_a_measure_may_be_defined_by_another_in_any_order() -> None:
    own = measures_of("measures: {bowl: 3 ladles, vat: 10 bowls, ladle: 80 ml, tray: 2 half trays, half trays: 6}")
    assert own["vat"] == Amount(Fraction(2400), "millilitre")
    assert own["tray"] == Amount(Fraction(12), "piece")


def test_cups_of_a_measure_are_those_of_its_file() -> None:
    assert measures_of("measures: {mug: 1 1/2 cups}", Cups.METRIC)["mug"] == Amount(Fraction(3, 2), "metric_cup")


def test_a_unit_that_means_two_things_may_be_settled() -> None:
    assert measures_of("measures: {pint: 568 ml}")["pints"] == Amount(Fraction(1), "imperial_pint")
    assert measures_of("measures: {gill: 118 ml}")["gill"] == Amount(Fraction(1), "us_gill")


def test_a_known_unit_that_says_the_same_stays_what_it_is() -> None:
    assert measures_of("measures: {cup: 237 ml}")["cup"] == Amount(Fraction(1), "cup")
    assert measures_of("measures: {tbsp: 15 ml}", Cups.METRIC)["tbsp"] == Amount(Fraction(1), "metric_tablespoon")


def test_the_dish_goes_before_the_pantry(table: Table) -> None:
    table.write("pantry.yaml", "measures: {ladle: 80 ml, scoop: 30 ml}\n")
    assert water_ml(table.dish(broth("2 ladles"))) == 160
    assert water_ml(table.dish(broth("2 ladles", "measures: {ladle: 100 ml}\n"))) == 200
    assert water_ml(table.dish(broth("2 scoops", "measures: {ladle: 1 scoop}\n"))) == 60
    assert water_ml(table.dish(broth("2 ladles", "measures: {Ladle: 4 scoops}\n"))) == 240


MEAL = "meal: Quay supper\ndishes:\n  - {{dish: one.yaml, portion: {portion}}}\n{more}at_table: {{water: 1 ladle}}\n"


def meal_of(table: Table, dish_more: str, meal_more: str, portion: str = "1 serving") -> Meal:
    table.write("one.yaml", broth("2 ladles", f"cooked_volume: 800 ml\n{dish_more}"))
    return table.meal(MEAL.format(portion=portion, more=meal_more))


def test_a_dish_in_a_meal_keeps_its_own_and_the_meal_has_its_own(table: Table) -> None:
    table.write("pantry.yaml", "measures: {ladle: 80 ml}\n")
    for dish_ml, meal_ml in ((None, None), (100, None), (None, 50), (100, 50)):
        dish_more = f"measures: {{ladle: {dish_ml} ml}}\n" if dish_ml else ""
        meal_more = f"measures: {{ladle: {meal_ml} ml}}\n" if meal_ml else ""
        meal = meal_of(table, dish_more, meal_more, "2 ladles")
        assert water_ml(meal.dishes[0]) == 2 * (dish_ml or 80)
        at_table = meal.extras[0].ingredient.amount
        assert at_table is not None
        assert at_table.millilitres == (meal_ml or 80)


@pytest.mark.parametrize(
    ("pantry_ml", "dish_ml", "meal_ml", "grams"),
    [(80, None, None, 160), (80, 100, None, 200), (80, 100, 50, 100), (None, 100, 50, 100), (None, 100, None, 200)],
)
def test_a_portion_is_by_the_meals_measure_then_the_dishs_then_the_pantrys(
    pantry_ml: int | None, dish_ml: int | None, meal_ml: int | None, grams: float, table: Table
) -> None:
    if pantry_ml:
        table.write("pantry.yaml", f"measures: {{ladle: {pantry_ml} ml}}\n")
    dish_more = f"measures: {{ladle: {dish_ml} ml}}\n" if dish_ml else ""
    meal_more = f"measures: {{ladle: {meal_ml} ml}}\n" if meal_ml else ""
    table.write("one.yaml", broth("2 ladles", f"cooked_volume: 800 ml\n{dish_more}"))
    meal = table.meal(
        f"meal: Quay supper\ndishes:\n  - {{dish: one.yaml, portion: 2 ladles, step: 1 ladle}}\n{meal_more}"
    )
    assert meal.portions[0].grams == pytest.approx(grams)
    assert meal.portions[0].step_g == pytest.approx(grams / 2)


def test_a_portion_named_outside_the_file_is_by_the_dishs(table: Table) -> None:
    dish = table.dish(broth("2 ladles", "measures: {ladle: 80 ml}\ncooked_volume: 800 ml\n"))
    assert portion_of("2 ladles", dish, "--portion") == (160.0, [])


def test_a_labels_household_weight_may_be_by_an_own_measure(table: Table) -> None:
    label = (
        "{basis: eu, energy_kcal: 46, fat_g: 1, protein_g: 1, carbohydrate_g: 6, fibre_g: 1, household: {ladle: 90 g}}"
    )
    table.write("pantry.yaml", f"measures: {{ladle: 80 ml}}\nfoods:\n  water: {label}\n")
    dish = table.dish(broth("2 ladles", "measures: {ladle: 100 ml}\n"))
    assert dish.ingredients[0].grams == pytest.approx(225)  # by the pantry's ladle, in which it was weighed


def test_macros_are_those_of_what_it_holds(table: Table) -> None:
    text = (
        "dish: Butter\nservings: 1\ncooked_weight: 60 g\nmeasures: {scoop: 30 g}\n"
        "ingredients:\n  butter: {amount: AMOUNT, food: 'butter, unsalted'}\n" + STEPS.replace("water", "butter")
    )
    plain = dish_macros(table.dish(text.replace("AMOUNT", "60 g")))
    own = dish_macros(table.dish(text.replace("AMOUNT", "2 scoops")))
    assert plain.batch.figure("fat_g")
    assert own.batch == plain.batch


def test_what_is_wrong_in_the_pantry_is_told_there_once_and_nothing_is_computed_from_it(table: Table) -> None:
    table.write("pantry.yaml", "measures:\n  ladle: a bit\n")
    reading = table.read(broth("2 ladles"))
    (problem,) = [p for p in reading.problems if p.code == "measure"]
    assert (problem.place.file.rpartition("/")[2], problem.place.line, problem.place.column) == ("pantry.yaml", 2, 10)
    assert isinstance(reading.source, Dish)
    assert reading.source.ingredients[0].grams is None
    assert not reading.source.ingredients[0].readable
    assert [p for p in reading.problems if p.code in ("unit", "amount")] == []


def test_a_misspelt_key_is_told_and_read_as_it_was_meant(table: Table) -> None:
    reading = table.read(broth("2 ladles", "mesures: {ladle: 80 ml}\n"))
    assert "did you mean `measures`?" in [p.hint for p in reading.problems]
    assert isinstance(reading.source, Dish)
    assert water_ml(reading.source) == 160


def test_a_pantry_of_measures_alone_is_one(table: Table) -> None:
    table.write("pantry.yaml", "measures: {ladle: 80 ml}\n")
    assert table.read(broth("10 ladles")).problems == []


NAMES = st.text(st.sampled_from("abcdéö -'"), min_size=1, max_size=8)
VALUES = st.one_of(
    st.sampled_from(["80 ml", "30 g", "2", "5 cm", "3 min", "a bit", "0 g", "9 kg", "1 pint", "1 gill", "1-2 cups"]),
    st.builds("{} {}".format, st.integers(1, 9), NAMES),
)


@given(st.dictionaries(NAMES, VALUES, max_size=6))
def test_any_measures_are_read_or_told_and_never_both(written: dict[str, str]) -> None:
    tree = parse_tree("measures: {}", "dish.yaml")
    found, problems = own_measures(written, tree, Cups.US, {})
    assert all(p.code == "measure" and p.message and p.hint for p in problems)
    for one in found.values():
        assert one is None or one.value > 0
    if not problems:
        assert {folded(name) for name in written} <= set(found)
        assert None not in found.values()
    if None in found.values():
        assert problems


CANS = """
    dish: Beans
    UNITS
    servings: 2
    ingredients: {beans: {amount: 2 cans, food: FOOD}}
    foods: {harbour beans: {basis: us, energy_kcal: 110HOLDS}}
    steps: [{stage: cook, do: Warm the beans., add: beans, vessel: pan}]
"""


@pytest.mark.parametrize(("units", "one"), [("units: us", "15 oz"), ("", "400 g")])
def test_what_a_can_weighs_is_told_as_the_cook_would_write_it_and_works_when_it_is_copied(
    table: Table, units: str, one: str
) -> None:
    def read(food: str, holds: str = "", amount: str = "2 cans", more: str = "") -> Reading:
        text = CANS.replace("UNITS", f"{units}\n    {more}" if more else units or "promise: Beans.")
        return table.read(text.replace("FOOD", food).replace("HOLDS", holds).replace("2 cans", amount))

    (own,) = (p for p in read("harbour beans").problems if p.severity == "error")
    assert own.code == "no-weight"
    holds = re.findall(r"`(household: [^`]*)`", own.hint)
    assert holds == [f"household: {{can: {one}}}"]
    assert [i.grams for i in read("harbour beans", f", {holds[0]}").usable().ingredients] == [
        pytest.approx(2 * parse_amount(one).grams)
    ]
    (of_the_table,) = (p for p in read("leek").problems if p.severity == "error")
    measures, amount = re.findall(r"`([^`]*)`", of_the_table.hint)[-2:]
    assert measures == f"measures: {{my can: {one}}}"
    assert not [p for p in read("leek", amount=amount, more=measures).problems if p.severity == "error"]


def test_a_can_under_measures_is_sent_to_the_food_that_it_is_of(table: Table) -> None:
    reading = table.read(
        CANS.replace("UNITS", "measures: {can: 15 oz}").replace("FOOD", "harbour beans").replace("HOLDS", "")
    )
    (told,) = (p for p in reading.problems if p.code == "measure")
    assert (
        told.hint
        == "call it something else, such as `my can`, or write `household: {can: 15 oz}` with the food that it is of, under `foods:`"
    )
