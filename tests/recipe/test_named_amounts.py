"""Amounts with the food's name after them, as cooks write them."""

from __future__ import annotations

import pytest
from conftest import Table

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
