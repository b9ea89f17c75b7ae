"""One dough in two dishes: each counts what it bakes, and the meal counts everything once."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.nutrition.dish_meal_macros import all_macros
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.display_names import behind_words
from scriptkit.shoot.buying import wants_of

ROLLS = """
    dish: Rolls
    servings: 4
    cooked_weight: 520 g
    ingredients: {flour: {amount: 400 g, food: "flour, wheat, plain"}, water: 240 ml, leek: 100 g}
    steps:
      - {id: dough, stage: prep, do: Knead it., add: [flour, water], vessel: bowl, hands: 10 min, wait: 1 h}
      - {id: bake, stage: cook, do: Bake the rolls., from: {dough: OWN}, add: leek, vessel: baking tray, heat: oven 220 °C, hands: 2 min, wait: 20 min}
"""
TART = """
    dish: Tart
    servings: 2
    ingredients: {carrot: 200 g}
    steps:
      - {id: line, stage: cook, do: Line the tin., from: {Rolls/dough: TAKEN}, vessel: tart tin, hands: 5 min}
      - {id: fill, stage: cook, do: Fill it., add: carrot, vessel: tart tin, hands: 2 min}
"""
MEAL = """
    meal: Baking
    plates: 1
    dishes: [{dish: rolls.yaml, portion: 1 serving}, {dish: tart.yaml, portion: 1 serving}]
    kitchen: {landing: 3 h}
    film: {swap_out_over: 9 h}
"""


def baking(table: Table, own: str, taken: str) -> Meal:
    table.write("rolls.yaml", ROLLS.replace("OWN", own))
    table.write("tart.yaml", TART.replace("TAKEN", taken))
    return table.meal(MEAL)


@pytest.mark.parametrize(
    ("own", "taken", "share"),
    [
        ("half", "half", 0.5),
        ("rest", "half", 0.5),
        ("half", "rest", 0.5),
        ("75 %", "25 %", 0.25),
        ("half", "160 g", 0.25),
    ],
)
def test_each_dish_counts_what_it_takes(table: Table, own: str, taken: str, share: float) -> None:
    meal = baking(table, own, taken)
    alone = table.dish(ROLLS.replace("OWN", "all"))
    whole = all_macros(alone, (alone,)).dishes[0].batch
    rolls, tart = Preproduction(meal).macros.dishes
    eaten = {i.key: m for i, m in rolls.ingredients}
    assert eaten["flour"].weight_g == pytest.approx(400 * (1 - share))
    assert eaten["leek"].weight_g == pytest.approx(100)
    dough = next(m for i, m in tart.ingredients if i.taken_over)
    assert dough.weight_g == pytest.approx(640 * share, abs=1)
    assert dough.at_least("protein_g") == pytest.approx(
        (whole.at_least("protein_g") - eaten["leek"].at_least("protein_g")) * share, rel=0.01
    )
    assert tart.dish.cooked_g >= 200  # nobody weighed it: with what it took over


def test_it_is_bought_and_kneaded_once(table: Table) -> None:
    meal = baking(table, "half", "half")
    work = Preproduction(meal)
    assert sum(w.recipe_g or 0 for w in wants_of(meal) if w.ingredient.key == "flour") == pytest.approx(400)
    assert work.schedule is not None
    order = [t.step.id for t in work.schedule.tasks]
    assert order.count("dough") == 1
    assert order.index("dough") < order.index("line")
    assert [p.code for p in Production(table.read(MEAL, "meal.yaml")).problems if p.severity == "error"] == []


def test_a_batch_may_weigh_less_than_the_dough_of_which_half_is_baked_elsewhere(table: Table) -> None:
    table.write("rolls.yaml", ROLLS.replace("OWN", "half").replace("520 g", "310 g"))
    table.write("tart.yaml", TART.replace("TAKEN", "rest"))
    assert [p.code for p in table.read(MEAL, "meal.yaml").problems if p.severity == "error"] == []


def test_papers_say_where_it_goes(table: Table) -> None:
    (flour, *_) = baking(table, "half", "half").dishes[0].ingredients
    assert flour.grams == 400
    assert behind_words(flour) == "about 200 g of it goes into Tart"


def test_juices_move_no_share(table: Table) -> None:
    table.write("rolls.yaml", ROLLS.replace("OWN", "all"))
    table.write("tart.yaml", TART.replace("dough: TAKEN", "bake: juices"))
    meal = table.meal(MEAL)
    assert [i.behind_share for i in meal.dishes[0].ingredients] == [0, 0, 0]
    assert not any(i.taken_over for i in meal.dishes[1].ingredients)


def test_half_of_what_was_cooked_leaves_half_of_what_it_weighs(table: Table) -> None:
    unweighed = ROLLS.replace("    cooked_weight: 520 g\n", "").replace("flour, wheat, plain", "leek")
    table.write("rolls.yaml", unweighed.replace("OWN", "all"))
    table.write("tart.yaml", TART.replace("dough: TAKEN", "bake: half"))
    alone = table.dish(unweighed.replace("OWN", "all"))
    rolls, tart = table.meal(MEAL).dishes
    assert alone.cooked_g < sum(i.grams or 0 for i in alone.ingredients)
    assert rolls.cooked_g == pytest.approx(alone.cooked_g / 2, rel=0.01)
    taken = next(i for i in tart.ingredients if i.taken_over)
    assert taken.grams == pytest.approx(sum(s * g for s, g in _weights(alone)) / 2, rel=0.01)
    assert rolls.cooked_g + taken.grams < sum(i.grams or 0 for i in alone.ingredients)


def _weights(dish: Dish) -> list[tuple[float, float]]:
    shares = {c.key: c.weight_share for c in dish.cooking}
    return [(shares.get(i.key, 1.0), i.grams or 0.0) for i in dish.ingredients]


BASE = """
    dish: Rolls
    servings: 4
    ingredients: {flour: {amount: 400 g, food: "flour, wheat, plain"}, water: 240 ml}
    steps:
      - {id: dough, stage: prep, do: Knead it., add: [flour, water], vessel: bowl, hands: 10 min, wait: 1 h}
