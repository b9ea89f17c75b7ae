"""One spoken line against the recipe: amounts, times and temperatures, and talk that claims nothing."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import SUPPER, leeks_in_butter, said, wrong

from scriptkit.cut.claims.claim import AMOUNT
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.plan import dishes_of

leeks = pytest.fixture(leeks_in_butter)


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("sixty grams of butter", True),
        ("the butter, sixty grams", True),
        ("butter: 60 g", True),
        ("the butter here, about sixty grams", True),
        ("then the butter, and you want ninety grams of it", False),
        ("I'm adding butter now ninety grams", False),
        ("butter and flour, ninety grams", None),
        ("about sixty five grams of butter", True),
        ("fifty to seventy grams of butter", True),
        ("three ounces of butter", False),
        ("two point one ounces of butter", True),
        ("four tablespoons of butter", True),
        ("a quarter of a cup of butter", True),
        ("half a cup of the unsalted butter", False),
        ("a stick of butter", False),
        ("two kilos of leeks", True),
        ("four and a half pounds of leeks", True),
        ("a knob of butter", False),
        ("a couple of knobs of butter", True),
        ("three knobs of butter", True),
        ("two or three knobs of butter", True),
        ("nine knobs of butter", False),
        ("bake at 200 degrees", True),
        ("the oven at four hundred Fahrenheit", True),
        ("preheat the oven to four hundred", True),
        ("the oven at three fifty degrees Fahrenheit", False),
        ("the oven is at one hundred and eighty Celsius", False),
        ("soften them for eight minutes", True),
        ("soften them for seven to nine minutes", True),
        ("soften them for about nine minutes", True),
        ("soften them for twelve minutes", False),
        ("soften them for three quarters of an hour", False),
        ("soften them for two minutes", False),
        ("soften them for half a minute", None),
        ("soften them for at least eight minutes", True),
        ("soften them for at least ten minutes", False),
        ("soften them for at most ten minutes", True),
        ("soften them for no more than five minutes", False),
        ("they soften in less than nine minutes", True),
        ("the leek at sixty degrees Celsius", None),
    ],
)
def test_a_line_against_the_recipe(leeks: Dish, line: str, agrees: bool | None) -> None:
    claims = said(leeks, "soften", line)
    assert [c.agrees for c in claims] == ([] if agrees is None else [agrees])


@pytest.mark.parametrize(
    "line",
    [
        "give me a minute and I'll soften the light",
        "ten seconds on the clock and we're off",
        "stir it every two minutes while it softens",
        "after the first five minutes of softening",
        "ten grams each of butter and joy",
        "half the butter first",
        "half of the leek",
        "three times as much butter would be too much",
        "turn it ninety degrees",
        "the fridge is at four degrees",
        "it's thirty degrees in this kitchen",
        "the two litre pot for butter",
        "I've made this a hundred times",
        "twenty years of leeks",
        "chapter four, the butter",
        "cut it into five millimetre slices of leek",
        "one of the leeks",
        "no butter at all",
        "zero grams of butter",
        "eine Minute und zwei Löffel Butter",
    ],
)
def test_talk_that_claims_nothing_is_no_difference(leeks: Dish, line: str) -> None:
    assert wrong(said(leeks, "soften", line)) == []


@pytest.mark.parametrize(
    "line", ["the fridge is at four degrees", "turn the pan ninety degrees", "it's thirty degrees in this kitchen"]
)
def test_a_temperature_of_something_else_is_no_claim_about_the_fish(line: str) -> None:
    assert said(SUPPER, "turn-hake", line) == ()


@pytest.mark.parametrize(
    ("line", "off"),
    [("a knob of butter", True), ("a splash of stock", True), ("a glug of cream", True), ("a pinch of salt", False)],
)
def test_a_vague_measure_is_wrong_only_where_it_is_far_off(line: str, off: bool) -> None:
    bisque = dishes_of(SUPPER)[0]
    step = {"butter": "soften-fennel", "stock": "simmer", "cream": "finish", "salt": "finish"}[line.rpartition(" ")[2]]
    found = wrong(said(bisque, step, line))
    assert (found != []) is (off and "butter" not in line)  # a knob may well be two tablespoons


def test_an_amount_where_it_goes_in_to_taste_is_not_held_against_another_step() -> None:
    assert wrong(said(SUPPER, "finish", "and a good pinch of salt", "or two tablespoons of salt")) == []
    assert wrong(said(SUPPER, "dry-hake", "and two tablespoons of salt")) != []


def test_an_amount_of_what_is_to_taste_is_held_against_nothing(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: to taste, salt: to taste}
        steps: [{stage: cook, do: Soften., add: {leek: all, salt: all}}]
    """)
    (claim,) = said(dish, "step-1", "a teaspoon of salt goes in")
    assert (claim.kind, claim.agrees, claim.recipe) == (AMOUNT, None, "")


