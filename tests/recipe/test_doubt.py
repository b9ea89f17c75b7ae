"""A guess about an ingredient is data: it is read, told by ``check``, and changes no figure yet."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable
from subprocess import CompletedProcess

from conftest import Table

from scriptkit.checks import check
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Severity

DISH = """\
dish: Iced tea
servings: 2
ingredients:
  ice: {amount: 120 g, food: water}
  tea: {amount: 400 ml, food: water, unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}}
steps:
  - {stage: prep, do: Stir it., add: {ice: all, tea: all}, screen: 9 s}
"""


def test_a_doubt_is_read_with_its_place(table: Table) -> None:
    ice, tea = table.dish(DISH).ingredients
    assert ice.doubt is None
    assert tea.doubt is not None
    assert (tea.doubt.food, tea.doubt.amount, tea.doubt.form) == (0.27, None, 0.0)
    assert tea.doubt.read_from == "a pot of tea"
    assert tea.doubt.candidates == ("water", "milk")
    assert (tea.doubt.place.line, tea.doubt.place.column) == (5, 38)


def test_a_doubt_is_a_warning_that_says_how_to_confirm(table: Table) -> None:
    (told,) = check(Preproduction(table.dish(DISH)))
    assert told.severity is Severity.WARNING
    assert told.message == (
        "tea is not confirmed: which food it is (27% sure), in which form (0% sure); read from “a pot of tea”"
    )
    assert told.hint == "if it is right, delete `unsure:`; if not, correct it first (perhaps “water” or “milk”)"


def test_without_the_key_it_is_confirmed_and_every_figure_is_the_same(table: Table) -> None:
    doubted = table.dish(DISH)
    confirmed = table.dish(
        DISH.replace(", unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}", "")
    )
    assert check(Preproduction(confirmed)) == []
    assert dish_macros(doubted).batch == dish_macros(confirmed).batch
    assert [dataclasses.replace(i, doubt=None) for i in doubted.ingredients] == list(confirmed.ingredients)


def test_a_dish_on_two_plates_and_a_garnish_are_each_told_once(table: Table) -> None:
    table.write("tea.yaml", DISH)
    meal = table.meal("""\
        meal: Tea on the quay
        dishes: [{dish: tea.yaml}, {dish: tea.yaml}]
        at_table: {lemon juice: {amount: 1 tsp, unsure: {amount: 0.5}}}
    """)
    assert [p.message.split(" is")[0] for p in check(Preproduction(meal)) if p.code == "unsure"] == [
        "lemon juice",
        "tea",
    ]


def test_check_as_json_carries_the_doubt_as_data(table: Table, run: Callable[..., CompletedProcess[str]]) -> None:
    file = table.write("tea.yaml", DISH)
    done = run("check", file, "--json")
    assert done.returncode == 1
    assert json.loads(done.stdout)["unsure"] == [
        {
            "file": file, "line": 5, "column": 38, "ingredient": "tea", "food": 0.27, "amount": None, "form": 0.0,
            "read_from": "a pot of tea", "candidates": ["water", "milk"],
        }
    ]  # fmt: skip


def test_a_file_without_doubts_has_none_in_json(table: Table, run: Callable[..., CompletedProcess[str]]) -> None:
    confirmed = table.write(
        "tea.yaml",
        DISH.replace(", unsure: {food: 0.27, form: 0, read_from: a pot of tea, candidates: [water, milk]}", ""),
    )
    done = run("check", confirmed, "--json")
    assert done.returncode == 0
    assert json.loads(done.stdout)["unsure"] == []
