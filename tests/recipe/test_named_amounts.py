"""Amounts with the food's name after them, as cooks write them."""

from __future__ import annotations

import re

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.amounts import Cups
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import Severity
from scriptkit.recipe.forms import IngredientForm
from scriptkit.recipe.named_amounts import taken_apart

DISH = "dish: D\nservings: 2\ningredients: {{{line}}}\nsteps: [{{stage: cook, do: Cook it., add: {{{key}: all}}}}]\n"


@pytest.mark.parametrize(
    ("key", "line", "food", "grams"),
    [
        ("eggs", "eggs: 2 eggs", "egg", 100),
        ("thighs", 'thighs: {amount: 4 thighs, food: "chicken thigh, with skin"}', "chicken thigh, skin-on", None),
        ("yog", "yog: 2 tbsp Greek yoghurt", "yoghurt, greek", 31),
        ("yoghurt", "yoghurt: 2 tbsp Greek yoghurt", "yoghurt, greek", 31),
    ],
)
def test_the_name_is_taken_off(table: Table, key: str, line: str, food: str, grams: float | None) -> None:
    read = table.read(DISH.format(line=line, key=key))
    assert read.source is not None
    [one] = read.source.ingredients  # type: ignore[union-attr]
    assert one.food.name == food
    assert one.grams and (grams is None or abs(one.grams - grams) < 1)


def test_limits_in_a_dish_are_sent_to_the_meal(table: Table) -> None:
    read = table.read(DISH.format(line="eggs: 2 eggs", key="eggs") + "at_most: {energy_kcal: 300}\n")
    [told] = [p for p in read.problems if p.code == "unknown-key"]
    assert "meal: NAME" in told.hint and "promise:" in told.hint


LEFT_OVER = [
    ("chicken", "chicken: {amount: '8 thighs, bone in'}"),
    ("thyme", "thyme: {amount: 2 tsp dried}"),
    ("thyme", "thyme: 2 tsp fresh"),
    ("leek", "leek: '200 g, sliced, 5 mm'"),
    ("parsley", "parsley: 1 bunch flat-leaf"),
    ("butter", "butter: 50 g cold"),
    ("oil", "oil: {amount: '2 tbsp, plus a little', food: olive oil}"),
    ("potatoes", "potatoes: {amount: '400 g, peeled', food: potato}"),
    ("eggs", "eggs: 2 large beaten"),
]


@pytest.mark.parametrize(("key", "line"), LEFT_OVER)
def test_what_is_left_over_is_told_once_with_a_line_that_can_be_copied(table: Table, key: str, line: str) -> None:
    text = DISH.replace("{{{line}}}", "\n  {line}").replace("ingredients: ", "ingredients:")
    told = table.read(text.format(line=line, key=key)).problems
    [one] = [p for p in told if p.severity is Severity.ERROR]
    assert (one.code, one.place.line) == ("amount", 4)
    fix = re.match(r"write `(.+?)`", one.hint)
    assert fix is not None
    again = table.read(text.format(line=fix[1], key=key))
    assert again.source is not None and not [p for p in again.problems if p.severity is Severity.ERROR], fix[1]


def test_an_ingredient_with_more_keys_keeps_them(table: Table) -> None:
    told = table.read(DISH.format(line="{thyme: {amount: 2 tsp dried, pack: 20 g}}"[1:-1], key="thyme")).problems
    [one] = [p for p in told if p.severity is Severity.ERROR]
    assert one.hint == 'write `amount: 2 tsp` and `food: "thyme, dried"`'


@given(
    st.sampled_from(["dried", "bone in", "cold", "peeled, diced", "to serve: later"]),
    st.sampled_from(["2 tsp", "50 g", "3"]),
)
def test_a_tail_is_never_dropped(tail: str, amount: str) -> None:
    """It is in the food or in how it is got ready; an amount without one is left alone."""
    pantry, form = Pantry(), IngredientForm(amount=f"{amount} {tail}")
    found = taken_apart(form, "thyme", pantry, Cups.US, {})
    if found is not None:
        assert (
            all(word in f"{found.form.food} {found.form.prep}" for word in tail.replace(":", " ").split())
            or ":" in tail
        )
    assert taken_apart(IngredientForm(amount=amount), "thyme", pantry, Cups.US, {}) is None
