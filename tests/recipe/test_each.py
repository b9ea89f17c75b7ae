"""Amounts for each serving: the batch takes as many times as much, and the papers say *each*."""

from __future__ import annotations

from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions.composing.overlay import addition_line
from scriptkit.measure.amounts import Amount
from scriptkit.publish.dual_units import lines_of
from scriptkit.recipe.dish import Addition, Dish
from scriptkit.recipe.each import of_all
from scriptkit.recipe.leading_units import beside_text, leading_text
from scriptkit.shoot.script.narration import narration_of
from scriptkit.what_if import grown

BOWLS = """
    dish: Bean soup
    servings: {servings}
    {units}
    ingredients:
      beans: {{amount: 400 g, food: "chickpeas, canned"}}
      olive oil: {{amount: 60 ml}}
      bread: {{each: 1 slice, food: "bread, white"}}
      salt: {{each: 1 pinch}}
    steps:
      - {{id: warm, stage: cook, do: Warm the beans in the oil., add: {{beans: all, olive oil: half}}, vessel: pot, screen: 9 s}}
      - {{id: plate, stage: cook, do: Ladle it into bowls., add: {{olive oil: {oil}, bread: all, salt: all}}, vessel: bowl, screen: 9 s, say: "{say}"}}
"""


def bowls(
    table: Table, *, servings: float = 4, units: str = "", oil: str = "{each: 1 tsp}", say: str = "Then {olive oil}."
) -> tuple[Dish, dict[str, Addition]]:
    dish = table.dish(BOWLS.format(servings=servings, units=units, oil=oil, say=say))
    return dish, {a.ingredient.name: a for a in dish.steps[1].additions}


def test_the_batch_takes_it_for_every_serving(table: Table) -> None:
    oil = bowls(table)[1]["olive oil"]
    assert (oil.amount, oil.each) == (Amount(Fraction(4), "teaspoon"), Amount(Fraction(1), "teaspoon"))
    assert oil.share == Amount(Fraction(4), "teaspoon").exactly("millilitre") / 60


@pytest.mark.parametrize("written", ["{each: 1 tsp}", "1 tsp each", '"1 tsp Each"'])
def test_it_may_be_written_in_words(table: Table, written: str) -> None:
    assert bowls(table, oil=written)[1]["olive oil"].each == Amount(Fraction(1), "teaspoon")


def test_what_is_listed_for_each_goes_in_for_each(table: Table) -> None:
    _, of = bowls(table, servings=6)
    assert of["bread"].amount == of["bread"].ingredient.amount == Amount(Fraction(6), "slice")
    assert of["bread"].each == Amount(Fraction(1), "slice")


@pytest.mark.parametrize(
    ("units", "lead", "beside"), [("", "18 g", "1 tsp each"), ("units: us", "1 tsp each", "18 g in all"), ("units: metric", "1 tsp each", "18 g in all")]
)  # fmt: skip
def test_shot_and_bowl_say_each(table: Table, units: str, lead: str, beside: str) -> None:
    oil = bowls(table, units=units)[1]["olive oil"]
    assert (leading_text(oil), beside_text(oil)) == (lead, beside)


def test_captions_and_the_card_say_each(table: Table) -> None:
    dish, of = bowls(table)
    assert addition_line(of["olive oil"]) == "Olive oil 18 g (1 tsp each)"
    assert addition_line(of["salt"]) == "Salt, 1 pinch each"
    lines = {line.ingredient.name: line.words for line in lines_of(dish)}
    assert lines["bread"].endswith("(4 slices) white bread, 1 slice each")
    assert lines["olive oil"].endswith("of it 1 tsp each")


@pytest.mark.parametrize(
    ("say", "spoken"),
    [
        ("Then {olive oil}.", "Then one teaspoon of olive oil each."),
        ("Each bowl gets {olive oil}.", "Each bowl gets one teaspoon of olive oil."),
        ("{olive oil} over every bowl.", "One teaspoon of olive oil over every bowl."),
    ],
)
def test_the_line_says_each_once(table: Table, say: str, spoken: str) -> None:
    dish, _ = bowls(table, say=say)
    assert narration_of(dish.steps[1], dish) == spoken


def test_more_servings_take_as_much_each() -> None:
    assert grown("1 tsp each", Fraction(3)) == "1 tsp each"


@given(st.fractions(min_value=Fraction(1, 8), max_value=50, max_denominator=8), st.integers(min_value=1, max_value=40))
def test_each_times_the_servings_is_all(value: Fraction, servings: int) -> None:
    assert of_all(Amount(value, "teaspoon"), servings) == Amount(value * servings, "teaspoon")


def test_on_the_plate_of_a_meal_it_is_what_lies_there(table: Table) -> None:
    table.write("soup.yaml", BOWLS.format(servings=4, units="", oil="half", say="Soup."))
    plain, each = (
        table.meal(f"meal: Soup\nplates: 3\ndishes: [{{dish: soup.yaml, portion: 1 serving}}]\nat_table: {{lemon juice: {amount}}}\n")
        for amount in ("1 tsp", "{each: 1 tsp}")
    )  # fmt: skip
    assert [e.ingredient.grams for e in each.extras] == [e.ingredient.grams for e in plain.extras]


@pytest.mark.parametrize(
    ("oil", "code"), [("{each: 1 tps}", "unit"), ("{each: 1 tsp, more: 2}", "wrong-value"), ("{each: [1, 2]}", "wrong-value")]
)  # fmt: skip
def test_what_cannot_be_read_is_told_at_its_place(table: Table, oil: str, code: str) -> None:
    problems = table.read(BOWLS.format(servings=4, units="", oil=oil, say="Soup.")).problems
    assert code in [p.code for p in problems if p.severity == "error"]


def test_each_stands_in_place_of_an_amount(table: Table) -> None:
    text = BOWLS.format(servings=4, units="", oil="half", say="Soup.").replace(
        "{each: 1 slice", "{each: 1 slice, amount: 2 slices"
    )
    (problem,) = [p for p in table.read(text).problems if p.code == "each"]
    assert "an `amount:` and an amount for each" in problem.message
