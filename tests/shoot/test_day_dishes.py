"""A dish that goes into another one brings its steps into the day, once, unless it was made ahead."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.preproduction import Preproduction
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.buying import wants_of

STOCK = """
    dish: Leek stock
    short: stock
    servings: 4
    cooked_weight: 1 kg
    ingredients: {leek: 400 g, water: 900 ml}
    steps:
      - {id: boil, stage: cook, do: Boil it., add: [leek, water], vessel: stock pot, heat: medium, hands: 2 min, wait: 20 min}
"""
SOUP = """
    dish: {name}
    servings: 2
    cooked_weight: 600 g
    ingredients: {{stock: {{amount: 250 g, dish: stock.yaml{ahead}}}, carrot: 300 g}}
    steps:
      - {{id: cut, stage: prep, do: Cut it., uses: carrot, hands: 2 min}}
      - {{id: simmer, stage: cook, do: Simmer it., add: [carrot, stock], vessel: {vessel}, heat: low, hands: 2 min, wait: 10 min}}
      - {{id: ladle, stage: cook, do: Ladle it out., vessel: soup bowls, hands: 2 min}}
"""
MEAL = """
    meal: Two soups
    plates: 1
    dishes: [{dish: one.yaml, portion: 100 g%s}, {dish: two.yaml, portion: 100 g}]
    kitchen: {cooks: 2, landing: 10 min}
"""


def two_soups(table: Table, ahead: str = "", portion: str = "", stock: str = "") -> Meal:
    table.write("stock.yaml", STOCK.replace("servings: 4", f"servings: 4{stock}"))
    table.write("one.yaml", SOUP.format(name="One", vessel="pot", ahead=ahead))
    table.write("two.yaml", SOUP.format(name="Two", vessel="saucepan", ahead=ahead))
    return table.meal(MEAL % portion)


def steps_of(source: Dish | Meal) -> list[str]:
    schedule = Preproduction(source).schedule
    assert schedule is not None
    return [f"{t.dish.short}/{t.step.id}" for t in schedule.tasks]


def test_its_steps_are_done_once_and_before_they_are_needed(table: Table) -> None:
    meal = two_soups(table)
    work = Preproduction(meal)
    assert [d.name for d in work.day_dishes] == ["Leek stock", "One", "Two"]
    order = steps_of(meal)
    assert order.count("stock/boil") == 1
    assert max(order.index("One/simmer"), order.index("Two/simmer")) > order.index("stock/boil")
    at = {(t.dish.short, t.step.id): t for t in work.schedule.tasks} if work.schedule else {}
    for soup in ("One", "Two"):
        assert at[soup, "simmer"].start_min >= at["stock", "boil"].end_min
    filmed = [a.ingredient.key for s in work.shots for a in s.additions]
    assert filmed.count("leek") == filmed.count("water") == 1
    assert [s.segment.kind for s in work.script.passages].count("closing") == 2  # a stock is not plated
    assert [t.dish.short for t in work.trays] == ["stock", "One", "Two"]


@pytest.mark.parametrize(
    ("where", "left"),
    [
        ({"ahead": ", made_ahead: true"}, ["One", "Two"]),
        ({"stock": "\n    made_ahead: true"}, ["One", "Two"]),
        ({"portion": ", made_ahead: true"}, ["Leek stock", "Two"]),
    ],
)
def test_what_was_made_ahead_is_no_part_of_the_day(table: Table, where: dict[str, str], left: list[str]) -> None:
    work = Preproduction(two_soups(table, **where))
    assert [d.name for d in work.day_dishes] == left
    assert {t.dish.name for t in work.schedule.tasks} == set(left) if work.schedule else False
    assert {s.dish.name for s in work.shots if s.step is not None and s.dish is not None} == set(left)
    assert [s.stage for s in work.shots].count("closing") == 4  # both are still on the plate
    assert [m.dish.name for m in work.macros.dishes] == ["One", "Two"]


def test_a_dish_made_ahead_has_its_own_day(table: Table) -> None:
    dish = table.dish(STOCK.replace("servings: 4", "servings: 4\n    made_ahead: true"))
    assert steps_of(dish) == ["stock/boil"]


def test_what_is_made_on_the_day_is_bought_as_its_file_says(table: Table) -> None:
    meal = two_soups(table)  # half of the stock goes into the soups
    assert sum(w.recipe_g or 0 for w in wants_of(meal) if w.ingredient.key == "leek") == pytest.approx(400)
    ahead = two_soups(table, ahead=", made_ahead: true")
    assert sum(w.recipe_g or 0 for w in wants_of(ahead) if w.ingredient.key == "leek") == pytest.approx(200)


def test_the_example_chowder_begins_with_its_stock() -> None:
    chowder = read_source(str(EXAMPLES / "mussel-chowder.yaml")).usable()
    order = steps_of(chowder)
    assert order.index("stock/strain-stock") < order.index("chowder/simmer-chowder")
    assert [c.dish.short for c in Preproduction(chowder).cautions if c.step is not None and c.step.id == "start-stock"]
