"""``schedule`` as a cook runs it: the hour to start, what less would cost, and an order that there is not."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Callable

import pytest
from conftest import Table
from meal_files import FISH, SOUP, Run, supper_files

from scriptkit.shoot.day import schedule

supper = pytest.fixture(supper_files)


def test_the_schedule_as_json(run: Run, supper: Callable[[str], str]) -> None:
    done = run("schedule", supper(""), "--json")
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert {"length_min", "proven", "tasks"} <= set(told)
    assert told["proven"] is True
    for task in told["tasks"]:
        assert {"dish", "step", "start_min", "end_min", "cook", "vessel", "burner"} <= set(task)
    by_step = {t["step"]: t for t in told["tasks"]}
    assert by_step["fry"]["burner"] != by_step["simmer"]["burner"]
    # the salmon is dried while the soup simmers, and fried when that is nearly over
    assert by_step["fry"]["start_min"] > by_step["simmer"]["start_min"]
    assert max(t["end_min"] for t in told["tasks"]) == told["length_min"]


def test_the_schedule_backwards_from_the_serving(run: Run, supper: Callable[[str], str]) -> None:
    meal = supper("")
    length = json.loads(run("schedule", meal, "--json").stdout)["length_min"]
    told = json.loads(run("schedule", meal, "--serve", "18:30", "--json").stdout)
    hours, minutes = map(int, told["start"].split(":")[:2])
    assert (told["serve"], 18 * 60 + 30 - (hours * 60 + minutes)) == ("18:30", -(-length // 1))
    assert "serve at 18:30" in run("schedule", meal, "--serve", "18.30").stdout
    assert run("schedule", meal, "--serve", "00:10").returncode == 0  # the day before
    for wrong in ("25:00", "18:60", "half six", "18"):
        done = run("schedule", meal, "--serve", wrong)
        assert (done.returncode, done.stdout) == (2, "")


def test_what_less_would_cost(run: Run, supper: Callable[[str], str]) -> None:
    told = json.loads(run("schedule", supper("kitchen: {burners: 2, cooks: 2}\n"), "--fewer", "--json").stdout)
    costs = {f["what"]: f["longer_min"] for f in told["fewer"]}
    assert {"one burner fewer", "one cook fewer"} <= set(costs)
    assert all(cost is None or cost >= 0 for cost in costs.values())
    assert all(f["proven"] for f in told["fewer"])


def test_what_less_would_cost_says_how_sure_it_is(
    run: Run, supper: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a search that ends too soon nobody says that it cannot be done, or that it takes so long and no less."""
    meal = supper("kitchen: {burners: 2, cooks: 2}\n")
    found = schedule.searched
    monkeypatch.setattr(schedule, "searched", lambda *of, **pan: found(*of, **pan) if of[1] > 1_000 else None)
    out = run("schedule", meal, "--fewer").stdout
    assert "one cook fewer: no order was found, nor shown that there is none" in out
    assert "cannot be done" not in out
    monkeypatch.setattr(schedule, "searched", lambda *of, **pan: dataclasses.replace(found(*of, **pan), at_least_min=1))
    assert re.search(
        r"^one cook fewer: \+\d+ min in the best orders found$", run("schedule", meal, "--fewer").stdout, re.M
    )
    told = json.loads(run("schedule", meal, "--fewer", "--json").stdout)
    assert not any(f["proven"] for f in told["fewer"] if f["longer_min"] is not None)


@pytest.mark.parametrize(
    ("old", "new", "more", "where", "said"),
    [
        ("hands: 6 min}", "hands: 6 min, after: plate}", "", "fish.yaml:12", "wait for one another"),
        ("heat: high", "heat: oven 200 °C", "kitchen: {ovens: 0}\n", "meal.yaml:2", "the kitchen has none"),
        ("heat: high", "heat: high", "kitchen: {burners: 0}\n", "meal.yaml:2", "a step needs a burner"),
    ],
)
def test_a_schedule_that_there_is_not(
    run: Run, table: Table, supper: Callable[[str], str], old: str, new: str, more: str, where: str, said: str
) -> None:
    meal = supper(more)
    table.write("fish.yaml", FISH.replace(old, new))
    done = run("schedule", meal)
    assert (done.returncode, done.stdout) == (2, "")
    assert where in done.stderr
    assert said in done.stderr
    assert "fix:" in done.stderr


