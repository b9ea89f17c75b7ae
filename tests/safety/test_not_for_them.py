"""What those whom a dish is for must not eat: `publish` stops at it as at the deadly few, until the recipe answers it; `check` warns."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest
from conftest import Table

from scriptkit.recipe.form_values import Eater
from scriptkit.safety.rule_matching import cautions_in, deadly_of, not_for_them_of
from scriptkit.safety.rules import rules

DISH = """dish: Quay plate
servings: 2
{more}
ingredients: {{{foods}}}
steps: [{{id: it, stage: cook, do: "{do}", add: [{names}]}}]
"""


def stopping(table: Table, do: str, foods: str, more: str) -> list[str]:
    """The rules at which `publish` stops."""
    names = ", ".join(part.partition(":")[0].strip() for part in foods.split(";"))
    dish = table.dish(DISH.format(do=do, foods=foods.replace(";", ","), names=names, more=more))
    found = cautions_in(dish)
    stops = [*deadly_of(found), *not_for_them_of(found, dish)]
    assert all(p.severity.value == "error" for p in stops)
    return [p.hint.rpartition("{")[2].partition(":")[0] for p in stops]


@pytest.mark.parametrize(
    ("do", "foods", "whom", "rule"),
    [
        ("Stir in the honey.", "honey: 20 g", "infant", "honey-under-one"),
        ("Lay the brie on the plates.", "brie: 100 g", "pregnant", "cheese-in-pregnancy"),
        ("Crumble the gorgonzola over it.", "gorgonzola: 60 g", "older", "cheese-in-pregnancy"),
        ("Fry the chicken liver through.", "chicken liver: 200 g", "pregnant", "liver-in-pregnancy"),
        ("Grill the swordfish to 63 °C.", "swordfish: 300 g", "toddler", "mercury"),
        ("Scatter the almonds over it.", "almonds: 60 g", "toddler", "choking"),
        ("Lay out the smoked salmon.", "smoked salmon: 100 g", "pregnant", "raw-in-pregnancy"),
        ("Whip in the rum and spoon it out.", "rum: 100 g; double cream: 200 g", "no alcohol", "alcohol-for-none"),
        ("Beat the raw egg into the cream and chill.", "egg: 110 g; double cream: 200 g", "older", "raw-egg"),
        ("Serve the oysters raw with lemon.", "oysters: 300 g; lemon: 60 g", "pregnant", "raw-shellfish"),
        ("Toss the raw bean sprouts.", "bean sprouts: 100 g", "infant", "sprouts"),
        ("Pour the raw milk.", "raw milk: {amount: 300 g, food: whole milk}", "toddler", "raw-milk"),
    ],
)  # fmt: skip
def test_publishing_stops_where_it_is_for_them_and_only_there(
    table: Table, do: str, foods: str, whom: str, rule: str
) -> None:
    assert rule in stopping(table, do, foods, f"for: [{whom}]")
    assert rule not in stopping(table, do, foods, "")
    reason = f"for: [{whom}]\nanswered: {{{rule}: made without it for them}}"
    assert rule not in stopping(table, do, foods, reason)


@pytest.mark.parametrize(
    ("do", "foods", "whom"),
    [
        ("Bake the brie until it bubbles right through.", "brie: 100 g", "pregnant"),
        ("Crumble the cheddar over it.", "cheddar: 60 g", "pregnant"),
        ("Stir it into the porridge.", "ground almonds: 60 g", "toddler"),
        ("Scatter it over.", "nuts: {amount: 60 g, food: almonds, prep: finely chopped}", "toddler"),
        ("Scatter it over.", "flaked almonds: 60 g", "toddler"),
        ("Fry the salmon until it flakes.", "salmon: 300 g", "pregnant"),
        ("Scramble the egg until firm.", "egg: 110 g", "older"),
        ("Stir in the mashed pear.", "pear: 60 g", "infant"),
        ("Simmer the bean sprouts for 5 minutes.", "bean sprouts: 100 g", "older"),
    ],
)
def test_what_they_may_eat_stops_nothing(table: Table, do: str, foods: str, whom: str) -> None:
    assert stopping(table, do, foods, f"for: [{whom}]") == []


def test_a_meal_that_is_for_them_stops_at_its_dishes(table: Table) -> None:
    table.write("plate.yaml", DISH.format(do="Lay the brie on the plates.", foods="brie: 100 g", names="brie", more=""))
    meal = "meal: Supper\n{more}\ndishes: [{{dish: plate.yaml}}]\n"
    stopped, free = table.meal(meal.format(more="for: [pregnant]")), table.meal(meal.format(more=""))
    (told,) = not_for_them_of(cautions_in(stopped), stopped)
    assert (told.code, told.severity.value) == ("not-for-them", "error")
    assert not_for_them_of(cautions_in(free), free) == []


def test_what_only_a_text_says_of_eaters_is_a_warning_and_stops_nothing(table: Table) -> None:
    more = 'promise: "Rum cream; use apple juice for an alcohol-free one."'
    foods = "rum: 100 g, double cream: 200 g"
    dish = table.dish(DISH.format(do="Whip in the rum.", foods=foods, names="rum, double cream", more=more))
    (told,) = not_for_them_of(cautions_in(dish), dish)
    assert (told.code, told.severity.value) == ("not-for-them", "warning")


def test_who_must_not_eat_is_named_as_the_file_names_them() -> None:
    named = {eater for rule in rules() for eater in rule.not_for}
    assert named == set(get_args(Eater))


BRIE = DISH.format(do="Lay the brie on the plates.", foods="brie: 100 g", names="brie", more="for: [pregnant]")


def test_the_command_stops_says_how_to_go_on_and_goes_on(
    tmp_path: Path, run: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    file = tmp_path / "plate.yaml"
    file.write_text(BRIE, encoding="utf-8")
    stopped = run("publish", str(file), "-o", str(tmp_path / "out"))
    assert stopped.returncode == 2
    assert not (tmp_path / "out").exists()
    answer = stopped.stderr.partition("printed: `")[2].partition("`")[0]
    assert run("check", str(file)).returncode == 1
    file.write_text(f"{BRIE}{answer}\n", encoding="utf-8")
    assert run("publish", str(file), "-o", str(tmp_path / "out")).returncode in (0, 1)
    assert "why it is safe here" in (tmp_path / "out" / "description.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(("first", "stops"), [("Quarter the grapes lengthways.", False), ("Rinse the grapes.", True)])
def test_what_an_earlier_step_cuts_is_cut(table: Table, first: str, stops: bool) -> None:
    dish = table.dish(
        f"""
        dish: Lunchbox
        servings: 2
        for: [toddler]
        ingredients: {{grapes: 120 g}}
        steps:
          - {{id: first, stage: prep, do: "{first}"}}
          - {{id: pack, stage: cook, do: "Pack the grapes in the box.", add: grapes}}
        """
    )
    assert bool(not_for_them_of(cautions_in(dish), dish)) is stops


def test_the_way_out_that_keeps_the_food_is_named_and_works(table: Table) -> None:
    dish = table.dish(
        DISH.format(do="Scatter the grapes.", foods="grapes: 100 g", names="grapes", more="for: [toddler]")
    )
    (one,) = not_for_them_of(cautions_in(dish), dish)
    assert one.hint.startswith("write how it is cut, such as `prep: quartered lengthways`")
    assert (
        stopping(table, "Scatter the grapes.", "grapes: {amount: 100 g, prep: quartered lengthways}", "for: [toddler]")
        == []
    )


@pytest.mark.parametrize(
    ("foods", "whom", "told"),
    [
        ("chicken: {amount: 900 g, food: 'chicken thigh, skin-on', prep: bone-in}", "toddler", True),
        ("chicken: {amount: 900 g, food: 'chicken thigh, skin-on', prep: bone-in}", "pregnant", False),
        ("chicken: {amount: 900 g, food: 'chicken thigh, skinless', prep: boneless}", "toddler", False),
    ],
)
def test_meat_on_the_bone_for_a_small_child(table: Table, foods: str, whom: str, told: bool) -> None:
    dish = table.dish(
        DISH.format(do="Roast the chicken to 74 °C.", foods=foods, names="chicken", more=f"for: [{whom}]")
    )
    assert any(c.rule.id == "bones-for-children" for c in cautions_in(dish)) is told
