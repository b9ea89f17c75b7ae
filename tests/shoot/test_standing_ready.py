"""A dish of the meal that is ready hours before it is served, and spoils."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.production import Production

HAM = "dish: Ham\nservings: 2\ningredients: {leek: 500 g}\nsteps: [{id: bake, stage: cook, do: Bake it., add: leek, vessel: tin, heat: oven 160 °C, hands: 5 min, wait: 6 h}]\n"
SLAW = "dish: Slaw\nservings: 2\ningredients: {cabbage: 300 g, yoghurt: {amount: 60 g, food: 'yoghurt, greek'}}\nsteps: [{id: mix, stage: prep, do: DO, add: WHAT, vessel: bowl, hands: 3 min}]\n"
MEAL = "meal: Supper\nplates: 2\ndishes: [{dish: ham.yaml, portion: 1 serving}, {dish: slaw.yaml, portion: 1 serving}]\nkitchen: {cooks: 1}\n"


@pytest.mark.parametrize(("do", "what", "told"), [
    ("Mix it.", "[cabbage, yoghurt]", 1), ("Mix it and chill it in the fridge.", "[cabbage, yoghurt]", 0),
])  # fmt: skip
def test_what_spoils_stands_in_the_fridge_until_the_serving(table: Table, do: str, what: str, told: int) -> None:
    table.write("ham.yaml", HAM)
    table.write("slaw.yaml", SLAW.replace("DO", do).replace("WHAT", what))
    found = [p for p in Production(table.read(MEAL, "meal.yaml")).problems if p.code == "stands-ready"]
    assert len(found) == told


LONG = """dish: Rice salad
servings: 2
kitchen: {cooks: 1}
ingredients: {rice: {amount: 200 g, food: 'rice, long-grain white'}, pork: {amount: 800 g, food: 'pork shoulder'}}
steps:
  - {id: boil, stage: cook, do: "Boil the rice, drain itCOLD.", add: rice, vessel: pot, heat: medium, hands: 5 min, wait: 12 minKEEPS}
  - {id: roast, stage: cook, do: "Roast the pork.", add: pork, from: [], after: [boil], vessel: tin, heat: oven 150 °C, hands: 5 min, wait: 3 h}
  - {id: toss, stage: cook, do: "Shred the pork and toss it with the rice.", from: [boil, roast], vessel: bowl, hands: 5 min}
"""


@pytest.mark.parametrize(("cold", "keeps", "told"), [
    ("", "", ["rice"]), (" and chill it in the fridge", "", []), ("", ", keeps: 1 h", []),
])  # fmt: skip
def test_what_waits_for_hours_for_the_next_step_by_the_schedule(
    table: Table, cold: str, keeps: str, told: list[str]
) -> None:
    text = LONG.replace("COLD", cold).replace("KEEPS", keeps)
    found = [p for p in Production(table.read(text)).problems if p.code == "stands-waiting"]
    assert [p.message.partition(" spoils")[0].rpartition("and ")[2] for p in found] == told
    assert all("3 h" in p.message for p in found)
