"""What was weighed on the day counts before what was estimated, and is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.papers.macros import dish_text
from scriptkit.recipe.dish import Dish

if TYPE_CHECKING:
    from conftest import Table

DISH = """
dish: Chops
servings: 2
{weight}
ingredients:
  chops: {{amount: 440 g, food: pork loin chop}}
  olive oil: {{amount: 2 tbsp{oil}}}
  fennel: {{amount: 1 bulb, food: fennel bulb{fennel}}}
{out}
steps: [{{stage: cook, do: Fry it., add: [olive oil, chops, fennel], hands: 10 min}}]
"""


def dish(table: Table, weight: str = "", oil: str = "", fennel: str = "", out: str = "") -> Dish:
    return table.dish(DISH.format(weight=weight, oil=oil, fennel=fennel, out=out))


def energy_width(of: Dish) -> float:
    low, high = dish_macros(of).serving.ranges["energy_kcal"]
    return high - low


def test_a_weight_as_it_went_in_takes_the_place_of_the_spoon(table: Table) -> None:
    spooned, weighed = dish(table), dish(table, oil=", weighed: 31 g")
    (oil,) = [i for i in weighed.ingredients if i.key == "olive oil"]
    assert oil.grams == 31
    assert str(oil.amount) == "2 tbsp"
    difference = dish_macros(weighed).batch.at_least("fat_g") - dish_macros(spooned).batch.at_least("fat_g")
    assert difference == pytest.approx(31 - 27)  # SR28 04053: 1 tablespoon 13.5 g
    assert energy_width(weighed) < energy_width(spooned)
    assert "31 g (weighed)" in dish_text(dish_macros(weighed))


def test_what_no_table_weighs_can_be_weighed(table: Table) -> None:
    reading = table.read("dish: D\nservings: 1\ningredients: {leek: {amount: 2 stalks, weighed: 240 g}}\n")
    assert [p.code for p in reading.problems if p.severity == "error"] == []
    assert reading.usable().ingredients[0].grams == 240  # type: ignore[union-attr]


def test_the_scale_beats_every_estimate_of_the_batch_and_of_what_stays_behind(table: Table) -> None:
    estimated = dish(table)
    weighed = dish(table, weight="cooked_weight: 420 g", out="left_in_pan: {drippings: {amount: 9 g, food: lard}}")
    assert any("cooked weight" in words for words in dish_macros(estimated).estimated)
    assert not any(w in words for words in dish_macros(weighed).estimated for w in ("cooked weight", "runs out"))
    assert weighed.cooked_g == 420
    assert weighed.cooked_low_g is weighed.cooked_high_g is None


@pytest.mark.parametrize(
    ("amount", "weighed", "words"),
    [
        ("2 tbsp", "310 g", "310 g of oil was weighed, where the recipe has 27 g"),
        ("2 tbsp", "3 g", "3 g of oil was weighed, where the recipe has 27 g"),
        ("to taste", "30 g", "oil is listed `to taste` and was weighed"),
        ("2 tbsp", "banana", "banana"),
    ],
)
def test_what_cannot_have_been_weighed_is_told(table: Table, amount: str, weighed: str, words: str) -> None:
    reading = table.read(
        f"dish: D\nservings: 1\ningredients: {{oil: {{amount: {amount}, food: olive oil, weighed: {weighed}}}}}\n"
    )
    (problem,) = [p for p in reading.problems if p.severity == "error"]
    assert words in problem.message
    assert problem.place.line == 3
