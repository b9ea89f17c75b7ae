"""What is understood of a step reaches those who ask: the schedule, the shoot list, `check --explain`."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable

import pytest
from conftest import EXAMPLES, Table

Run = Callable[..., "subprocess.CompletedProcess[str]"]
DISH = """dish: {name}
servings: 2
ingredients: {{leek: 200 g}}
steps:
  - {{id: trim, stage: prep, do: Trim the leeks., uses: [leek]}}
  - {{id: only, stage: cook, do: Turn the leeks., add: {{leek: all}}, vessel: {vessel}, heat: "{heat}", hands: 2 min, wait: 10 min}}
"""


def meal_of(table: Table, heat: str) -> str:
    """Two dishes whose cooking must end together, in a kitchen of one burner."""
    table.write("one.yaml", DISH.format(name="Leeks", vessel="tub", heat=heat))
    table.write("two.yaml", DISH.format(name="More leeks", vessel="box", heat=heat))
    text = "meal: Supper\nplates: 2\ndishes: [{dish: one.yaml, portion: 100 g}, {dish: two.yaml, portion: 100 g}]\n"
    return table.write("meal.yaml", text + "kitchen: {cooks: 2, burners: 1, landing: 1 min}\n")


@pytest.mark.parametrize(
    "heat", ["none", "off", "air fryer 190 °C", "microwave", "oven 180 °C", "gas 4", "slow cooker, low"]
)
def test_what_needs_no_burner_lets_two_dishes_share_one(table: Table, run: Run, heat: str) -> None:
    done = run("schedule", meal_of(table, heat))
    assert done.returncode == 0, done.stderr


def test_what_needs_a_burner_does_not(table: Table, run: Run) -> None:
    assert run("schedule", meal_of(table, "low")).returncode == 2


@pytest.mark.parametrize(
    ("heat", "shown"),
    [
        ("off", "off the heat"),
        ("oven 180 °C", "oven 180 °C"),
        ("medium-low", "medium-low heat"),
        ("none", ""),
        ("microwave", "microwave"),
    ],
)
def test_the_shoot_list_says_the_heat_as_a_cook_would(table: Table, run: Run, heat: str, shown: str) -> None:
    text = DISH.format(name="Leeks", vessel="tub", heat=heat).replace("add: {leek: all}", "uses: [leek]")
    assert run("shoot", table.write("one.yaml", text), "-o", "out").returncode in (0, 1)
    page = (table.folder / "out" / "shoot-list.html").read_text(encoding="utf-8")
    said = f"step\N{NO-BREAK SPACE}2, {shown}<" if shown else "step\N{NO-BREAK SPACE}2<"
    assert said in page
    assert "off heat" not in page
    assert "°C heat" not in page


def test_explain_prints_every_step_with_what_it_means_and_the_key_that_overrides_it(run: Run) -> None:
    done = run("check", str(EXAMPLES / "fennel-bisque.yaml"), "--explain")
    assert done.returncode == 0
    assert "4 soften-fennel (cook): Soften the fennel in the butter without letting it colour." in done.stdout
    assert "method      sweat   [from the words; `method:` overrides]" in done.stdout
    assert "heat        on, hob, medium, takes a burner   [heat:]" in done.stdout
    assert "not done    without letting it colour" in done.stdout
    assert "until       a knife slides in (felt)" in done.stdout


def test_explain_as_json(run: Run) -> None:
    data = json.loads(run("check", str(EXAMPLES / "fennel-bisque.yaml"), "--explain", "--json").stdout)
    assert data["problems"] == []
    soften = next(s for s in data["steps"] if s["step"] == "soften-fennel")
    assert soften["heat"] == {
        "on": True, "source": "hob", "setting": "medium", "celsius": None, "level": "medium", "takes_a_burner": True, "written": True,
    }  # fmt: skip
    assert soften["method"] == {"name": "sweat", "written": False}
    assert soften["not_done"] == ["without letting it colour"]
    plain = json.loads(run("check", str(EXAMPLES / "fennel-bisque.yaml"), "--json").stdout)
    assert "steps" not in plain
