"""``portion``, ``pair`` and ``schedule`` as a cook runs them: what is printed, what comes as JSON, and what cannot be done."""

from __future__ import annotations

import dataclasses
import json
import re
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table

from scriptkit.shoot import schedule

Run = Callable[..., subprocess.CompletedProcess[str]]
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
BISQUE = str(EXAMPLES / "fennel-bisque.yaml")

SOUP = """
    dish: Leek soup
    servings: 4
    serving: 300 g
    cooked_weight: 1.2 kg
    ingredients:
      leek: 500 g
      butter: {amount: 60 g, food: "butter, unsalted"}
      potato: 300 g
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min}
      - {id: soften, stage: cook, do: Soften the leek., add: [leek, butter], vessel: stock pot, heat: low, hands: 1 min, wait: 8 min}
      - {id: simmer, stage: cook, do: Simmer the potato in it., add: potato, vessel: stock pot, heat: low, hands: 1 min, wait: 20 min}
      - {id: ladle, stage: cook, do: Ladle it into bowls., vessel: soup bowls, hands: 2 min}
"""
FISH = """
    dish: Fried salmon
    servings: 4
    serving: 150 g
    cooked_weight: 600 g
    ingredients:
      salmon: 720 g
      olive oil: 30 g
    steps:
      - {id: dry, stage: prep, do: Pat it dry., uses: salmon, hands: 2 min}
      - {id: fry, stage: cook, do: Fry it., add: all-of-it, vessel: frying pan, heat: high, hands: 6 min}
      - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min}
""".replace("add: all-of-it", "add: [salmon, olive oil]")
MEAL = """
    meal: Supper
    plates: 4
    dishes:
      - {dish: soup.yaml}
      - {dish: fish.yaml}
"""


@pytest.fixture
def supper(table: Table) -> Callable[[str], str]:
    """Writes the supper's files, with more of the meal's own; the meal's file."""

    def write(more: str = "") -> str:
        table.write("soup.yaml", SOUP)
        table.write("fish.yaml", FISH)
        return table.write("meal.yaml", textwrap.dedent(MEAL) + textwrap.dedent(more))

    return write


# portion


