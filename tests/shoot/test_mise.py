"""Mise en place: bowls in order of use, vessels and tools."""

from __future__ import annotations

from collections import defaultdict

import pytest
from conftest import EXAMPLES, Table

from scriptkit.recipe.reader import read_source
from scriptkit.shoot.mise import trays_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

DISH = """
    dish: Leek and potato
    servings: 2
    ingredients:
      leek: {amount: 240 g, prep: "sliced, 5 mm"}
      potato: {amount: 300 g, prep: brunoise}
      ghee: 60 g
      salt: to taste
      olive oil: 2 tbsp
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {ghee: 20 g, leek: all}, vessel: Stock pot, tools: [wooden spoon]}
      - {id: soak, stage: prep, do: Soak the potato., add: potato, vessel: bowl, tools: board}
      - {id: finish, stage: cook, do: Stir in the rest., add: {ghee: rest, salt: to taste, olive oil: half}, vessel: stock pot}
      - {id: dress, stage: cook, do: Dress., add: {olive oil: rest}, vessel: plates, tools: [wooden spoon, scale]}
"""


def test_one_bowl_an_addition_in_order_of_use(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    bowls = [(b.number, b.step.id, b.addition.ingredient.name, b.grams, b.cut, b.mm) for b in tray.bowls]
    assert bowls == [
        (1, "soak", "potato", "300 g", "brunoise", "3 mm"),
        (2, "soften", "ghee", "20 g", "", ""),
        (3, "soften", "leek", "240 g", "sliced, 5 mm", "5 mm"),
        (4, "finish", "ghee", "40 g", "", ""),
        (5, "finish", "salt", "to taste", "", ""),
        (6, "finish", "olive oil", "14 g", "", ""),
        (7, "dress", "olive oil", "14 g", "", ""),
    ]


def test_the_household_amount_is_the_cooks_own_where_it_was_no_weight(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    by_number = {b.number: b.household for b in tray.bowls}
    assert by_number[6] == by_number[7] == "1 tbsp"
    assert by_number[5] == ""
    assert by_number[2].startswith("about ")


def test_vessels_and_tools_once_each_with_their_steps(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    assert [(r.name, [s.number for s in r.steps]) for r in tray.vessels] == [
        ("bowl", [2]),
        ("Stock pot", [1, 3]),
        ("plates", [4]),
    ]
    assert [(r.name, [s.number for s in r.steps]) for r in tray.tools] == [
        ("board", [2]),
        ("wooden spoon", [1, 4]),
        ("scale", [4]),
    ]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_bowls_of_an_ingredient_sum_to_it(path: object) -> None:
    for tray in trays_of(read_source(str(path)).usable()):
        sums: dict[str, float] = defaultdict(float)
        for bowl in tray.bowls:
            sums[bowl.addition.ingredient.key] += bowl.addition.grams or 0.0
        assert sums.keys() == {i.key for i in tray.dish.ingredients}
        for ingredient in tray.dish.ingredients:
            assert sums[ingredient.key] == pytest.approx(ingredient.grams or 0.0)


def test_a_tray_for_each_dish_and_one_for_a_dish_served_twice(table: Table) -> None:
    table.write("leek.yaml", DISH)
    meal = table.meal("meal: Twice\ndishes: [{dish: leek.yaml}, {dish: leek.yaml, portion: 50 g}]")
    assert [t.dish.name for t in trays_of(meal)] == ["Leek and potato"]
