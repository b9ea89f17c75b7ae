"""Zest of a lemon is no lemon: what is counted must be what goes in."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.checks import check
from scriptkit.preproduction import Preproduction

DISH = """
    dish: Leeks with lemon
    servings: 2
    ingredients:
      leek: 300 g
      ONE
    steps:
      - {{stage: cook, do: Soften the leek., add: {{leek: all, KEY: all}}, hands: 4 min, screen: 2 s, say: Soften it slowly.}}
"""


def told(table: Table, ingredient: str) -> list[str]:
    key = ingredient.partition(":")[0]
    text = DISH.replace("ONE", ingredient).replace("KEY", key).replace("{{", "{").replace("}}", "}")
    return [f"{p.message} | {p.hint}" for p in check(Preproduction(table.dish(text))) if p.code == "whole-counted"]


@pytest.mark.parametrize(
    ("ingredient", "said"),
    [
        ("lemon: {amount: 1 small, prep: zest}", "lemon: a whole lemon is counted, where the words say zest | write `food: lemon zest`, with the amount of that"),
        ("lemon: {amount: 1 small, prep: zest and juice}", "lemon: a whole lemon is counted, where the words say juice and zest | write `food: lemon juice` and `food: lemon zest`, with the amount of that"),
        ("juice of lime: {amount: 60 g, food: lime}", "juice of lime: a whole lime is counted, where the words say juice | write `food: lime juice`, with the amount of that"),
        ("eggs: {amount: 2 large, prep: yolks only}", "eggs: a whole egg is counted, where the words say yolk | write `food: egg yolk`, with the amount of that"),
    ],
)  # fmt: skip
def test_a_part_that_is_named_and_a_whole_that_is_counted(ingredient: str, said: str, table: Table) -> None:
    assert told(table, ingredient) == [said]


@pytest.mark.parametrize(
    "ingredient",
    [
        "lemon: {amount: 1 small, prep: sliced}",
        "lemon juice: 1 tbsp",
        "zest: {amount: 2 tsp, food: lemon zest}",
        "lemon: {amount: 1 tsp, food: lemon zest, prep: zest}",
        "eggs: {amount: 2 large, prep: yolks and whites apart}",
        "tomato: {amount: 200 g, prep: chopped with their juice}",
        "white wine: 100 ml",
    ],
)
def test_what_is_counted_as_it_is_named(ingredient: str, table: Table) -> None:
    assert told(table, ingredient) == []
