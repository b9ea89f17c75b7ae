"""What a gap is called where a person answers it: an addition by its ingredient, a moment of the cut by its time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.problems import Place


def gap_names(rows: Sequence[AdditionStatus]) -> dict[Place, str]:
    """The name of each addition by its place in the recipe: ``mustard``; ``finish/butter`` where an ingredient goes in at several steps;
    with the dish before it where steps share a name too."""
    forms: list[Callable[[AdditionStatus], str]] = [_ingredient, _with_step, _with_dish, _with_number]
    names: dict[Place, str] = {}
    left = list(rows)
    for form in forms:
        called = Counter(form(row).casefold() for row in rows)
        names |= {row.addition.place: form(row) for row in left if called[form(row).casefold()] == 1}
        left = [row for row in left if row.addition.place not in names]
    return names


def _ingredient(row: AdditionStatus) -> str:
    return row.addition.ingredient.key


def _with_step(row: AdditionStatus) -> str:
    return f"{row.step.id}/{_ingredient(row)}"


def _with_dish(row: AdditionStatus) -> str:
    return f"{row.dish.name}/{_with_step(row)}"


def _with_number(row: AdditionStatus) -> str:
    return f"{_with_dish(row)}/{row.addition.number}"
