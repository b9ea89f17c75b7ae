"""A guess about an ingredient is data: every command tells it, nothing counts it, and nothing of it is published."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit.checks import check
from scriptkit.drawing.shown import house_fonts
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.papers.files import PackPart, files_of
from scriptkit.papers.macro_cards import cards_of
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.macros_json import dish_json, meal_json
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Severity
from scriptkit.safety.allergens import allergens_of
from scriptkit.safety.free_from import free_from_problems

DISH = """\
dish: Iced tea
servings: 2
ingredients:
  ice: {amount: 120 g, food: water}
  tea: {amount: 400 ml, food: water, unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}}
steps:
  - {stage: prep, do: Stir it., add: {ice: all, tea: all}, screen: 9 s}
"""
TEA = "tea: {amount: 400 ml, food: water, unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}}"
RAGOUT = """\
dish: Ragout
servings: 2
ingredients:
  butter: {amount: 30 g, food: "butter, unsalted"}
  beef: {amount: 400 g, food: "beef, chuck", unsure: {food: 0.27}}
steps:
  - {stage: cook, do: Simmer the beef in the butter for 2 hours., add: {butter: all, beef: all}, vessel: pot, wait: 2 h, screen: 30 s}
"""
Run = Callable[..., CompletedProcess[str]]


def test_a_doubt_is_read_with_its_place(table: Table) -> None:
    ice, tea = table.dish(DISH).ingredients
    assert ice.doubt is None
    assert tea.doubt is not None
    assert (tea.doubt.food, tea.doubt.amount, tea.doubt.form) == (0.27, None, 0.0)
    assert tea.doubt.read_from == "a pot of tea"
    assert tea.doubt.candidates == ("water", "milk")
    assert (tea.doubt.place.line, tea.doubt.place.column) == (5, 38)


def test_a_doubt_is_a_warning_that_says_how_to_confirm(table: Table) -> None:
    (told,) = table.read(DISH).problems
    assert told.severity is Severity.WARNING
    assert told.message == (
        "tea is not confirmed: which food it is (27% sure), in which form (0% sure); read from “a pot of tea”"
    )
    assert told.hint == "if it is right, delete `unsure:`; if not, correct it first (perhaps “water” or “milk”)"


def test_without_the_key_it_is_confirmed_and_counted(table: Table) -> None:
    doubted = table.dish(DISH)
    confirmed = table.dish(DISH.replace(TEA, "tea: {amount: 400 ml, food: water}"))
    assert check(Preproduction(confirmed)) == []
    assert [dataclasses.replace(i, doubt=None) for i in doubted.ingredients] == list(confirmed.ingredients)
    assert dish_macros(confirmed).batch.figure("energy_kcal") == 0
    assert dish_macros(doubted).batch.figure("energy_kcal") is None


@pytest.mark.parametrize("what", ["food", "amount", "form"])
def test_what_is_not_confirmed_is_unknown_and_not_zero(table: Table, what: str) -> None:
    dish = table.dish(RAGOUT.replace("food: 0.27", f"{what}: 0.5"))
    macros = dish_macros(dish)
    assert macros.unconfirmed == ("beef",)
    assert macros.batch.figure("protein_g") is None
    assert macros.batch.at_least("fat_g") == pytest.approx(24.33, abs=0.01), "30 g of butter, SR28 01145"
    assert macros.batch.ranges["protein_g"][1] < 1, "no part of the guess is in a range"


def test_what_is_eaten_of_a_guess_is_unknown_however_it_is_cooked_or_lost(table: Table) -> None:
    text = (
        RAGOUT.replace("beef: {", "beef: {strained_out: half, ")
        + "left_in_pan: {fat: {amount: 9 g, food: lard, unsure: {food: 0.4}}}\n"
    )
    macros = dish_macros(table.dish(text))
    assert macros.unconfirmed == ("beef", "fat")
    assert macros.batch.figure("fat_g") is None
    assert macros.batch.at_least("fat_g") == 0, "all of the fat that is known may have stayed in the pan"


def test_a_guess_in_a_dish_in_the_dish_and_on_the_plate_is_named(table: Table) -> None:
    table.write("ragout.yaml", RAGOUT)
    pie = table.dish("""\
        dish: Pie
        servings: 2
        ingredients: {ragout: {amount: 200 g, dish: ragout.yaml}, butter: {amount: 5 g, food: "butter, unsalted"}}
        steps: [{stage: cook, do: Bake it., add: {ragout: all, butter: all}, screen: 9 s}]
    """)
    assert dish_macros(pie).unconfirmed == ("beef of ragout",)
    meal = table.meal("""\
        meal: Ragout on the quay
        dishes: [{dish: ragout.yaml}]
        at_table: {lemon juice: {amount: 1 tsp, unsure: {amount: 0.5}}}
    """)
    macros = meal_macros(meal)
    assert macros.unconfirmed == ("beef", "lemon juice")
    assert macros.plate.figure("energy_kcal") is None
    assert meal_json(macros)["unconfirmed"] == ["beef", "lemon juice"]
    assert "on the plate: unconfirmed, so not counted: lemon juice" in meal_text(macros)
    assert Preproduction(meal).unconfirmed == ("beef", "lemon juice")


def test_macros_and_cards_say_unconfirmed_with_the_names(table: Table) -> None:
    macros = dish_macros(table.dish(RAGOUT))
    text = dish_text(macros)
    assert "unconfirmed, so not counted: beef; figures with ≥ lack them" in text
    assert "kcal of beef not known" not in text, "said once"
    assert not [line for line in text.split("\n") if "SR28" in line and "beef" in line], "a guess has no source"
    cards = cards_of([macros], None, None, house_fonts())
    assert all(
        "Unconfirmed: beef" in [t.text for t in card.graphic.texts] for card in cards if card.name.startswith("1-")
    )
    assert dish_json(macros)["unconfirmed"] == ["beef"]


def test_allergens_of_a_guess_are_not_known(table: Table) -> None:
    dough = "dish: Pie\nservings: 2\ningredients: {dough: {amount: 80 g, food: WHAT, unsure: {food: 0.3}}}\nsteps: []\n"
    for food in ("beef, chuck", "flour, plain"):
        found = allergens_of(table.dish(dough.replace("WHAT", f'"{food}"')))
        assert found.us.contains == found.eu.contains == ()
        assert found.unconfirmed == ("dough",)
        assert "Allergens not known until confirmed: dough" in found.lines()
    sure = allergens_of(table.dish(dough.replace("WHAT", '"flour, plain"').replace("{food: 0.3}", "{amount: 0.3}")))
    assert [f.name for f in sure.us.contains] == ["wheat"], "only how much of it is a guess"


@pytest.mark.parametrize("food", ["flour, plain", "almond flour"])
def test_a_promise_about_a_guess_is_not_sure(table: Table, food: str) -> None:
    text = f"dish: Gluten-free pie\nservings: 2\ningredients: {{dough: {{amount: 80 g, food: '{food}', unsure: {{food: 0.3}}}}}}\nsteps: []\n"
    found = free_from_problems(table.dish(text))
    assert [(p.code, p.severity) for p in found] == [("free-from-unsure", Severity.WARNING)]


def test_a_dish_on_two_plates_and_a_garnish_are_each_told_once(table: Table) -> None:
    table.write("tea.yaml", DISH)
    meal = """\
        meal: Tea on the quay
        dishes: [{dish: tea.yaml}, {dish: tea.yaml}]
        at_table: {lemon juice: {amount: 1 tsp, unsure: {amount: 0.5}}}
    """
    assert [p.message.split(" is")[0] for p in table.read(meal).problems if p.code == "unsure"] == [
        "lemon juice",
        "tea",
    ]


@pytest.mark.parametrize("command", ["macros", "schedule"])
def test_every_command_tells_it_and_needs_a_person(table: Table, run: Run, command: str) -> None:
    table.write("ragout.yaml", RAGOUT)
    meal = table.write("meal.yaml", "meal: Ragout\nplates: 2\ndishes: [{dish: ragout.yaml}]\nat_most: {fat_g: 500}\n")
    done = run(command, meal)
    assert done.returncode == 1
    assert "beef is not confirmed" in done.stderr


def test_the_kitchens_papers_are_marked_and_nothing_is_published(table: Table, run: Run, tmp_path: Path) -> None:
    file = table.write("ragout.yaml", RAGOUT)
    folder = tmp_path / "pack"
    done = run("pack", file, "-o", str(folder), "--json")
    assert done.returncode == 1
    written = {path.relative_to(folder).as_posix() for path in folder.rglob("*.*")}
    assert written.isdisjoint(files_of(PackPart.PUBLISH))
    assert written >= {"shoot-list.html", "mise-en-place.html", "report.txt", "files/overlays.srt"}
    for page in ("shoot-list.html", "mise-en-place.html", "labels.html", "buying.html", "script.html", "schedule.html"):
        assert "Unconfirmed: beef." in (folder / page).read_text(encoding="utf-8"), page
    assert "not-published" in {p["code"] for p in json.loads(done.stdout)["problems"]}
    done = run("publish", file, "-o", str(tmp_path / "publish"))
    assert done.returncode == 2
    assert "beef: a guess that nobody has confirmed" in done.stderr
    assert not (tmp_path / "publish").exists()


def test_check_as_json_carries_the_doubt_as_data(table: Table, run: Run) -> None:
    file = table.write("tea.yaml", DISH)
    done = run("check", file, "--json")
    assert done.returncode == 1
    assert json.loads(done.stdout)["unsure"] == [
        {
            "file": file, "line": 5, "column": 38, "ingredient": "tea", "food": 0.27, "amount": None, "form": 0.0,
            "read_from": "a pot of tea", "candidates": ["water", "milk"], "do": None,
        }
    ]  # fmt: skip


def test_a_file_without_doubts_has_none_in_json(table: Table, run: Run) -> None:
    confirmed = table.write(
        "tea.yaml",
        DISH.replace(", unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}", ""),
    )
    done = run("check", confirmed, "--json")
    assert done.returncode == 0
    assert json.loads(done.stdout)["unsure"] == []
