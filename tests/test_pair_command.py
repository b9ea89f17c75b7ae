"""``pair`` as a cook runs it: ranked partners, and those that are left out."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from meal_files import BISQUE, FISH, PICKLE, SUPPER, Run, supper_files

supper = pytest.fixture(supper_files)


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
    limits = ["--at-most", "net_carbs_g=20", "--at-least", "protein_g=25"]
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


def test_a_dish_whose_limited_figure_nobody_knows_is_no_partner_and_is_told(
    run: Run, table: Table, supper: Callable[[str], str]
) -> None:
    supper("")
    table.write("pantry.yaml", PICKLE)
    table.write("fish.yaml", FISH.replace("olive oil: 30 g", "olive oil: 30 g\n      pickle: 20 g"))
    done = run("pair", "soup.yaml", "--with", ".", "--at-most", "net_carbs_g=25", "--json")
    told = json.loads(done.stdout)
    assert (done.returncode, told["pairs"]) == (1, [])
    (left_out,) = [p for p in told["problems"] if "fish.yaml" in p["file"]]
    assert left_out["code"] == "left-out" and "Fried salmon is skipped" in left_out["message"]
    assert run("pair", "soup.yaml", "--with", ".", "--at-most", "weight_g=900").returncode == 0
