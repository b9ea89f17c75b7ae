"""``portion`` as a cook runs it, and its limits wherever else they are told: ``check``, ``macros``, the cards."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Table
from meal_files import BISQUE, PICKLE, SUPPER, Run, supper_files
from messages import kinds, placed

supper = pytest.fixture(supper_files)


def one_plate(meal: str) -> str:
    """The same meal for one, so that the pots hold more than is asked for."""
    Path(meal).write_text(Path(meal).read_text(encoding="utf-8").replace("plates: 4", "plates: 1"), encoding="utf-8")
    return meal


def test_portions_as_json(run: Run, supper: Callable[[str], str]) -> None:
    done = run("portion", supper(""), "--at-most", "net_carbs_g=20", "--at-least", "protein_g=25", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    told = json.loads(done.stdout)
    assert set(told) == {"format", "portions", "basis", "plates_of_pot", "plate", "alternatives", "conflict"}
    assert [set(p) for p in told["portions"]] == [{"dish", "weight_g", "usual_g", "measure"}] * 2
    assert [p["measure"] for p in told["portions"]] == [None, None]  # served by weight
    assert [p["usual_g"] for p in told["portions"]] == [300, 150]
    assert told["plate"]["net_carbs_g"] <= 20
    assert told["plate"]["protein_g"] >= 25
    assert told["plate"]["weight_g"] == sum(p["weight_g"] for p in told["portions"])
    assert all(p["weight_g"] % 10 == 0 or p["weight_g"] == p["usual_g"] for p in told["portions"])
    assert told["conflict"] == []


def test_portions_in_the_steps_that_a_cook_serves(run: Run, supper: Callable[[str], str], table: Table) -> None:
    meal = supper("")
    text = (table.folder / "meal.yaml").read_text(encoding="utf-8")
    table.write("meal.yaml", text.replace("dish: soup.yaml", "step: 1/4 serving, dish: soup.yaml"))
    told = json.loads(run("portion", meal, "--at-most", "net_carbs_g=20", "--json").stdout)
    soup = told["portions"][0]
    assert soup["weight_g"] % 75 == 0  # a serving is 300 g
    assert soup["measure"] in {"¼ serving", "½ serving", "¾ serving", "1 serving"}
    assert f"{soup['weight_g']:g} g  {soup['measure']}" in run("portion", meal, "--at-most", "net_carbs_g=20").stdout


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
    meal = one_plate(supper("at_most: {energy_kcal: 500}\nat_least: {protein_g: 80}\n"))
    done = run("portion", meal)
    assert done.returncode == 1
    assert "meal.yaml:7:24 warning limits-contradict" in placed(done.stderr)
    assert "meal.yaml:8:23 warning limits-contradict" in placed(done.stderr)
    assert "no portions keep at most 500 kcal energy and at least 80 g protein" in done.stderr
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


def test_an_unknown_figure_of_the_only_meal_is_a_warning_of_check(
    run: Run, table: Table, supper: Callable[[str], str]
) -> None:
    table.write("pantry.yaml", PICKLE)
    done = run("check", supper("at_table: {pickle: 20 g}\nonly_meal: {at_most: {net_carbs_g: 9}}\n"))
    assert done.returncode == 1
    assert "warning limit-unknown" in kinds(done.stderr)
    assert "warning: net_carbs_g of pickle cannot be told" in done.stderr


def test_nothing_is_suggested_where_another_limited_figure_is_unknown(
    run: Run, table: Table, supper: Callable[[str], str]
) -> None:
    table.write("pantry.yaml", PICKLE)
    meal = supper("at_table: {pickle: 20 g}\nat_most: {net_carbs_g: 9, weight_g: 100}\n")
    done = run("check", meal)
    assert done.returncode == 1
    assert "warning limit" in kinds(done.stderr) and "net_carbs_g" in done.stderr
    assert run("pack", meal, "-o", "out").returncode == 1
    assert "For at most" not in (table.folder / "out" / "files" / "overlays.srt").read_text(encoding="utf-8")


def test_the_only_meal_that_cannot_be_is_told_beside_the_macros(run: Run, supper: Callable[[str], str]) -> None:
    done = run("macros", supper("only_meal: {at_most: {net_carbs_g: 1}, at_least: {protein_g: 200}}\n"))
    assert done.returncode == 1
    assert "no portions keep the limits of the only meal together" in done.stdout


def test_the_portions_that_keep_the_promise_stand_on_the_card(
    run: Run, supper: Callable[[str], str], table: Table
) -> None:
    meal = supper("at_most: {net_carbs_g: 16}\n")
    assert run("captions", meal, "-o", "o.srt", "--cards", "cards").returncode in (0, 1)
    grams = json.loads(run("portion", meal, "--json").stdout)["portions"]
    cards = [p.read_text(encoding="utf-8") for p in (table.folder / "cards").iterdir() if "portions" in p.name]
    assert cards
    for card in cards:
        assert "For at most 16 g net carbs" in card
        assert all(f"{p['weight_g']:g} g" in card for p in grams)


@pytest.fixture
def bounded(supper: Callable[[str], str], table: Table) -> Callable[[str], str]:
    """The supper, its soup served by 200 g from ``least`` to 390 g: no step lies there."""

    def write(least: str) -> str:
        text = Path(supper("at_most: {net_carbs_g: 1}\n")).read_text(encoding="utf-8")
        bounds = f"{{dish: soup.yaml, step: 200 g, least: {least}, most: 390 g}}"
        return one_plate(table.write("meal.yaml", text.replace("{dish: soup.yaml}", bounds)))

    return write


def test_where_no_step_is_within_the_portions_own_bounds_the_usual_one_is_left(
    run: Run, bounded: Callable[[str], str]
) -> None:
    meal = bounded("210 g")
    done = run("portion", meal)
    assert done.returncode == 1
    assert "net carbs would do" in done.stderr
    fits = json.loads(run("portion", meal, "--at-most", "net_carbs_g=90", "--json").stdout)
    assert fits["portions"][0]["weight_g"] == 300


@pytest.mark.parametrize("limit", ["net_carbs_g=90", "net_carbs_g=1", "fat_to_net_carbs=0.01"])
def test_where_the_portions_own_bounds_leave_nothing_that_is_told(
    run: Run, bounded: Callable[[str], str], limit: str
) -> None:
    done = run("portion", bounded("310 g"), "--at-most", limit)
    assert done.returncode == 1
    assert "meal.yaml:5:5 warning no-portion" in placed(done.stderr)
    assert "warning: Leek soup has no portion from 310 g to 390 g" in done.stderr
    assert "limits-contradict" not in done.stderr


def test_a_ratio_of_what_nobody_knows_is_unknown_beside_the_macros(
    run: Run, table: Table, supper: Callable[[str], str]
) -> None:
    table.write("pantry.yaml", PICKLE)
    out = run("macros", supper("at_table: {pickle: 20 g}\nonly_meal: {at_least: {protein_g: 20}}\n")).stdout
    row = next(line for line in out.splitlines() if line.startswith("  grams of fat to one gram"))
    assert row.split()[-2:] == ["unknown", "unknown"]


def test_a_plate_has_one_likely_range_in_portion_and_in_macros(run: Run, tmp_path: Path) -> None:
    """Of servings that are shares of a pot that nobody weighed."""
    for name, grams in (("one", 300), ("two", 250)):
        step = "steps: [{stage: cook, do: Simmer it., add: {leek: all, water: all}, heat: low, wait: 25 min}]"
        text = f"dish: {name}\nservings: 2\ningredients: {{leek: {grams} g, water: 600 ml}}\n{step}\n"
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    meal = tmp_path / "meal.yaml"
    dishes = "dishes: [{dish: one.yaml, portion: 1 serving}, {dish: two.yaml, portion: 1 serving}]"
    meal.write_text(f"meal: M\nplates: 2\n{dishes}\nat_most: {{net_carbs_g: 45}}\n", encoding="utf-8")
    of_plate = re.search(r"it has ([\d.]+) g \(likely ([\d.–]+) g\)", run("macros", str(meal)).stdout)
    of_portion = re.search(r"([\d.]+) with these portions \(likely ([\d.–]+) g\)", run("portion", str(meal)).stdout)
    assert of_plate and of_portion and of_plate.groups() == of_portion.groups()