def test_what_would_help_really_does(run: Run, supper: Callable[[str], str]) -> None:
    done = run("schedule", supper("kitchen: {burners: 1}\n"))
    assert done.returncode == 1 and re.search(r"^Ready in .* min late: ", done.stdout, re.M)  # a schedule all the same
    assert "meal.yaml:2" in done.stderr and "cannot be ready within 3 min" in done.stderr
    assert "`kitchen: {burners: 2}`" in done.stderr
    assert json.loads(run("schedule", supper("kitchen: {burners: 1}\n"), "--json").stdout)["late"]
    assert run("schedule", supper("kitchen: {burners: 2}\n")).returncode == 0


def test_one_less_of_a_vessel_and_of_a_dish_alone(run: Run, supper: Callable[[str], str], table: Table) -> None:
    meal = supper("kitchen: {burners: 2, vessels: {stock pot: 2, frying pan: 1}}\n")
    costs = [f["what"] for f in json.loads(run("schedule", meal, "--fewer", "--json").stdout)["fewer"]]
    assert "one stock pot fewer" in costs and "one frying pan fewer" not in costs
    two_pots = SOUP.replace("add: potato, vessel: stock pot", "add: potato, vessel: small pot")
    dish = table.write("soup.yaml", f"{two_pots}    kitchen: {{burners: 1}}\n")
    costs = [f["what"] for f in json.loads(run("schedule", dish, "--fewer", "--json").stdout)["fewer"]]
    assert costs == ["one pan fewer (stock pot washed, and used for small pot too)"]


SEAR = """
    dish: Chops
    servings: 2
    ingredients: {leek: 300 g}
    steps:
      - {id: fry, stage: cook, do: Fry it., add: leek, vessel: PAN, heat: high, hands: 8 min}
      - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min}
"""
IN_TURN = "meal: M\nplates: 1\ndishes: [{dish: soup.yaml, portion: 100 g}, {dish: chops.yaml, portion: 100 g}]\n"


def test_a_pan_is_offered_for_another_only_where_that_helps(run: Run, table: Table) -> None:
    """Of its kind, emptied by hands that are done, and washed: two minutes more than the day with two of them, at least."""
    table.write("soup.yaml", SOUP)
    meal = table.write("meal.yaml", f"{IN_TURN}kitchen: {{landing: 1 h, filming: 0 min, cooks: 2}}\n")
    offered = {}
    for pan in ("frying pan", "second pot"):
        table.write("chops.yaml", SEAR.replace("PAN", pan))
        told = json.loads(run("schedule", meal, "--fewer", "--json").stdout)["fewer"]
        offered[pan] = [f["longer_min"] for f in told if f["what"].startswith("one pan fewer")]
    assert offered["frying pan"] == []  # nobody sears in a stock pot that has soup in it
    # the chops come first: fried, plated, and the pot washed, and the leek is in it after 12 min in place of the 4 that it is sliced
    assert offered["second pot"] == [8 + 2 + 2 - 4]


def test_a_day_that_is_late_is_no_later_with_a_burner_that_it_does_not_use(run: Run, table: Table) -> None:
    table.write("soup.yaml", SOUP)
    table.write("chops.yaml", SEAR.replace("PAN", "frying pan"))
    late = "kitchen: {landing: 0 min, filming: 0 min, cooks: 1, burners: BURNERS}\n"
    for burners, cost in ((4, "+0 min"), (3, "+0 min")):
        meal = table.write("meal.yaml", IN_TURN + late.replace("BURNERS", str(burners)))
        out = run("schedule", meal, "--fewer").stdout
        assert "late" in out and f"one burner fewer: {cost}" in out
