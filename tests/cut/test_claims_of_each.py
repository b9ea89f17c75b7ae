"""What is said of each plate or person is held against what each serving takes."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.recipe.dish import Dish

TOAST = """
    dish: Tomato toast
    servings: 4
    ingredients:
      bread: {each: 1 slice, food: "bread, white"}
      tomatoes: 400 g
      olive oil: 8 tsp
    steps:
      - {id: chop, stage: prep, do: Chop the tomatoes., add: {tomatoes: all, olive oil: half}, vessel: bowl, screen: 9 s}
      - {id: top, stage: cook, do: Spoon the tomatoes over the toast., add: {olive oil: {each: 1 tsp}, bread: all}, vessel: plate, screen: 9 s}
"""


@pytest.fixture
def toast(table: Table) -> Dish:
    return table.dish(TOAST)


@pytest.mark.parametrize(
    ("line", "verdicts"),
    [
        ("a teaspoon of olive oil over each slice", [VERIFIED]),
        ("and a teaspoon of olive oil each", [VERIFIED]),
        ("each plate gets a teaspoon of olive oil", [VERIFIED]),
        ("then a teaspoon of olive oil", [VERIFIED]),
        ("four teaspoons of olive oil in all", [VERIFIED]),
        ("three teaspoons of olive oil each", [DIFFERS]),
        ("a slice of bread per person", [VERIFIED]),
        ("two slices of bread per person", [DIFFERS]),
    ],
)
def test_each_is_held_against_each(toast: Dish, line: str, verdicts: list[str]) -> None:
    assert [c.verdict for c in said(toast, "top", line)] == verdicts


@pytest.mark.parametrize(
    ("line", "verdict"), [("a hundred grams of tomatoes per person", VERIFIED), ("fifty grams of tomatoes on each plate", LISTEN)]
)  # fmt: skip
def test_what_is_not_written_for_each_is_never_surely_wrong(toast: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(toast, "chop", line)] == [verdict]
