"""`between:`: an amount that is one of a range makes the figures a range, and is nothing to mend."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.confirming import Asked
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.file_edit import edited
from scriptkit.what_if import Change, changed_reading

DISH = """\
dish: Glazed carrots
servings: 2
cooked_weight: 250 g
ingredients:
  carrots: {amount: 2 medium, between: [2 medium, 3 medium]}
  butter: {amount: 20 g, food: "butter, unsalted"}
steps: [{stage: cook, do: Glaze the carrots., add: {carrots: all, butter: all}, screen: 20 s}]
"""


def test_figures_of_a_range_reach_from_the_least_to_the_most(table: Table) -> None:
    """A medium carrot is 61 g, with 41 kcal per 100 g (SR28 11124): 25 kcal of two servings are 12.5 of each."""
    ranged, plain = (Production(table.read(t)) for t in (DISH, DISH.replace(", between: [2 medium, 3 medium]", "")))
    (carrots, _) = ranged.dishes[0].ingredients
    assert (carrots.grams, carrots.weight_low_g, carrots.weight_high_g) == (122, 122, 183)
    assert [p for p in ranged.problems if "carrots" in p.message] == []
    wide, narrow = (p.macros.dishes[0].serving.ranges["energy_kcal"] for p in (ranged, plain))
    assert wide[1] - narrow[1] > 3 and wide[0] > narrow[0]
    assert ranged.macros.dishes[0].serving.figure("energy_kcal") == plain.macros.dishes[0].serving.figure("energy_kcal")


@pytest.mark.parametrize(
    ("between", "code"),
    [
        ("[1 medium, 1 medium]", "no-weight"),
        ("[3 medium, 2 medium]", "no-weight"),
        ("[2 medium]", "wrong-value"),
        ("[2 medium, a few]", "amount"),
    ],
)
def test_a_range_that_cannot_be_is_told_at_the_ingredient(table: Table, between: str, code: str) -> None:
    problems = table.read(DISH.replace("[2 medium, 3 medium]", between)).problems
    assert [(p.place.line, p.code) for p in problems if p.severity == "error"] == [(5, code)]


def test_a_range_grows_with_the_servings_and_goes_when_the_amount_is_told(table: Table) -> None:
    dish = changed_reading(table.read(DISH), Change(servings=4)).usable()
    assert isinstance(dish, Dish) and (dish.ingredients[0].grams, dish.ingredients[0].weight_high_g) == (244, 366)
    text = DISH.replace("3 medium]}", "3 medium], unsure: {amount: 0.4, read_from: some carrots}}")
    asked = Asked(text, "carrots.yaml", effects=False)
    (question,) = asked.questions()
    changed = edited(text, asked.answered(question, "150 g"), "carrots.yaml")
    assert "carrots: {amount: 150 g}" in changed
