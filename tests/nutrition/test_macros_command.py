"""``scriptkit macros`` and ``scriptkit food``, run as a person runs them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table
from messages import kinds, placed

from scriptkit.cli import macros
from scriptkit.problems import CannotDo

Run = Callable[..., CompletedProcess[str]]

BISQUE = str(EXAMPLES / "fennel-bisque.yaml")
SUPPER = str(EXAMPLES / "harbour-supper.yaml")


def test_a_dish(run: Run) -> None:
    done = run("macros", BISQUE)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Fennel and celeriac bisque\n")
    assert "serving (1 of 6)     320" in done.stdout


@pytest.mark.parametrize(
    ("portion", "grams"), [("250g", 250), ("250 g", 250), ("1/2 serving", 160), ("2 servings", 640), ("½ serving", 160), ("8 oz", 226.8)]
)  # fmt: skip
def test_a_portion(capsys: pytest.CaptureFixture[str], portion: str, grams: float) -> None:
    assert macros.run(BISQUE, portion=portion, as_json=True) == 0
    out = json.loads(capsys.readouterr().out)
    assert out["portion"]["weight_g"] == pytest.approx(grams, abs=0.1)
    share = grams / out["serving"]["weight_g"]
    assert out["portion"]["fat_g"] == pytest.approx(out["serving"]["fat_g"] * share, abs=0.03)
    assert macros.run(BISQUE, portion=portion) == 0
    assert re.search(rf"^portion {grams:.0f} g +{grams:.0f} ", capsys.readouterr().out, re.MULTILINE)


def test_a_portion_as_the_command(run: Run) -> None:
    done = run("macros", BISQUE, "--portion", "1/2 serving")
    assert (done.returncode, done.stderr) == (0, "")
    assert re.search(r"^portion 160 g +160 ", done.stdout, re.MULTILINE)


@pytest.mark.parametrize(
    "portion", ["3 mugs", "2 medium", "lots", "-50 g", "1-2 servings", "0 g", "nan g", "1/0 serving"]
)
def test_a_portion_that_cannot_be_told(portion: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        macros.run(BISQUE, portion=portion)
    assert all(p.place.file == "--portion" and p.message and p.hint for p in wrong.value.problems)


def test_a_portion_that_cannot_be_told_prints_no_table(run: Run) -> None:
    done = run("macros", BISQUE, "--portion=3 mugs")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(
        "--portion:1:1: error: “mugs” in “3 mugs” is not a unit this kitchen knows [unit]\n  fix: "
    )


def test_a_meals_portions_stand_in_its_file(run: Run) -> None:
    done = run("macros", SUPPER, "--portion", "250 g")
    assert (done.returncode, done.stdout) == (2, "")
    assert "a meal's portions stand in its file" in done.stderr


def test_the_basis(run: Run) -> None:
    us, eu = (json.loads(run("macros", BISQUE, "--basis", b, "--json").stdout) for b in ("us", "eu"))
    assert (us["basis"], eu["basis"]) == ("us", "eu")
    assert eu["batch"]["carbohydrate_g"] == pytest.approx(
        us["batch"]["carbohydrate_g"] - us["batch"]["fibre_g"], abs=0.02
    )
    assert eu["batch"]["net_carbs_g"] == pytest.approx(us["batch"]["net_carbs_g"], abs=0.01)
    assert "EU basis: carbohydrate excludes fibre" in run("macros", BISQUE, "--basis", "eu").stdout
    wrong = run("macros", BISQUE, "--basis", "metric")
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert "“metric” is not a basis" in wrong.stderr


@pytest.mark.parametrize("source", [BISQUE, SUPPER])
def test_a_label(run: Run, source: str) -> None:
    assert "as a US label would round it (21 CFR 101.9(c))\n  calories " in run("macros", source, "--label").stdout


def test_a_meal(run: Run) -> None:
    done = run("macros", SUPPER)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\nthe plate " in done.stdout and "\n4 plates " in done.stdout
    out = json.loads(run("macros", SUPPER, "--json").stdout)
    assert [p["dish"] for p in out["portions"]] == [
        "Fennel and celeriac bisque",
        "Seared hake with brown butter and capers",
    ]


def test_a_meal_that_breaks_its_promise_is_told_and_exits_1(run: Run, table: Table) -> None:
    table.write("toast.yaml", "dish: Toast\nservings: 1\ningredients: {rye: {amount: 80 g, food: 'bread, rye'}}\n")
    meal = table.write("meal.yaml", "meal: Breakfast\ndishes: [{dish: toast.yaml}]\nat_most: {net_carbs_g: 5}\n")
    done = run("macros", meal)
    assert done.returncode == 1
    assert "the plate " in done.stdout
    # SR28 18060, rye bread: 48.3 - 5.8 g per 100 g, of 80 g: 34.0 g
    assert "the plate has 34.0 g net carbs, 29.0 g more than was promised (at most 5 g)" in done.stderr
    assert "meal.yaml:3:24 warning limit" in placed(done.stderr)


def test_a_dish_with_an_unknown_food_prints_nothing(run: Run, table: Table) -> None:
    dish = table.write("dish.yaml", "dish: Toast\nservings: 1\ningredients: {moonbread: 80 g}\n")
    done = run("macros", dish, "--json")
    assert (done.returncode, done.stdout) == (2, "")
    assert "error unknown-food" in kinds(done.stderr)


def test_a_food_by_its_name(run: Run) -> None:
    done = run("food", "butter,", "unsalted")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[0] == "butter, unsalted"
    assert "USDA SR28 01145" in done.stdout
    assert "fat               81.11 g" in done.stdout
    assert "1 stick = 113 g" in done.stdout


def test_a_word_of_several_foods_lists_them_with_figures(run: Run) -> None:
    done = run("food", "butter", "--most", "3")
    lines = done.stdout.splitlines()
    assert (done.returncode, len(lines)) == (0, 3)
    assert lines[0].startswith("butter, salted: 717 kcal, fat 81.11") or lines[0].startswith(
        "butter, unsalted: 717 kcal"
    )


def test_a_misspelt_food_is_a_question(run: Run) -> None:
    done = run("food", "cauliflour")
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("the pantry has no food called “cauliflour”\n  fix: did you mean cauliflower")


def test_no_food_at_all(run: Run) -> None:
    done = run("food", "xyzzy")
    assert (done.returncode, done.stdout) == (1, "")
    assert "under `foods:` in the dish, or in pantry.yaml" in done.stderr
    done = run("food", "  ")
    assert (done.returncode, done.stdout) == (2, "")
    assert "does not name a food" in done.stderr


def test_foods_as_json(run: Run) -> None:
    out = json.loads(run("food", "tomatoes", "--most", "1", "--json").stdout)
    (tomato,) = out["foods"]
    assert (tomato["name"], tomato["source"], out["suggestions"]) == ("tomato", "USDA SR28 11529", [])
    assert tomato["per_100_g"]["net_carbs_g"] == 2.69
    assert {"amount": 1.0, "unit": "cup", "state": "cherry", "grams": 149.0} in tomato["household_weights"]
    missing = run("food", "brocoli", "--json")
    assert missing.returncode == 1
    assert json.loads(missing.stdout)["suggestions"][0] == "broccoli"


def test_unknown_in_a_foods_json_is_null(run: Run) -> None:
    (tempeh,) = json.loads(run("food", "tempeh", "--most", "1", "--json").stdout)["foods"]
    assert tempeh["per_100_g"]["fibre_g"] is None and tempeh["per_100_g"]["net_carbs_g"] is None
    assert "fibre           unknown" in run("food", "tempeh").stdout
