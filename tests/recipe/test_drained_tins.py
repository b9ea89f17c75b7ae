"""Tinned beans that are drained are not counted with their liquid in silence."""

from __future__ import annotations

import pytest
import yaml
from conftest import Table

from scriptkit.checks import check
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem

BEANS = {"amount": "850 g", "food": "cannellini beans, canned, with liquid"}


def told(table: Table, do: str, **more: str) -> list[Problem]:
    steps = [
        {"stage": "prep", "do": do, "uses": ["beans"]},
        {"stage": "cook", "do": "Warm the beans.", "add": {"beans": "all"}, "hands": "4 min"},
    ]
    text = yaml.safe_dump({"dish": "Beans", "servings": 4, "ingredients": {"beans": BEANS | more}, "steps": steps})
    return [p for p in check(Preproduction(table.dish(text))) if p.code == "liquid-counted"]


@pytest.mark.parametrize(
    ("do", "more"),
    [
        ("Drain the beans and rinse them.", {}),
        ("Drain the cannellini beans.", {}),
        ("Open the beans.", {"prep": "drained and rinsed"}),
    ],
)
def test_beans_that_are_drained_are_told(table: Table, do: str, more: dict[str, str]) -> None:
    (one,) = told(table, do, **more)
    assert "850 g" in one.message
    assert '`{amount: 510 g, food: "cannellini beans, cooked"}`' in one.hint


@pytest.mark.parametrize("more", [{}, {"prep": "undrained"}, {"food": "cannellini beans, cooked", "prep": "drained"}])
def test_beans_that_keep_their_liquid_are_not(table: Table, more: dict[str, str]) -> None:
    assert told(table, "Open the beans.", **more) == []


def test_the_fix_works(table: Table) -> None:
    fixed = {"amount": "510 g", "food": "cannellini beans, cooked"}
    assert told(table, "Drain the beans and rinse them.", **fixed) == []
