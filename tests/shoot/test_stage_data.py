"""What the stage page knows beside the list: when an oven is to be switched on, and with which shot a wait begins."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Table

from scriptkit.measure.timecode import RATES
from scriptkit.papers.stage import stage_data
from scriptkit.production import Production

LEGS = """
dish: Legs
servings: 2
kitchen: {cooks: 1, ovens: 1, preheat: 15 min}
ingredients:
  chicken: {amount: 900 g, food: chicken leg}
  yoghurt: {amount: 200 g, food: "yoghurt, plain"}
  sweet potato: 600 g
  salt: 6 g
  figs: 100 g
steps:
  - {id: marinate, stage: prep, do: Turn the chicken in the yoghurt., add: {yoghurt: all, chicken: all}, vessel: bowl, hands: 6 min, wait: 2 h}
  - {id: cube, stage: prep, do: Cube the sweet potato., uses: sweet potato, hands: 5 min}
  - {id: roast, stage: cook, from: marinate, do: Lift the chicken out and roast it., add: {sweet potato: all, salt: all}, vessel: tin, heat: oven 200 °C, core: 74 °C, hands: 4 min, wait: 45 min, screen: 20 s}
  - {id: figs, stage: cook, from: roast, do: Roast the figs beside it., add: {figs: all}, vessel: tray, heat: oven 220 °C, hands: 2 min, wait: 10 min}
"""


def known(table: Table, text: str) -> dict[str, Any]:
    day = Production(table.read(text))
    data = stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats)
    return dict(data)


def test_the_oven_is_switched_on_at_the_shot_that_is_filmed_when_it_is_due(table: Table) -> None:
    data = known(table, LEGS)
    order = [data["shots"][first + n] for first, many in data["day"] for n in range(many)]
    first, second = data["ovens"]
    slate = next(shot[0] for shot in order if shot[1] == 2)
    assert first[2] == f"Switch the oven on, 15 min before the dish goes in, at {slate}: 200 °C"
    shown = [data["steps"][order[at][1]][0] for at in range(first[0], first[1] + 1)]
    assert shown == ["cube", "roast"]  # for whoever waits at the last shot before it, and for whoever went on
    slate = next(shot[0] for shot in order if shot[1] == 3)
    assert second[2] == f"Turn the oven up, when {slate} begins: 220 °C"  # what was roasted stays in it until then


def test_without_a_lead_the_oven_is_switched_on_with_its_own_shot(table: Table) -> None:
    data = known(table, LEGS.replace("preheat: 15 min", "preheat: 0 min"))
    order = [data["shots"][first + n] for first, many in data["day"] for n in range(many)]
    at = next(n for n, shot in enumerate(order) if shot[1] == 2)
    assert data["ovens"][0] == [at, at, f"Switch the oven on, when the dish goes in, at {order[at][0]}: 200 °C"]


def begins(data: dict[str, Any], step: str) -> str:
    """What is seen of the one shot with which the wait of the step begins."""
    number = [one[0] for one in data["steps"]].index(step)
    found = [shot for shot in data["shots"] if shot[1] == number and len(shot) > 8 and shot[8] & 2]
    assert len(found) == 1
    return str(found[0][4] or found[0][3][-1][0])


@pytest.mark.parametrize(
    ("step", "with_"),
    [("marinate", "Turn the chicken in the yoghurt."), ("roast", "Lift the chicken out and roast it.")],
)
def test_a_wait_off_the_hob_begins_when_the_whole_step_is_done(table: Table, step: str, with_: str) -> None:
    assert begins(known(table, LEGS), step) == with_


POT = """
dish: Beans
servings: 2
ingredients: {beans: {amount: 400 g, food: green beans}, stock: {amount: 500 g, food: "stock, vegetable"}}
steps:
  - {id: soak, stage: prep, do: Soak the beans., add: {beans: all}, vessel: bowl, hands: 2 min}
  - {id: boil, stage: cook, from: soak, do: Lift the beans in and boil them., add: {stock: all}, vessel: %s, heat: high, wait: 5 min}
"""


def test_on_the_hob_it_begins_when_all_is_in_the_pan(table: Table) -> None:
    assert (
        begins(known(table, POT % "pot"), "boil") == "Lift the beans in and boil them."
    )  # they come from another vessel
    fried = POT.replace("boil them", "fry them")
    assert begins(known(table, fried % "bowl"), "boil") == "stock"  # which are in it already


@pytest.mark.parametrize(
    ("do", "with_"),
    [
        (
            "Pour in the stock and simmer the beans.",
            "Pour in the stock and simmer the beans.",
        ),  # cold stock is no simmer
        ("Bring the beans and the stock to the boil.", "Bring the beans and the stock to the boil."),
        ("Soften the beans with the stock.", "stock"),
    ],
)
def test_what_must_come_to_a_simmer_first_begins_its_wait_when_it_simmers(do: str, with_: str, table: Table) -> None:
    assert begins(known(table, POT.replace("Lift the beans in and boil them.", do) % "bowl"), "boil") == with_
