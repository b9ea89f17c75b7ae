"""A figure that the build of its words binds to a food is of that one, right or wrong; and what tells of another way is not told."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.recipe.dish import Dish

STEW = """
    dish: Leek and cabbage stew
    servings: 4
    ingredients:
      cabbage: 800 g
      butter: {amount: 8 tbsp, food: "butter, unsalted"}
      parmesan: {amount: 1/2 cup, food: parmesan, prep: grated}
      oil: {amount: 3 tbsp, food: olive oil}
      sesame oil: {amount: 1/4 cup, food: sesame oil}
      soy sauce: 2 tbsp
      fish sauce: {amount: 3 tbsp, food: fish sauce}
    steps:
      - {id: melt, stage: cook, do: Melt the butter with the parmesan., add: {butter: all, parmesan: all}, vessel: pan, heat: low, screen: 9 s}
      - {id: fry, stage: cook, do: Fry the cabbage in both oils., add: {oil: all, sesame oil: all, cabbage: all}, vessel: pan, heat: high, screen: 9 s}
      - {id: season, stage: cook, do: Season with both sauces., add: {soy sauce: all, fish sauce: all}, vessel: pan, screen: 9 s}
"""


@pytest.fixture
def stew(table: Table) -> Dish:
    return table.dish(STEW)


@pytest.mark.parametrize(
    ("step", "line", "subject", "verdict"),
    [
        ("melt", "a whole stick of butter which is eight tablespoons and freshly grated parmesan", "butter", VERIFIED),
        ("melt", "a whole stick of butter which is four tablespoons and freshly grated parmesan", "butter", DIFFERS),
        ("season", "next add two tablespoons or two splashes of your soy sauce and the fish sauce", "soy sauce", VERIFIED),
        ("season", "next add four tablespoons for two splashes of your soy sauce and the fish sauce", "soy sauce", DIFFERS),
        ("fry", "a quarter cup of oil, I'm using sesame oil", "sesame oil", VERIFIED),
        ("fry", "half a cup of oil, I'm using sesame oil", "sesame oil", DIFFERS),
        ("fry", "three tablespoons of oil and then the sesame oil", "oil", VERIFIED),
    ],
)  # fmt: skip
def test_a_figure_is_of_the_food_that_its_words_bind_it_to(
    stew: Dish, step: str, line: str, subject: str, verdict: str
) -> None:
    found = [c for c in said(stew, step, line) if "tablespoon" in c.words or "cup" in c.words]
    assert [(c.subject, c.verdict) for c in found] == [(subject, verdict)]


def test_a_figure_before_its_own_food_is_not_of_the_one_before(stew: Dish) -> None:
    found = said(stew, "melt", "now the butter that's half a cup of parmesan with it")
    assert [(c.subject, c.verdict) for c in found] == [("parmesan", VERIFIED)]


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("fry five hundred grams of cabbage", DIFFERS),
        ("usually I make five hundred grams of cabbage", LISTEN),
    ],
)
def test_what_is_usually_made_is_not_held_against_this_recipe(stew: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(stew, "fry", line)] == [verdict]
