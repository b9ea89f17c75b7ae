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