def test_the_total_of_an_ingredient_may_be_said_at_any_step() -> None:
    bisque = dishes_of(SUPPER)[0]
    for line in (
        "three tablespoons of butter in all",
        "seven hundred grams of celeriac as you buy it",
        "600 g of celeriac",
    ):
        assert [c.agrees for c in said(bisque, "soften-fennel", line)] == [True], line


def test_the_same_amount_is_right_at_its_own_step_and_wrong_at_another() -> None:
    bisque = dishes_of(SUPPER)[0]
    assert wrong(said(bisque, "soften-fennel", "two tablespoons of butter")) == []
    (claim,) = wrong(said(bisque, "finish", "and the last two tablespoons of butter"))
    assert claim.recipe == "14 g (1 tbsp) goes in at step 7 (finish)"


@pytest.mark.parametrize(
    ("step", "line"),
    [
        ("finish", "season the potatoes and cook them for fifteen minutes"),
        ("turn-hake", "the oven is preheated to two hundred"),
        ("plate-bisque", "this one has half the fat of the other"),
        ("plate-bisque", "as seen on channel net five"),
    ],
)
def test_talk_of_other_dishes_is_no_difference(step: str, line: str) -> None:
    assert wrong(said(SUPPER, step, line)) == []


@pytest.mark.parametrize(
    ("line", "agrees"), [("crack one egg", []), ("crack two eggs", [True]), ("crack three eggs", [False])]
)
def test_one_of_several_is_no_claim_about_how_many(table: Table, line: str, agrees: list[bool]) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g, egg: 2 medium}
        steps: [{id: beat, stage: cook, do: Beat the eggs into it., add: [leek, egg], vessel: pan, screen: 9 s}]
    """)
    assert [c.agrees for c in said(dish, "beat", line)] == agrees


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("soften them for eight minutes", "verified"),
        ("soften them for at least eight minutes", "verified"),
        ("soften them for at least four minutes", "listen"),
        ("they soften in less than twenty minutes", "listen"),
    ],
)
def test_a_bound_is_verified_only_where_it_is_the_recipes_own(leeks: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(leeks, "soften", line)] == [verdict]


BRAISE = """
    dish: Braised beans
    servings: 4
    ingredients:
      beans: {amount: 500 g, food: "chickpeas, cooked"}
      chicken: {amount: 1 kg, food: chicken leg}
      oil: {amount: 2 tbsp, food: olive oil}
    steps:
      - {id: brown, stage: cook, do: "Brown the chicken, three minutes per side.", add: {oil: all, chicken: all}, vessel: pot, hands: 6 min, screen: 9 s}
      - {id: braise, stage: cook, do: Braise the beans with it., add: {beans: all}, vessel: pot, hands: 2 min, wait: 30 min, screen: 9 s}
"""


@pytest.fixture
def braise(table: Table) -> Dish:
    return table.dish(BRAISE)


@pytest.mark.parametrize(
    ("step", "line", "verdict"),
    [
        ("braise", "braise it for thirty minutes", "verified"),
        ("braise", "braise it for half an hour", "verified"),
        ("braise", "braise it for an hour", "differs"),
        ("braise", "braise it for two minutes", "listen"),
        ("braise", "stir for two minutes, then braise it for thirty minutes", "verified"),
        ("brown", "brown it for three minutes per side", "verified"),
        ("brown", "brown it for six minutes per side", "listen"),
        ("braise", "five hundred grams of chickpeas", "verified"),
        (
            "brown",
            "and that is about two hundred and two tablespoons of oil",
            "verified",
        ),  # two figures without their stop
        ("brown", "and that is about two hundred and five tablespoons of oil", "differs"),
        ("braise", "two hundred grams of chickpeas", "differs"),
        ("braise", "two hundred grams of dried chickpeas", "listen"),
        ("brown", "one kilo of chicken", "verified"),
    ],
)
def test_what_is_said_of_another_thing_of_the_step_is_not_verified(
    braise: Dish, step: str, line: str, verdict: str
) -> None:
    """The minutes of the hands, a side, dried beans for cooked ones, pieces of what is weighed; and an hour is no half an hour."""
    assert {c.verdict for c in said(braise, step, line)} == {verdict}


def test_pieces_of_what_is_weighed_are_no_weight(braise: Dish) -> None:
    assert wrong(said(braise, "brown", "eight pieces of chicken")) == []


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("sixty grams of to heenie go in", [True]),
        ("ninety grams of to heenie go in", [False]),
    ],
)
def test_an_amount_of_a_name_that_is_misheard_as_two_words(table: Table, line: str, agrees: list[bool]) -> None:
    dish = table.dish("""
        dish: Sesame sauce
        servings: 4
        ingredients: {tahini: 60 g, honey: 2 tbsp}
        steps: [{stage: cook, do: Mix them., add: {tahini: all, honey: all}, vessel: bowl, hands: 2 min}]
    """)
    assert [c.agrees for c in said(dish, "step-1", line)] == agrees
