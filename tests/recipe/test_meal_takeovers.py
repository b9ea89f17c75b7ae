"""Dishes of a meal that take over from one another: what is found, what is wrong, and what the day makes of it."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.preproduction import Preproduction
from scriptkit.production import Production
from scriptkit.shoot.day.gates import Gates

ROAST = """
    dish: Roast leeks
    short: roast
    servings: 2
    cooked_weight: 300 g
    keeps: 1 h
    ingredients: {{leek: 400 g, olive oil: 1 tbsp}}
    steps:
      - {{id: trim, stage: prep, do: Trim them., uses: leek, hands: 2 min}}
      - {{id: roast, stage: cook, do: Roast them., add: [leek, olive oil], vessel: roasting tin, heat: oven 200 °C, hands: 2 min, wait: 30 min{own}}}
      - {{id: plate-roast, stage: cook, do: Plate them., from: roast, vessel: plates, hands: 2 min}}
"""
SAUCE = """
    dish: Leek sauce
    short: sauce
    servings: 2
    cooked_weight: 100 g
    keeps: 1 h
    ingredients: {{butter: {{amount: 30 g, food: "butter, unsalted"}}}}
    steps:
      - {{id: whisk, stage: cook, do: Whisk it., from: {{{takes}}}, add: butter, vessel: small pan, heat: low, hands: 3 min}}
      - {{id: pour, stage: cook, do: Pour it over., vessel: jug, hands: 1 min}}
"""
MEAL = """
    meal: Leeks
    plates: 1
    dishes: [{dish: roast.yaml, portion: 100 g}, {dish: sauce.yaml, portion: 50 g}]
    kitchen: {landing: 20 min}
"""


def supper(table: Table, takes: str, own: str = "") -> Production:
    table.write("roast.yaml", ROAST.format(own=own))
    table.write("sauce.yaml", SAUCE.format(takes=takes))
    return Production(table.read(MEAL, "meal.yaml"))


@pytest.mark.parametrize("name", ["Roast leeks/roast", "roast/roast", "roast.yaml/roast"])
def test_a_sauce_waits_for_the_roast_that_it_takes_from(table: Table, name: str) -> None:
    work = supper(table, f"{name}: juices")
    assert work.schedule is not None
    at = {(t.dish.short, t.step.id): t for t in work.schedule.tasks}
    assert at["sauce", "whisk"].start_min >= at["roast", "roast"].end_min
    gates = Gates(Preproduction(work.source).shots)
    whisk = next(s for s in work.shots if s.step is not None and s.step.id == "whisk")
    assert {one.addition.ingredient.key for one in gates.due_before(whisk)} == {"leek", "olive oil"}


@pytest.mark.parametrize(
    ("takes", "own", "code", "words"),
    [
        ("Roast beef/roast: juices", "", "no-such-dish", "did you mean “Roast leeks/roast”?"),
        ("Trifle/roast: juices", "", "no-such-dish", "the dishes of the meal are Roast leeks, Leek sauce"),
        ("roast/rost: juices", "", "no-such-step", "did you mean “roast/roast”?"),
        ("roast/roast: half", "", "parts", "150% of it in all"),
        ("roast/roast: 300 g", "", "parts", "of it in all"),  # beside all of it in its own dish
        ("roast/plate-roast: 900 g", "", "parts", "than it made: 900 g of about 4"),
        ("roast/roast: juices", ", from: {sauce/pour: all}", "circle", "waits for this very step"),
    ],
)
def test_what_there_is_not_is_told_where_it_stands(table: Table, takes: str, own: str, code: str, words: str) -> None:
    found = [p for p in supper(table, takes, own).problems if p.severity == "error"]
    assert [(p.code, p.place.line) for p in found] == [(code, found[0].place.line)]
    assert words in f"{found[0].message} {found[0].hint}"
    assert found[0].place.file.endswith(("sauce.yaml", "roast.yaml"))


def test_a_dish_by_itself_says_that_it_needs_the_meal(table: Table) -> None:
    dish = Production(table.read(SAUCE.format(takes="roast/roast: juices")))
    assert [p.code for p in dish.problems if p.code == "of-another-dish"] == ["of-another-dish"]
    assert dish.schedule is not None
