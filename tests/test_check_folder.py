"""A folder of recipes at a glance, and what was published and no longer holds."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit.nutrition.rounding import print_one
from scriptkit.papers.folder import FolderRecipe, stale_words
from scriptkit.production import read
from scriptkit.publish.published_record import StaleFigure, portions_of, record_in, record_path, stale_figures
from scriptkit.publish.replaced_lines import lines_to_replace

Run = Callable[..., CompletedProcess[str]]

DISH = """\
dish: Quay greens
servings: 2
cooked_weight: 380 g
ingredients:
  greens: {amount: 300 g, food: spring greens}
  butter: {amount: 30 g, food: "butter, unsalted"}
steps:
  - {id: wilt, stage: cook, do: Wilt the greens in the butter., add: {butter: all, greens: all}, vessel: pan, heat: medium, screen: 12 s, wait: 5 min}
"""
MEAL = "meal: Quay plate\nplates: 2\ndishes:\n  - {dish: greens.yaml, portion: 1 serving}\n  - {dish: other.yaml, portion: 1 serving}\n"


@pytest.fixture
def folder(table: Table) -> Path:
    table.write("greens.yaml", DISH)
    table.write("other.yaml", DISH.replace("Quay greens", "Other greens"))
    table.write("plate.yaml", MEAL)
    table.write(
        "odd.yaml",
        DISH.replace("amount: 30 g", "unsure: {food: 0.4}, amount: 30 g").replace("Quay greens", "Odd greens"),
    )
    table.write("bad.yaml", "dish: Bad\nservings: none\n")
    return table.folder


def told(run: Run, file: str) -> dict[str, object]:
    recipes = json.loads(run("check", ".", "--json").stdout)["recipes"]
    return next(r for r in recipes if r["file"] == file)


def test_the_folder_at_a_glance(run: Run, folder: Path) -> None:
    done = run("check", ".")
    assert done.returncode == 1 and "5 recipes, 0 published, 1 unconfirmed, 1 with errors" in done.stdout
    greens, plate, odd, bad = (told(run, f"{name}.yaml") for name in ("greens", "plate", "odd", "bad"))
    assert greens["goes_with"] == ["Quay plate, beside Other greens"] and plate["goes_with"] == [
        "Quay greens",
        "Other greens",
    ]
    serving = print_one(read(folder / "greens.yaml").macros.dishes[0].serving)
    assert greens["figures"]["energy_kcal"] == serving.figures["energy_kcal"]  # type: ignore[index]
    assert (odd["unconfirmed"], odd["figures"]["fat_g"], bad["errors"]) == (["butter"], None, 2)  # type: ignore[index]


def test_what_is_published_is_kept_beside_the_recipe(run: Run, folder: Path) -> None:
    run("publish", "greens.yaml", "-o", "out")
    record = record_in((folder / "greens.published.json").read_text(encoding="utf-8"))
    assert record is not None and record.title == "Quay greens" and record.portions_g == {"Quay greens": 190}
    assert record.description == (folder / "out" / "description.txt").read_text(encoding="utf-8")
    assert any("kcal" in line for line in record.captions)
    assert told(run, "greens.yaml")["stale"] == [] and told(run, "greens.yaml")["published"] is True


def test_a_figure_that_no_longer_holds_is_told_with_its_lines(run: Run, folder: Path) -> None:
    run("publish", "greens.yaml", "-o", "out")
    run("publish", "plate.yaml", "-o", "out2")
    (folder / "greens.yaml").write_text(DISH.replace("amount: 30 g", "amount: 45 g"), encoding="utf-8")
    greens, plate = told(run, "greens.yaml"), told(run, "plate.yaml")
    assert {s["nutrient"] for s in greens["stale"]} >= {"energy_kcal", "fat_g"}  # type: ignore[attr-defined]
    assert greens["why"] == "the recipe was changed"
    wheres = {line["where"] for line in greens["replace"]}  # type: ignore[attr-defined]
    assert wheres == {"description", "pinned comment", "captions"}
    published = (folder / "out" / "description.txt").read_text(encoding="utf-8")
    assert all(line["line"] in published for line in greens["replace"] if line["where"] == "description")  # type: ignore[attr-defined]
    assert str(plate["correction"]).startswith("The plate has ") and "of fat, not" in str(plate["correction"])
    text = run("check", ".").stdout
    assert "published figures no longer hold: the recipe was changed" in text and "  description: replace  " in text


def test_the_page_of_the_folder(run: Run, folder: Path) -> None:
    assert "wrote recipes.html" in run("check", ".", "--page", "recipes.html").stdout
    page = (folder / "recipes.html").read_text(encoding="utf-8")
    assert "Quay plate, beside Other greens" in page and "unconfirmed: butter" in page
    for head in ("energy", "protein", "fat", "net carbs"):  # on a phone each figure stands beside its name
        assert f'<td class="num" data-head="{head}">' in page
    (folder / "own.html").write_text("mine", encoding="utf-8")
    refused = run("check", ".", "--page", "own.html")
    assert (refused.returncode, "--force" in refused.stderr) == (2, False)
    assert (folder / "own.html").read_text(encoding="utf-8") == "mine"
    assert run("check", "greens.yaml", "--page", "x.html").returncode == 2


def test_a_folder_without_recipes_and_questions_of_one_recipe(run: Run, table: Table) -> None:
    (table.folder / "none").mkdir()
    assert run("check", "none").returncode == 2
    assert run("check", ".", "--explain").returncode == 2


def test_no_other_json_is_taken_for_a_record(run: Run, folder: Path) -> None:
    for text in ("", "[]", "{}", '{"figures": 3}', "[" * 5000, '{"title": "x", "servings": "y"}'):
        assert record_in(text) is None
        record_path(folder / "greens.yaml").write_text(text, encoding="utf-8")
        assert told(run, "greens.yaml")["published"] is False


def test_only_lines_with_figures_are_to_be_replaced() -> None:
    found = list(lines_to_replace("description", "Apples\n20 g fat\nB 3\n", "Pears\n21 g fat\n"))
    assert [(line.was, line.now) for line in found] == [("20 g fat", "21 g fat"), ("B 3", "")]


def test_by_how_much() -> None:
    assert (
        stale_words(StaleFigure(of="plate", nutrient="fat_g", was=20.0, now=25.0))
        == "plate: fat was 20.0 g, is 25.0 g (+25 %)"
    )
    assert (
        stale_words(StaleFigure(of="plate", nutrient="fat_g", was=None, now=25.0))
        == "plate: fat was unknown, is 25.0 g"
    )


@pytest.mark.parametrize(
    ("count", "words"), [(1, "1 published figure no longer holds"), (2, "2 published figures no longer hold")]
)
def test_stale_figures_are_counted(count: int, words: str) -> None:
    one = StaleFigure(of="plate", nutrient="fat_g", was=20.0, now=25.0)
    recipe = FolderRecipe(file="f.yaml", title="F", kind="dish", filmed=True, published=True, stale=(one,) * count)
    assert recipe.open == (words,)


def test_figures_that_hold_are_not_stale(run: Run, folder: Path) -> None:
    run("publish", "greens.yaml", "-o", "out", "--servings", "6")
    record = record_in((folder / "greens.published.json").read_text(encoding="utf-8"))
    now = read(folder / "greens.yaml")
    assert record is not None and list(stale_figures(record, now.macros, portions_of(now.source))) == []
    assert told(run, "greens.yaml")["replace"] == []
