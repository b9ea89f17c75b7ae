"""What a recipe's source prints of a serving is a check of ours."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.checks import as_published
from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.nutrition.as_published import contradiction
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem

DISH = """\
dish: Buttered leeks
servings: 2
as_published: {PRINTED}
ingredients:
  leeks: {amount: 300 g, food: leek}
  butter: {amount: 100 g, food: "butter, unsalted"}
steps:
  - {stage: cook, do: Soften the leeks in the butter., add: {leeks: all, butter: all}, vessel: pan, screen: 20 s}
"""


def told(table: Table, printed: str, dish: str = DISH) -> list[Problem]:
    return as_published(Preproduction(table.dish(dish.replace("PRINTED", printed))))


def test_the_line_that_most_likely_explains_it_is_named(table: Table) -> None:
    """717 kcal per 100 g of butter and 61 of leek (SR28 01145, 11246): 450 kcal a serving; with half the butter 271."""
    (problem,) = told(table, "energy_kcal: 270")
    assert problem.code == "as-published"
    assert problem.message == "energy of a serving is 450 kcal, its source prints 270 kcal (+67%)"
    assert problem.hint.startswith("check butter first, and how many it serves")


@pytest.mark.parametrize("printed", ["energy_kcal: 450", "energy_kcal: 400", "fat_g: 41", "fibre_g: 1", "{}"])
def test_what_is_near_is_kept(table: Table, printed: str) -> None:
    assert told(table, printed.strip("{}")) == []


def test_a_page_that_contradicts_itself_may_be_wrong(table: Table) -> None:
    (problem,) = told(table, "energy_kcal: 100, fat_g: 41, protein_g: 3, carbohydrate_g: 21")
    assert "the page may be wrong" in problem.hint
    assert contradiction({"energy_kcal": 450, "fat_g": 41, "protein_g": 3, "carbohydrate_g": 21}) is None
    assert contradiction({"energy_kcal": 100, "fat_g": 41}) is None


def test_nothing_is_said_while_something_is_unconfirmed(table: Table) -> None:
    guessed = DISH.replace('food: "butter, unsalted"}', 'food: "butter, unsalted", unsure: {food: 0.5}}')
    assert told(table, "energy_kcal: 270", guessed) == []


def test_a_draft_keeps_what_its_page_prints(table: Table) -> None:
    made = draft(
        RawRecipe(
            name="X",
            serves="2",
            ingredients=("30 g leek",),
            steps=("Boil it.",),
            nutrition=(("energy_kcal", 210.04), ("fat_g", 3.0)),
        )
    )
    assert table.dish(made.text).as_published == (("energy_kcal", 210.0), ("fat_g", 3.0))