def test_portions_as_json(run: Run, supper: Callable[[str], str]) -> None:
    done = run("portion", supper(""), "--at-most", "net_carbs_g=12", "--at-least", "protein_g=25", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    told = json.loads(done.stdout)
    assert set(told) == {"portions", "basis", "plate", "conflict"}
    assert [set(p) for p in told["portions"]] == [{"dish", "weight_g", "usual_g", "measure"}] * 2
    assert [p["measure"] for p in told["portions"]] == [None, None]  # served by weight
    assert [p["usual_g"] for p in told["portions"]] == [300, 150]
    assert told["plate"]["net_carbs_g"] <= 12
    assert told["plate"]["protein_g"] >= 25
    assert told["plate"]["weight_g"] == sum(p["weight_g"] for p in told["portions"])
    assert all(p["weight_g"] % 10 == 0 or p["weight_g"] == p["usual_g"] for p in told["portions"])
    assert told["conflict"] == []


def test_portions_in_the_steps_that_a_cook_serves(run: Run, supper: Callable[[str], str], table: Table) -> None:
    meal = supper("")
    text = (table.folder / "meal.yaml").read_text(encoding="utf-8")
    table.write("meal.yaml", text.replace("dish: soup.yaml", "step: 1/4 serving, dish: soup.yaml"))
    told = json.loads(run("portion", meal, "--at-most", "net_carbs_g=9", "--json").stdout)
    soup = told["portions"][0]
    assert soup["weight_g"] % 75 == 0  # a serving is 300 g
    assert soup["measure"] in {"¼ serving", "½ serving", "¾ serving", "1 serving"}
    assert f"{soup['weight_g']:g} g  {soup['measure']}" in run("portion", meal, "--at-most", "net_carbs_g=9").stdout


def test_limits_of_the_only_meal_that_contradict_one_another_are_told_by_check(
    run: Run, supper: Callable[[str], str]
) -> None:
    assert "limits-contradict" not in run("check", supper("only_meal: {at_most: {net_carbs_g: 40}}\n")).stderr
    done = run("check", supper("only_meal: {at_most: {net_carbs_g: 1}, at_least: {protein_g: 200}}\n"))
    assert done.returncode == 1
    assert "limits-contradict" in done.stdout + done.stderr


def test_options_win_over_the_file(run: Run, supper: Callable[[str], str]) -> None:
    meal = supper("at_most: {net_carbs_g: 1}\n")
    assert run("portion", meal).returncode == 1  # not even the smallest portions
    done = run("portion", meal, "--at-most", "net_carbs_g=40")
    assert done.returncode == 0, done.stderr
    assert "at most 40 g net carbs" in done.stdout
    assert "at most 1 g" not in done.stdout


def test_a_plate_inside_its_limits_keeps_its_usual_portions(run: Run) -> None:
    """165 g of hake is no whole number of 10 g, and yet what is served every day."""
    done = run("portion", SUPPER, "--json")
    assert [p["weight_g"] for p in json.loads(done.stdout)["portions"]] == [320, 165]


@pytest.mark.parametrize(
    "limit",
    [
        "net_carbs_g=8", "energy_kcal=400", "weight_g=350", "fat_to_protein_and_net_carbs=0.6", "fat_to_net_carbs=1.5",
        "fat_energy_percent=60", "saturated_g=8",
    ],
)  # fmt: skip
def test_every_kind_of_limit_is_kept_as_printed(run: Run, limit: str) -> None:
    done = run("portion", SUPPER, "--at-most", limit, "--json")
    told = json.loads(done.stdout)
    if told["portions"]:
        assert done.returncode == 0
        name, figure = limit.split("=")
        if name in told["plate"]:
            assert told["plate"][name] <= float(figure)
    else:
        assert done.returncode == 1
        assert {c["limit"] for c in told["conflict"]} >= {limit.partition("=")[0]}


def test_limits_that_contradict_one_another(run: Run, supper: Callable[[str], str]) -> None:
    meal = supper("at_most: {energy_kcal: 300}\nat_least: {protein_g: 60}\n")
    done = run("portion", meal)
    assert done.returncode == 1
    assert f"{meal}:7:24: warning[limits-contradict]" in done.stderr
    assert f"{meal}:8:23: warning[limits-contradict]" in done.stderr
    assert "no portions keep at most 300 kcal energy and at least 60 g protein" in done.stderr
    would_do = json.loads(run("portion", meal, "--json").stdout)["conflict"]
    least = next(c["would_do"] for c in would_do if c["limit"] == "energy_kcal")
    assert run("portion", meal, "--at-most", f"energy_kcal={least}").returncode == 0
    assert run("portion", meal, "--at-most", f"energy_kcal={least - 5}").returncode == 1


@pytest.mark.parametrize(
    ("more", "where", "said"),
    [
        ("at_most: {net_carb_g: 9}\n", "meal.yaml:7:11", "net_carb_g"),
        ("at_least: {protein: 9}\n", "meal.yaml:7:12", "protein"),
        ("at_most: {net_carbs_g: few}\n", "meal.yaml:7:24", "few"),
        ("at_most: {net_carbs_g: -3}\n", "meal.yaml:7:24", "-3"),
    ],
)
def test_a_limit_on_nothing_is_told_with_its_line(
    run: Run, supper: Callable[[str], str], more: str, where: str, said: str
) -> None:
    done = run("portion", supper(more))
    assert done.returncode == 2
    assert done.stdout == ""
    assert where in done.stderr
    assert said in done.stderr


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--at-most", "net_carb_g=9"], "did you mean net_carbs_g?"),
        (["--at-most", "net_carbs_g"], "net_carbs_g=12"),
        (["--at-most", "net_carbs_g=x"], "has no figure"),
        (["--at-least", "magic=1", "--at-most", "moon=2"], "moon"),
        ([], "there is no limit to keep"),
    ],
)
def test_a_limit_that_cannot_be_read(run: Run, supper: Callable[[str], str], arguments: list[str], said: str) -> None:
    done = run("portion", supper(""), *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_portions_of_a_dish_are_refused(run: Run) -> None:
    done = run("portion", BISQUE, "--at-most", "fat_g=1")
    assert (done.returncode, done.stdout) == (2, "")
    assert "not-a-meal" in done.stderr


def test_a_figure_that_nobody_knows_cannot_be_limited(run: Run, table: Table, supper: Callable[[str], str]) -> None:
    """In a dish, and in a garnish at the table."""
    label = "foods: {pickle: {per: 100 g, basis: eu, fat_g: 1, protein_g: 1, energy_kcal: 30}}"
    table.write("pantry.yaml", f"{label}\n")
    done = run("portion", supper("at_table: {pickle: 20 g}\n"), "--at-most", "net_carbs_g=12")
    assert "Traceback" not in done.stderr
    assert (done.returncode, done.stdout) == (2, "")
    assert "pickle" in done.stderr


def test_a_missing_dish_file(run: Run, table: Table) -> None:
    meal = table.write("meal.yaml", "meal: M\ndishes:\n  - {dish: gone.yaml}\nat_most: {fat_g: 9}\n")
    for command in (["portion", meal], ["schedule", meal]):
        done = run(*command)
        assert (done.returncode, done.stdout) == (2, "")
        assert "meal.yaml:3" in done.stderr
        assert "gone.yaml" in done.stderr


# pair


def test_pair_ranks_leaves_out_and_tells(run: Run, table: Table, supper: Callable[[str], str]) -> None:
    supper("")
    table.write("broken.yaml", "dish: [")
    table.write("odd.yaml", "dish: Odd\nservings: 0\n")
    table.write("notes.txt", "not a dish")
    done = run(
        "pair", str(table.folder / "soup.yaml"), "--with", str(table.folder), "--at-most", "net_carbs_g=25", "--json"
    )
    told = json.loads(done.stdout)
    assert done.returncode == 0
    assert told["dish"] == "Leek soup"
    assert [p["dish"] for p in told["pairs"]] == ["Fried salmon"]  # not itself, nor the meal, nor what cannot be read
    assert {Path(p["file"]).name for p in told["problems"]} == {"broken.yaml", "odd.yaml"}
    pair = told["pairs"][0]
    assert pair["plate"]["net_carbs_g"] <= 25
    assert pair["plate"]["weight_g"] == pair["weight_g"] + pair["beside_g"]


def test_pair_gives_the_portions_that_portion_does(run: Run, supper: Callable[[str], str]) -> None:
    meal = supper("")
    limits = ["--at-most", "net_carbs_g=9", "--at-least", "protein_g=35"]
    folder = Path(meal).parent
    pair = json.loads(run("pair", str(folder / "soup.yaml"), "--with", str(folder), *limits, "--json").stdout)["pairs"][
        0
    ]
    portions = json.loads(run("portion", meal, *limits, "--json").stdout)["portions"]
    assert [pair["beside_g"], pair["weight_g"]] == [p["weight_g"] for p in portions]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([BISQUE, "--with", "nowhere", "--at-most", "fat_g=9"], "no-such-folder"),
        ([BISQUE, "--with", str(EXAMPLES)], "there is no limit to keep"),
        ([SUPPER, "--with", str(EXAMPLES), "--at-most", "fat_g=9"], "not-a-dish"),
    ],
)
def test_a_pair_that_cannot_be_sought(run: Run, arguments: list[str], said: str) -> None:
    done = run("pair", *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_no_partner_is_exit_one(run: Run) -> None:
    done = run("pair", BISQUE, "--with", str(EXAMPLES), "--at-most", "energy_kcal=10")
    assert done.returncode == 1
    assert "none of" in done.stdout


# schedule


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
    found = schedule._found
    monkeypatch.setattr(schedule, "_found", lambda source, nodes: found(source, nodes) if nodes > 1_000 else None)
    out = run("schedule", meal, "--fewer").stdout
    assert "one cook fewer: no order was found, nor shown that there is none" in out
    assert "cannot be done" not in out
    monkeypatch.setattr(schedule, "_found", lambda *of: dataclasses.replace(found(*of), at_least_min=1))
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
        ("heat: high", "heat: high", "kitchen: {burners: 1}\n", "meal.yaml:2", "cannot land within 3 min"),
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
    assert "hint:" in done.stderr


def test_what_would_help_really_does(run: Run, supper: Callable[[str], str]) -> None:
    done = run("schedule", supper("kitchen: {burners: 1}\n"))
    assert "`burners: 2`" in done.stderr
    assert run("schedule", supper("kitchen: {burners: 2}\n")).returncode == 0


# what is loaded when

PROBE = """
import sys
from scriptkit import cli
sys.argv = ["scriptkit", *{arguments}]
try:
    cli.main()
except SystemExit:
    pass
print([m for m in ("numpy", "highspy", "scriptkit.shoot.sequencing", "scriptkit.nutrition.portioning") if m in sys.modules])
"""


@pytest.mark.parametrize(
    ("arguments", "loaded"),
    [
        (["--help"], "[]"),
        (["food", "butter"], "[]"),
        (["macros", SUPPER], "['scriptkit.nutrition.portioning']"),
        (["check", "plain.yaml"], "['scriptkit.nutrition.portioning']"),
        (
            ["pair", BISQUE, "--with", str(EXAMPLES), "--at-most", "net_carbs_g=20"],
            "['scriptkit.nutrition.portioning']",
        ),
        (["schedule", SUPPER], "['numpy', 'scriptkit.shoot.sequencing']"),
        (["portion", SUPPER], "['numpy', 'highspy', 'scriptkit.nutrition.portioning']"),
    ],
)
def test_the_solver_is_loaded_only_by_what_needs_it(arguments: list[str], loaded: str, table: Table) -> None:
    """numpy, which takes longer to load than most commands take to run, comes with the schedule and the solver only."""
    table.write("plain.yaml", "dish: Butter\nservings: 1\ncooked_weight: 30 g\ningredients: {salmon: 30 g}\n")
    done = subprocess.run(
        [sys.executable, "-c", PROBE.format(arguments=arguments)],
        capture_output=True, encoding="utf-8", check=False, cwd=table.folder,
    )  # fmt: skip
    assert done.stdout.splitlines()[-1] == loaded, done.stderr
