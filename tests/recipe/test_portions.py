"""Portions of a meal, what is left in the pan, and what is poured over again: in grams, or told at their place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table

CHOPS = """
    dish: Harbour chops
    servings: 2
    {weight}
    ingredients:
      chops: {{amount: 400 g, food: "{food}", prep: boneless{bought}}}
      olive oil: 20 g
    steps: [{{stage: cook, do: Grill the chops., add: [olive oil, chops], hands: 10 min}}]
"""


def chops(weight: str = "", food: str = "pork loin chop", bought: str = "") -> str:
    return CHOPS.format(weight=weight, food=food, bought=bought)


def grams(table: Table, portion: str, dish: str) -> float:
    table.write("chops.yaml", dish)
    (one,) = table.meal(f"meal: M\ndishes: [{{dish: chops.yaml, {portion}}}]\n").portions
    return one.grams


@pytest.mark.parametrize(
    ("portion", "expected"),
    [
        ("portion: 1 serving", 150),
        ("portion: 1/2 serving", 75),
        ("portion: 1 1/2 servings", 225),
        ("portion: serving", 150),
        ("portion: 120 g", 120),
        ("portion: 4 oz", 113.398),
        ("portion: 1 cup", 300 * 236.5882365 / 400),
        ("portion: 100 ml", 75),
        ("raw: 200 g", 150),  # half the chops, with half of what is in the pan
        ("raw: 100 g", 75),
        ("raw: 220 g, cooked_share: 0.7", 154),
    ],
)
def test_a_portion_in_grams_of_a_batch_that_was_weighed(table: Table, portion: str, expected: float) -> None:
    weighed = chops("{cooked_weight: 300 g, cooked_volume: 400 ml}"[1:-1].replace(", ", "\n    "))
    assert grams(table, portion, weighed) == pytest.approx(expected, rel=1e-4)


def test_a_cup_is_the_dishs_own(table: Table) -> None:
    metric = chops("cooked_weight: 300 g\n    cooked_volume: 400 ml\n    cups: metric")
    assert grams(table, "portion: 1 cup", metric) == pytest.approx(300 * 250 / 400)


@pytest.mark.parametrize(
    ("food", "raw", "expected", "by"),
    [
        # Published, USDA SR28 10036 and 10038: 157 ÷ 199 of the raw weight
        ("pork loin chop", "raw: 200 g", (400 * 0.789 + 20) / 2, "0.79 of its raw weight (grill; USDA SR28 10036+10038)"),
        ("pork loin chop", "raw: 200 g, cooked_share: 0.7", (400 * 0.7 + 20) / 2, "0.7 of its raw weight, as the meal says"),
        ("rabbit", "raw: 200 g", (400 * 0.690 + 20) / 2, "0.69 of its raw weight (roast, the nearest published to grill; USDA SR28 17178)"),
    ],
)  # fmt: skip
def test_a_raw_piece_of_a_batch_that_nobody_weighed(
    table: Table, food: str, raw: str, expected: float, by: str | None
) -> None:
    table.write("chops.yaml", chops(food=food))
    (one,) = table.meal(f"meal: M\ndishes: [{{dish: chops.yaml, {raw}}}]\n").portions
    assert one.grams == pytest.approx(expected)
    assert one.dish.cooked_estimated
    assert [by in words for words in one.dish.cooked_by] == ([True] if by else [])  # type: ignore[operator]


def test_a_raw_piece_with_its_bone_is_weighed_as_it_was_bought(table: Table) -> None:
    bone_in = chops("cooked_weight: 300 g", "pork loin, bone-in", ", bought: whole")
    assert grams(table, "raw: 200 g", bone_in) == pytest.approx(150)
    assert grams(table, "raw: 156 g", chops("cooked_weight: 300 g", "pork loin, bone-in")) == pytest.approx(117)


def test_the_piece_is_the_fish_and_not_the_stock_that_it_is_poached_in(table: Table) -> None:
    dish = """
        dish: Poached hake
        servings: 2
        cooked_weight: 300 g
        ingredients: {stock: {amount: 1 l, food: "fish stock, homemade", strained_out: half}, potatoes: {amount: 600 g, food: potato}, hake: 340 g}
    """
    assert grams(table, "raw: 170 g", dish) == pytest.approx(150)


@settings(max_examples=40)
@given(share=st.integers(20, 200), raw=st.integers(20, 900))
def test_whatever_the_yield_a_raw_piece_is_its_share_of_the_pan(
    share: int, raw: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("raw")
    (folder / "chops.yaml").write_text("dish: C\nservings: 3\ningredients: {rabbit: 900 g}\n", encoding="utf-8")
    path = folder / "meal.yaml"
    path.write_text(
        f"meal: M\ndishes: [{{dish: chops.yaml, raw: {raw} g, cooked_share: {share / 100}}}]\n", encoding="utf-8"
    )
    meal = read_source(str(path)).usable()
    assert isinstance(meal, Meal)
    (one,) = meal.portions
    assert one.grams == pytest.approx(raw * share / 100)
    assert one.grams / one.dish.cooked_g == pytest.approx(raw / 900)  # of the macros, its share
    assert one.dish.serving_g == pytest.approx(one.dish.cooked_g / 3)


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("{dish: chops.yaml, portion: 1 cup}", [(2, 38, "portion")]),
        ("{dish: chops.yaml, portion: 2 medium}", [(2, 38, "portion")]),
        ("{dish: chops.yaml, portion: 3 mugs}", [(2, 38, "unit")]),
        ("{dish: chops.yaml, portion: 0 g}", [(2, 38, "amount")]),
        ("{dish: chops.yaml, portion: 100 g, raw: 200 g}", [(2, 29, "portion")]),
        ("{dish: chops.yaml, cooked_share: 0.7}", [(2, 29, "portion")]),
        ("{dish: chops.yaml, raw: 2 cups}", [(2, 34, "amount")]),
        ("{dish: chops.yaml, raw: 100 g, cooked_share: 7}", [(2, 55, "wrong-value")]),
        ("{dish: chops.yaml, raw: 100 g, cooked_share: 0.7}, {dish: chops.yaml, raw: 100 g, cooked_share: 0.8}", [(2, 106, "cooked-share")]),
        ("{dish: salt.yaml}", [(2, 10, "portion")]),
        ("{dish: salt.yaml, portion: 30 g}", [(2, 37, "portion")]),
        ("{dish: salt.yaml, raw: 30 g}", [(2, 33, "portion")]),
        ("{dish: chops.yaml, portion: 5 kg}", [(2, 38, "portion")]),  # more than the batch: a slipped unit
        ("{dish: no.yaml}", [(2, 17, "dish-file")]),
    ],
)  # fmt: skip
def test_a_portion_that_cannot_be_told(table: Table, text: str, problems: list[tuple[int, int, str]]) -> None:
    table.write("chops.yaml", chops())
    table.write("salt.yaml", "dish: Salt\nservings: 1\ningredients: {salt: to taste}\n")
    reading = table.read(f"meal: M\ndishes: [{text}]\nplates: 1\n", "meal.yaml")
    assert [(p.place.line, p.place.column, p.code) for p in reading.problems] == problems
    assert all(p.place.file.endswith("meal.yaml") and p.message and p.hint for p in reading.problems)


def test_plates_that_take_more_than_there_is(table: Table) -> None:
    table.write("chops.yaml", chops("cooked_weight: 300 g"))
    text = "meal: M\nplates: {}\ndishes: [{{dish: chops.yaml}}, {{dish: chops.yaml, portion: 20 g}}]\n"
    assert table.read(text.format(1), "meal.yaml").problems == []
    (problem,) = table.read(text.format(4), "meal.yaml").problems
    assert problem.message == "4 plates take 680 g of Harbour chops, the batch is 300 g"


# --- what is not eaten, and what is poured over again --------------------------------------------------------------------


def lost(table: Table, words: str) -> tuple[float, float]:
    dish = table.dish(f"dish: D\nservings: 1\ningredients: {{olive oil: {{amount: 2 tbsp, {words}}}}}\n")
    return dish.ingredients[0].left_share, dish.ingredients[0].strained_share


@pytest.mark.parametrize(
    ("words", "shares"),
    [
        ("left_in_pan: 27 g", (1, 0)),  # SR28 04053: a tablespoon of oil is 13.5 g
        ("left_in_pan: 5.4 g", (0.2, 0)),
        ("left_in_pan: 25 %", (0.25, 0)),
        ("left_in_pan: 25%", (0.25, 0)),
        ("left_in_pan: 12.5 percent", (0.125, 0)),
        ("left_in_pan: half", (0.5, 0)),
        ("left_in_pan: A Third", (1 / 3, 0)),
        ("left_in_pan: 1 tbsp", (0.5, 0)),
        ("strained_out: all", (0, 1)),
        ("left_in_pan: 5.4 g, strained_out: half", (0.2, 0.5)),
    ],
)
def test_what_of_an_ingredient_is_not_eaten(table: Table, words: str, shares: tuple[float, float]) -> None:
    assert lost(table, words) == pytest.approx(shares)


@pytest.mark.parametrize(
    ("words", "column", "code"),
    [
        ("left_in_pan: 30 g", 56, "parts"),
        ("left_in_pan: 101 %", 56, "parts"),
        ("left_in_pan: -5 %", 56, "amount"),
        ("left_in_pan: about half", 56, "amount"),
        ("left_in_pan: 5 g %", 56, "amount"),
        ("left_in_pan: 1 medium", 56, "no-weight"),
        ("left_in_pan: half, strained_out: 60 %", 76, "parts"),
    ],
)
def test_a_loss_that_cannot_be_told(table: Table, words: str, column: int, code: str) -> None:
    reading = table.read(f"dish: D\nservings: 1\ningredients: {{olive oil: {{amount: 2 tbsp, {words}}}}}\n")
    assert [(p.place.line, p.place.column, p.code) for p in reading.problems] == [(3, column, code)]
    assert reading.problems[0].hint


@pytest.mark.parametrize(
    ("words", "column", "code"),
    [
        ("to taste", 26, "amount"),
        ("{amount: 10 g, food: lard, left_in_pan: half}", 53, "left-in-pan"),
        ("{amount: 10 g, dish: a.yaml}", 41, "left-in-pan"),
        ("{amount: 10 g, food: pan juices}", 47, "unknown-food"),
    ],
)
def test_drippings_that_cannot_be_told(table: Table, words: str, column: int, code: str) -> None:
    text = f"dish: D\nservings: 1\ningredients: {{rabbit: 400 g}}\nleft_in_pan: {{drippings: {words}}}\n"
    found = [(p.place.line, p.place.column, p.code) for p in table.read(text).problems]
    assert (4, column, code) in found


def test_what_is_poured_over_goes_by_its_name_in_the_dish(table: Table) -> None:
    table.write("chops.yaml", chops("left_in_pan: {drippings: {amount: 30 g, food: lard}}"))
    text = "meal: M\nplates: 2\ndishes: [{{dish: chops.yaml, poured_over: {{drippings: {} g, olive oil: 1 tsp}}}}]\n"
    meal = table.meal(text.format(15))
    assert [e.ingredient.food.name for e in meal.extras] == ["lard", "olive oil"]
    reading = table.read(text.format(20), "meal.yaml")
    assert [p.message for p in reading.problems] == [
        "20 g a plate for 2 plates: more drippings than the 30 g left in the pan of Harbour chops"
    ]
    assert reading.problems[0].hint == "15 g a plate is all of it"


def test_what_lies_on_the_plate_is_eaten(table: Table) -> None:
    table.write("chops.yaml", chops())
    text = "meal: M\ndishes: [{dish: chops.yaml}]\nat_table: {leek: {amount: 20 g, left_in_pan: half}}\n"
    assert [(p.place.line, p.place.column, p.code) for p in table.read(text, "meal.yaml").problems] == [
        (3, 33, "left-in-pan")
    ]


@pytest.mark.parametrize(
    ("step", "expected", "measure"),
    [
        ("20 g", 20, None),
        ("1/2 serving", 75, "½ serving"),
        ("1/4 cup", 300 / 4 * 236.5882365 / 400, "¼ cup"),
        ("1/2 chop", 75, "½ chop"),
    ],
)
def test_the_steps_of_a_portion_as_a_cook_measures_them(
    table: Table, step: str, expected: float, measure: str | None
) -> None:
    table.write("chops.yaml", COUNTED)
    (one,) = table.meal(
        f"meal: M\ndishes: [{{dish: chops.yaml, step: {step}, least: {step}, most: 2 servings}}]\n"
    ).portions
    assert one.step_g == one.least_g == pytest.approx(expected)
    assert one.most_g == pytest.approx(300)
    assert (None if one.step is None else str(one.step)) == measure


COUNTED = """
    dish: Chops
    servings: 2
    cooked_weight: 300 g
    cooked_volume: 400 ml
    ingredients: {chops: {amount: 2 chops, food: pork loin chop}, oil: {amount: 10 g, food: olive oil}}
"""


def test_pieces_that_the_dish_is_not_made_of_weigh_nothing_known(table: Table) -> None:
    table.write("chops.yaml", COUNTED)
    told = table.read("meal: M\ndishes: [{dish: chops.yaml, step: 1 fillet}]\n", "meal.yaml").problems
    assert [(p.code, "1 fillet" in p.message) for p in told if p.severity == "error"] == [("portion", True)]


def test_plates_that_are_not_written_are_told_with_what_the_dishes_make(table: Table) -> None:
    table.write("chops.yaml", chops())
    meal = "meal: M\n{plates}dishes: [{{dish: chops.yaml, portion: 1 serving}}]\n"
    [one] = [p for p in table.read(meal.format(plates="")).problems if p.code == "plates"]
    assert "`plates: 2`" in one.hint
    assert not [p for p in table.read(meal.format(plates="plates: 2\n")).problems if p.code == "plates"]