"""


def test_a_dish_of_which_another_takes_all_has_nothing_to_serve_and_both_fixes_work(table: Table) -> None:
    table.write("rolls.yaml", BASE)
    table.write("tart.yaml", TART.replace("TAKEN", "all"))
    (told,) = errors(table, MEAL)
    assert told.message == "nothing of Rolls is left to serve: all of it goes into Tart"
    assert told.place.line == 4
    assert "`Rolls/dough: half`" in told.hint
    table.write("tart.yaml", TART.replace("TAKEN", "half"))
    assert errors(table, MEAL) == []
    line = "rolls: {amount: 4 servings, dish: rolls.yaml}"
    assert f"`{line}`" in told.hint
    own = TART.replace("carrot: 200 g", f"carrot: 200 g, {line}").replace("from: {Rolls/dough: TAKEN}", "add: rolls")
    table.write("tart.yaml", own)
    assert errors(table, MEAL.replace("{dish: rolls.yaml, portion: 1 serving}, ", "")) == []


@pytest.mark.parametrize(("taken", "told"), [("all", True), ("half", False)])
def test_what_goes_on_in_its_own_dish_is_not_taken_over_whole(taken: str, told: bool, table: Table) -> None:
    table.write("rolls.yaml", ROLLS.replace("from: {dough: OWN}, add: leek, ", "").replace(", leek: 100 g", ""))
    table.write("tart.yaml", TART.replace("TAKEN", taken))
    found = errors(table, MEAL)
    assert [p.code for p in found] == ["parts"] * told
    if told:
        assert "step 2 (bake) of Rolls goes on with it too" in found[0].message
        assert found[0].hint == "write `from: {dough: half}` at that step, and `Rolls/dough: rest` here"
        table.write("rolls.yaml", ROLLS.replace("OWN", "half"))
        table.write("tart.yaml", TART.replace("TAKEN", "rest"))
        assert errors(table, MEAL) == []


def errors(table: Table, meal: str) -> list[Problem]:
    return [p for p in Production(table.read(meal, "meal.yaml")).problems if p.severity == "error"]
