"""What if: other foods, fewer of them, more servings, side by side; written only when asked, with comments and order kept."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table

from scriptkit.papers.what_if import what_if_of
from scriptkit.problems import CannotDo
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.what_if import Change, Instead, change_of, changed_reading, grown

Run = Callable[..., CompletedProcess[str]]

DISH = """\
# The quay's spring greens
dish: Creamed greens
promise: Greens in cream, 20 g of fat a serving.
servings: 2
ingredients:
  greens: {amount: 300 g, food: spring greens}   # from the barrow
  cream:  {amount: 100 ml, food: "cream, single"}
  butter: {amount: 2 tbsp, food: "butter, unsalted"}
  salt:   to taste
steps:
  - {id: wash, stage: prep, do: Wash the greens., uses: greens}
  - {id: wilt, stage: cook, do: Wilt the greens in half the butter., add: {butter: half, greens: all}, screen: 9 s, say: "In goes {butter}."}
  - {id: finish, stage: cook, do: Stir in the cream and the rest of the butter., add: {cream: 100 ml, butter: rest, salt: to taste}, screen: 9 s, say: "{cream} of cream."}
"""


def after(table: Table, change: Change, text: str = DISH) -> Production:
    return Production(changed_reading(table.read(text), change))


def test_another_food_goes_where_the_old_one_went(table: Table) -> None:
    made = after(table, change_of(["cream=coconut milk"], [], None))
    assert [i.name for i in made.dishes[0].ingredients] == ["greens", "coconut milk", "butter", "salt"]
    assert next(a.ingredient.name for a in made.dishes[0].steps[2].additions) == "coconut milk"
    now, was = made.macros.dishes[0].serving, Production(table.read(DISH)).macros.dishes[0].serving
    assert now.figure("fat_g") != was.figure("fat_g") and made.dishes[0].steps[2].say == "{coconut milk} of cream."


def test_another_food_may_bring_its_own_amount(table: Table) -> None:
    made = after(table, change_of(["cream=50 g mascarpone"], [], 4))
    assert (made.dishes[0].ingredients[1].grams, made.dishes[0].ingredients[0].grams) == (50, 600)


def test_without_a_food_no_step_has_it(table: Table) -> None:
    made = after(table, Change(without=("Butter",)))
    assert [i.key for i in made.dishes[0].ingredients] == ["greens", "cream", "salt"]
    assert not any(a.ingredient.key == "butter" for s in made.dishes[0].steps for a in s.additions)


BOWL = """
dish: Lentil bowl
servings: 2
ingredients:
  dried red lentils: {amount: 200 g, food: "lentils, red"}
  red onions: {amount: 150 g, food: onion}
  spring onions: 30 g
  zucchini: 200 g
steps:
  - {id: boil, stage: cook, do: Boil it all., add: {dried red lentils: all, red onions: all, spring onions: all, zucchini: all}}
