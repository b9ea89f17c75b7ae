"""The ledger: a faultless dish, and its twins in each of which one thing is wrong."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.recipe.dish import Dish
from scriptkit.recipe.ledger import CHECKS, ledger_problems

FAULTLESS = """\
dish: Leek and butter
servings: 2
ingredients:
  leek: {amount: 300 g, prep: sliced}
  butter: {amount: 4 tbsp, food: "butter, unsalted"}
  salt: to taste
steps:
  - {id: slice, stage: prep, do: Slice the leek., uses: leek}
  - {id: soften, stage: cook, do: Soften it., add: {butter: 2 tbsp, leek: all}, say: "{butter} of butter."}
  - {id: finish, stage: cook, do: Finish., add: {butter: rest, salt: to taste}}
"""

TWINS = [
    ("add: {butter: rest, salt: to taste}", "add: {butter: rest}", "never-used"),
    ("add: {butter: 2 tbsp, leek: all}", "add: {butter: 2 tbsp}", "never-added"),
    ("uses: leek}", "uses: [leek, turnip]}", "not-listed"),
    ("uses: leek}", "uses: [leek, slat]}", "not-listed"),
    ("salt: to taste}}", "slat: to taste}}", "not-listed"),
    ("salt: to taste}}", "salt: to taste, pepper: all}}", "not-listed"),
    ("butter: 2 tbsp", "butter: half", None),
    ("butter: rest", "butter: 2 tbsp", None),
    ("butter: rest", "butter: 6 tsp", None),
    ("butter: rest", "butter: 1 tbsp", "parts"),
    ("butter: rest", "butter: 3 tbsp", "parts"),
    ("butter: rest", "butter: half, leek: a third", "used-twice"),
    ("butter: 2 tbsp", "butter: all", "used-twice"),
    ("butter: 2 tbsp", "butter: rest", "used-twice"),
    ("leek: all", "leek: two thirds", "parts"),
    ("stage: prep, do: Slice", "stage: cook, do: Slice", None),
    ("{butter} of", "{buter} of", "say-unknown"),
    ("{butter} of", "{salt} of", "say-elsewhere"),
    ("{butter} of", "butter of", None),
]


def codes(dish: Dish) -> list[str]:
    return [p.code for p in ledger_problems(dish)]


def test_nothing_is_wrong_with_the_faultless_dish(table: Table) -> None:
    assert codes(table.dish(FAULTLESS)) == []


@pytest.mark.parametrize(("right", "wrong", "code"), TWINS)
def test_one_thing_is_wrong_with_each_twin(table: Table, right: str, wrong: str, code: str | None) -> None:
    assert FAULTLESS.count(right) == 1
    assert codes(table.dish(FAULTLESS.replace(right, wrong))) == ([code] if code else [])


def test_an_addition_before_its_preparation(table: Table) -> None:
    head, rest = FAULTLESS.split("steps:\n")
    slice_it, *others = rest.splitlines(keepends=True)
    assert codes(table.dish(head + "steps:\n" + "".join(others) + slice_it)) == ["before-prepared"]


def test_a_dish_without_steps_is_told_once(table: Table) -> None:
    assert codes(table.dish(FAULTLESS.split("steps:\n", maxsplit=1)[0])) == ["no-steps"]


def test_a_misspelt_addition_is_told_once_and_names_the_ingredient(table: Table) -> None:
    problems = ledger_problems(table.dish(FAULTLESS.replace("butter: rest", "buter: rest")))
    assert [(p.code, p.hint) for p in problems] == [("not-listed", "did you mean “butter”?")]


def test_every_check_of_the_list_is_shown_to_find_something(table: Table) -> None:
    """A check that never fires is no check: each must be behind one of the codes above."""
    dishes = [table.dish(FAULTLESS.replace(right, wrong)) for right, wrong, _ in TWINS]
    head, rest = FAULTLESS.split("steps:\n")
    lines = rest.splitlines(keepends=True)
    dishes += [table.dish(head), table.dish(head + "steps:\n" + lines[1] + lines[2] + lines[0])]
    assert [check.__name__ for check in CHECKS if not any(list(check(dish)) for dish in dishes)] == []


@given(st.lists(st.integers(1, 30), min_size=1, max_size=6), st.integers(-3, 3))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_parts_add_up_within_what_a_spoon_can_tell(table: Table, parts: list[int], off: int) -> None:
    whole = sum(parts) + off
    if whole <= 0:
        return
    steps = "".join(f"  - {{stage: cook, do: In., add: {{leek: {part} g}}}}\n" for part in parts)
    dish = table.dish(f"dish: Parts\nservings: 1\ningredients: {{leek: {whole} g}}\nsteps:\n{steps}")
    found = codes(dish)
    if abs(sum(parts) - whole) <= 0.019 * whole:
        assert found == []
    elif abs(sum(parts) - whole) >= 0.021 * whole:
        assert found in (["parts"], ["used-twice"])
