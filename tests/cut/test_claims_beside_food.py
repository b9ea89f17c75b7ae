"""A figure that stands beside its own food and fits it is of no other food near by."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.claim import DIFFERS, VERIFIED
from scriptkit.recipe.dish import Dish

SALAD = """
    dish: Warm white bean and tomato salad
    servings: 4
    ingredients:
      white beans: {amount: 480 g, food: "cannellini beans, cooked"}
      tomatoes: {amount: 300 g, food: cherry tomatoes}
      olive oil: 2 tbsp
      shallot: {amount: 60 g}
      cumin: {amount: 1 tsp, food: cumin}
      chicken thighs: {amount: 800 g, food: "chicken thigh, skinless"}
      butter: {amount: 1.5 tbsp, food: "butter, unsalted"}
    steps:
      - {id: warm, stage: cook, do: Soften the shallot in the oil with the cumin., add: {olive oil: all, shallot: all, cumin: all}, vessel: pan, heat: medium, screen: 9 s}
      - {id: toss, stage: cook, do: Add the beans and the tomatoes., add: {white beans: all, tomatoes: all}, vessel: pan, heat: medium, screen: 9 s}
      - {id: brown, stage: cook, do: Brown the thighs in the butter., add: {butter: all, chicken thighs: all}, vessel: wide pan, heat: medium, screen: 9 s}
"""


@pytest.fixture
def salad(table: Table) -> Dish:
    return table.dish(SALAD)


@pytest.mark.parametrize(
    ("step", "line", "subject"),
    [
        ("toss", "Now the beans, four hundred and eighty grams, and the tomatoes.", "white beans"),
        ("toss", "Now the white beans, four hundred and eighty grams, and the tomatoes.", "white beans"),
        ("toss", "Now the beans, four hundred and eighty grams of them, and the tomatoes.", "white beans"),
        ("brown", "In the butter the chicken thighs go in, eight hundred grams of them.", "chicken thighs"),
        ("warm", "In the small pan, two tablespoons of olive oil, the shallot, and a teaspoon of cumin.", "olive oil"),
    ],
)
def test_a_figure_that_fits_the_food_beside_it_is_of_no_other(salad: Dish, step: str, line: str, subject: str) -> None:
    found = said(salad, step, line)
    assert found and {c.verdict for c in found} == {VERIFIED}
    assert found[0].subject == subject


def test_a_figure_that_fits_neither_food_is_still_told(salad: Dish) -> None:
    found = said(salad, "toss", "Now the beans, nine hundred grams, and the tomatoes.")
    assert VERIFIED not in {c.verdict for c in found}


def test_a_figure_that_is_wrong_of_the_food_after_it_is_still_told(salad: Dish) -> None:
    found = said(salad, "toss", "Now the beans, and then four hundred and eighty grams of tomatoes.")
    assert [(c.subject, c.verdict) for c in found] == [("tomatoes", DIFFERS)]