"""


@pytest.mark.parametrize(
    ("words", "gone"),
    [("lentils", "dried red lentils"), ("Red Lentil", "dried red lentils"), ("red onion", "red onions"), ("courgette", "zucchini"), ("scallions", "spring onions")],
)  # fmt: skip
def test_a_food_is_found_as_a_cook_calls_it(words: str, gone: str, table: Table) -> None:
    made = after(table, Change(without=(words,), servings=4), BOWL)
    assert (
        gone not in [i.key.replace("_", " ") for i in made.dishes[0].ingredients]
        and len(made.dishes[0].ingredients) == 3
    )
    assert made.dishes[0].ingredients[-1].grams in (400, 60)
    swapped = after(table, change_of([f"{words}=leek"], [], 4), BOWL)
    assert [i.name for i in swapped.dishes[0].ingredients].count("leek") == 1


def test_a_name_of_several_is_a_question(table: Table) -> None:
    with pytest.raises(CannotDo) as wrong:
        after(table, Change(without=("onions",)), BOWL)
    (problem,) = wrong.value.problems
    assert (problem.code, problem.message) == ("which-ingredient", "“onions” could be “red onions” or “spring onions”")
    assert "red onions" in problem.hint


def test_figures_of_a_serving_stay_when_servings_grow(table: Table) -> None:
    was = Production(table.read(DISH)).macros.dishes[0]
    now = after(table, Change(servings=5)).macros.dishes[0]
    assert now.dish.servings == 5 and now.batch.weight_g == pytest.approx(was.batch.weight_g * 2.5)
    for name in ("energy_kcal", "fat_g", "protein_g"):
        assert now.serving.figure(name) == pytest.approx(was.serving.figure(name))


def test_every_example_grows_and_stays_free_of_errors(tmp_path: Path) -> None:
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    for path in sorted((tmp_path / "examples").glob("*.yaml")):
        if path.name == "faulty-chowder.yaml":
            continue
        reading = read_source(str(path))
        made = changed_reading(reading, Change(servings=12))
        assert not [p for p in made.problems if p.severity == "error"], path.name


def test_a_meal_grows_with_its_dishes(table: Table) -> None:
    table.write("dish.yaml", DISH)
    reading = table.read(
        "meal: Quay plate\nplates: 2\ndishes:\n  - {dish: dish.yaml, portion: 1 serving}\n", "meal.yaml"
    )
    made = Production(changed_reading(reading, Change(servings=6)))
    assert (made.source.plates, made.dishes[0].servings) == (6, 6)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("text", "factor", "wanted"),
    [
        ("1 1/2 tbsp", "2", "3 tbsp"), ("3", "1/2", "1 1/2"), ("2 bulbs", "3", "6 bulbs"), ("all", "2", "all"), ("25 %", "2", "25 %"),
        ("to taste", "3", "to taste"), ("1 kg", "1/3", "1/3 kg"), ("2 quay scoops", "2", "4 quay scoops"),
    ],
)  # fmt: skip
def test_amounts_grow_as_a_file_has_them(text: str, factor: str, wanted: str) -> None:
    assert grown(text, Fraction(factor)) == wanted


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (Change(instead=(Instead("leek", "kale"),)), "no-such-ingredient"), (Change(without=("leek",)), "no-such-ingredient"),
        (Change(instead=(Instead("cream", "butter"),)), "cannot-edit"),
    ],
)  # fmt: skip
def test_what_cannot_be_changed_is_told(table: Table, change: Change, code: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        after(table, change)
    assert [p.code for p in wrong.value.problems] == [code]


def test_words_that_name_no_change_are_told() -> None:
    for instead, servings in ((["cream"], None), (["=milk"], None), ([], 0.0)):
        with pytest.raises(CannotDo):
            change_of(instead, [], servings)


def test_side_by_side_with_what_else_changes(run: Run, table: Table) -> None:
    table.write("dish.yaml", DISH)
    done = run("macros", "dish.yaml", "--instead", "cream=coconut milk", "--without", "butter", "--servings", "4")
    assert "a serving of Creamed greens (1 of 2 → 4)" in done.stdout
    assert "allergen no longer in it: milk" in done.stdout
    assert "finish: its words still say “cream” and “butter” (do, say)" in done.stdout
    told = json.loads(run("macros", "dish.yaml", "--without", "butter", "--json").stdout)
    (one,) = told["compared"]
    assert one["after"]["fat_g"] < one["before"]["fat_g"] and told["written"] == []
    assert (table.folder / "dish.yaml").read_text(encoding="utf-8") == DISH


def test_a_problem_whose_figures_changed_is_told_once_and_notes_never(table: Table) -> None:
    text = DISH.replace("20 g of fat", "20 g of protein").replace("100 ml", "300 ml")
    before = Production(table.read(text))
    for change in (Change(servings=4), change_of(["greens=600 g spring greens"], [], None)):
        also = what_if_of(before, Production(changed_reading(table.read(text), change))).also
        assert [line for line in also if line.startswith(("no longer a problem", "new problem"))] == []
        assert not any("no `screen:`" in line for line in also)
    also = what_if_of(
        before, Production(changed_reading(table.read(text), change_of(["greens=600 g spring greens"], [], None)))
    ).also
    assert [line.partition(":")[0] for line in also if "problem" in line] == ["still a problem"], also


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--servings", "0"), "0 servings cannot be"), (("--without", "butter", "--label"), "leave out --label"),
        (("--without", "butter", "--single", "--portion", "50 g"), "leave out --single"), (("--write",), "there is no change to write"),
    ],
)  # fmt: skip
def test_no_option_is_passed_over_in_silence(run: Run, table: Table, options: tuple[str, ...], told: str) -> None:
    table.write("dish.yaml", DISH)
    done = run("macros", "dish.yaml", *options)
    assert (done.returncode, told in done.stderr) == (2, True), done.stderr


def test_written_with_comments_and_order(run: Run, table: Table) -> None:
    table.write("dish.yaml", DISH)
    done = run("macros", "dish.yaml", "--servings", "4", "--without", "cream", "--write")
    text = (table.folder / "dish.yaml").read_text(encoding="utf-8")
    assert "changed dish.yaml" in done.stdout
    assert (
        "# The quay's spring greens" in text
        and "  greens: {amount: 600 g, food: spring greens}   # from the barrow\n  butter: {amount: 4 tbsp" in text
    )
    assert "add: {butter: rest, salt: to taste}" in text
    assert run("macros", "dish.yaml", "--write").returncode == 2
    assert run("macros", "-", "--without", "butter", "--write", stdin=DISH).returncode == 2


def test_check_shoot_and_schedule_for_more(run: Run, table: Table) -> None:
    table.write("dish.yaml", DISH)
    assert run("check", "dish.yaml", "--servings", "6").returncode in (0, 1)
    assert run("schedule", "dish.yaml", "--servings", "6").returncode in (0, 1)
    run("shoot", "dish.yaml", "--servings", "6", "-o", "papers", "--quiet")
    assert ",900" in (table.folder / "papers" / "files" / "buying.csv").read_text(encoding="utf-8")
    assert run("check", "dish.yaml", "--servings", "0").returncode == 2


def test_one_list_over_several_dishes(run: Run, table: Table) -> None:
    table.write("dish.yaml", DISH)
    table.write("other.yaml", DISH.replace("Creamed greens", "Greens again").replace("300 g", "500 g"))
    told = json.loads(run("buying", "dish.yaml", "other.yaml", "--json").stdout)["buying"]
    (greens,) = [row for row in told if row["food"] == "spring greens"]
    assert greens["recipe_g"] == 800 and len(greens["for"]) == 2
    text = run("buying", "dish.yaml", "other.yaml", "--servings", "4").stdout
    assert "Vegetable" in text and "Greens again" in text
    assert run("buying", "dish.yaml", "none.yaml").returncode == 2


def test_a_promise_that_turns_is_told_with_the_likely_ranges_and_not_one_figure_alone(table: Table) -> None:
    change = change_of(["cream=300 ml double cream"], [], None)
    before, changed = Production(table.read(DISH)), after(table, change)
    (line,) = (one for one in what_if_of(before, changed).also if one.startswith("promise"))
    was, now = before.promised[0], changed.promised[0]
    assert was.verdict != now.verdict
    for promise in (was, now):
        found = re.search(rf"{promise.verdict} \((\d+(?:\.\d)?)–(\d+(?:\.\d)?) g\)", line)
        assert found is not None, line
        low, high = found.groups()
        assert float(low) == pytest.approx(promise.low, abs=1) and float(high) == pytest.approx(promise.high, abs=1)
