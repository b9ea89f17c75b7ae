"""What is to taste needs no weight, and so no food of the pantry either."""

from __future__ import annotations

import json
from collections.abc import Callable
from subprocess import CompletedProcess

from conftest import Table

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.dish import Dish

UNKNOWN = """
    dish: Noodles of a friend
    servings: 2
    ingredients:
      locality sauce: to taste
      half & half: {amount: to taste}
      butter: to taste
      leek: 300 g
    steps:
      - {id: stir, stage: cook, do: Stir the locality sauce through., add: {locality sauce: to taste, leek: all}}
"""


def test_a_food_that_the_pantry_lacks_is_a_warning_where_it_is_to_taste(table: Table) -> None:
    reading = table.read(UNKNOWN)
    assert [(p.place.line, p.severity, p.code) for p in reading.problems] == [
        (5, "warning", "unknown-food"), (6, "warning", "unknown-food"), (7, "warning", "unknown-food"),
    ]  # fmt: skip
    dish = reading.usable()
    assert isinstance(dish, Dish)
    assert [i.to_taste for i in dish.ingredients] == [True, True, True, False]
    assert set(dish_macros(dish).unknown) >= {"locality sauce", "half & half", "butter"}


def test_with_an_amount_it_stays_an_error(table: Table) -> None:
    reading = table.read(UNKNOWN.replace("locality sauce: to taste", "locality sauce: 20 g", 1))
    assert ("error", 5) in [(p.severity, p.place.line) for p in reading.problems if p.code == "unknown-food"]


def test_such_a_dish_goes_through_coverage_with_a_transcript(
    table: Table, run: Callable[..., CompletedProcess[str]]
) -> None:
    table.write("dish.yaml", UNKNOWN.replace("leek: 300 g", "leek: to taste").replace("leek: all", "leek: to taste"))
    table.write(
        "talk.txt", "[0:05] so now we have the noodles here\n[0:20] stir the locality sauce through it, with the leek\n"
    )
    done = run("coverage", "dish.yaml", "--transcript", "talk.txt", "--json")
    assert done.returncode in (0, 1), done.stderr
    told = json.loads(done.stdout)
    assert [s["id"] for s in told["steps"]] == ["stir"]
    assert {"half & half", "butter"} <= set(told["not_heard"])
    assert "locality sauce" not in told["not_heard"]
