"""What runs out of a roast and into the sauce of another dish: it is the sauce's, and the meal counts it once."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.nutrition.dish_meal_macros import AllMacros, DishMacros
from scriptkit.preproduction import Preproduction
from scriptkit.recipe.dish import Meal

ROAST = """
    dish: Roast pork
    short: pork
    servings: 4
    ingredients: {pork: {amount: 900 g, food: "pork loin, boneless"JUICES}, salt: 2 tsp}
    steps:
      - {id: rub, stage: prep, do: Rub the pork with the salt., add: [salt, pork], vessel: tray, hands: 4 min}
      - {id: roast, stage: cook, do: Roast the pork., from: rub, vessel: roasting tin, heat: oven 190 °C, hands: 3 min, wait: 55 min}
      - {id: rest, stage: cook, do: Lift the pork onto a board and let it rest., vessel: board, hands: 2 min, wait: 15 min}
      - {id: carve, stage: cook, do: Carve the pork., vessel: plates, hands: 4 min}
"""
SAUCE = """
    dish: Cider sauce
    short: sauce
    servings: 4
    ingredients: {cider: {amount: 200 ml, food: "cider, dry"}, cream: {amount: 60 ml, food: double cream}}
    steps:
      - {id: deglaze, stage: cook, do: Pour the cider into the saucepan and boil it down by half., TAKES add: cider, vessel: small saucepan, heat: high, hands: 2 min, wait: 5 min}
      - {id: finish, stage: cook, do: Whisk in the cream., add: cream, vessel: small saucepan, heat: low, hands: 3 min}
"""
MEAL = """
    meal: Pier roast
    plates: 4
    dishes: [{dish: roast.yaml, portion: 1 serving}, {dish: sauce.yaml, portion: 1 serving}]
    kitchen: {landing: 1 h}
"""


def supper(table: Table, takes: str, juices: str = "") -> Meal:
    table.write("roast.yaml", ROAST.replace("JUICES", juices))
    table.write("sauce.yaml", SAUCE.replace("TAKES", f"from: {{{takes}}}," if takes else ""))
    return table.meal(MEAL)


def macros(table: Table, takes: str, juices: str = "") -> AllMacros:
    return Preproduction(supper(table, takes, juices)).macros


def of(found: AllMacros, nutrient: str) -> list[float]:
    return [one.batch.at_least(nutrient) for one in found.dishes]


@pytest.mark.parametrize("takes", ["Roast pork/roast: juices", "pork/rest: juices"])
def test_what_runs_out_of_the_roast_is_counted_in_the_sauce(table: Table, takes: str) -> None:
    apart, kept, taken = macros(table, ""), macros(table, "", ", juices: kept"), macros(table, takes)
    for nutrient in ("fat_g", "protein_g", "energy_kcal"):
        ran_out = max(of(kept, nutrient)[0] - of(apart, nutrient)[0], 0)  # of protein, hardly any
        assert of(taken, nutrient)[0] == pytest.approx(of(apart, nutrient)[0])
        assert of(taken, nutrient)[1] == pytest.approx(of(apart, nutrient)[1] + ran_out, rel=0.01)
    assert of(taken, "fat_g")[1] > of(apart, "fat_g")[1] + 5
    pork, sauce = taken.dishes
    assert sauce.dish.cooked_g > apart.dishes[1].dish.cooked_g + 5
    assert pork.dish.cooked_g == pytest.approx(apart.dishes[0].dish.cooked_g)
    assert any("runs out and goes into Cider sauce" in words for words in pork.estimated)
    assert not any("left behind" in words or "juices: kept" in words for words in pork.estimated)


def test_juices_that_the_file_keeps_move_too_and_are_counted_once(table: Table) -> None:
    kept, taken = macros(table, "", ", juices: kept"), macros(table, "pork/rest: juices", ", juices: kept")
    assert sum(of(taken, "fat_g")) == pytest.approx(sum(of(kept, "fat_g")), rel=0.01)
    assert of(taken, "fat_g")[0] < of(kept, "fat_g")[0] - 5


def test_the_doubt_of_what_runs_out_is_none_of_the_plate(table: Table) -> None:
    """What does not run out of the pork is not in the sauce: together they are as sure as a roast whose juices are kept."""

    def wide(one: DishMacros) -> float:
        low, high = one.serving.ranges["fat_g"]
        return high - low

    def plate(found: AllMacros) -> float:
        assert found.meal is not None
        low, high = found.meal.plate.ranges["fat_g"]
        return high - low

    taken, kept = macros(table, "pork/rest: juices"), macros(table, "", ", juices: kept")
    assert wide(taken.dishes[1]) > wide(kept.dishes[1])
    assert plate(taken) == pytest.approx(plate(kept), rel=0.05)


def test_juices_of_a_step_after_the_roast_are_kept_in_their_own_dish(table: Table) -> None:
    """As they are where `from:` names the step that roasts it."""
    dishes = [
        table.dish(
            ROAST.replace("JUICES", "")
            + f"      - {{id: sauce, stage: cook, do: Boil them down., from: {{{step}: juices}}, vessel: small saucepan, heat: high, hands: 4 min}}\n"
        )
        for step in ("roast", "rest")
    ]
    assert [one.kept for dish in dishes for one in dish.cooking if one.key == "pork"] == [True, True]
