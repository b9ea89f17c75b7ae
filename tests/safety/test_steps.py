"""Short steps with the cautions that must be told of them, and those that must not: what is missed, and what is imagined.

The table is test_steps.csv: words of the step; foods that go in (``name`` or ``name=grams``, with ; between them); more keys of the
step; rules told; rules not told. A new step is a new row.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from conftest import Table
from hazard_table import fitting, rows
from hazard_table import told as cautions_told

from scriptkit.pantry.table import as_written, food_rows
from scriptkit.safety.rule_matching import cautions_of
from scriptkit.safety.rules import rule_ids, rules

ROWS = list(csv.DictReader(Path(__file__).with_suffix(".csv").read_text(encoding="utf-8").splitlines()))
OWN = """
foods:
  konjac powder: {basis: us, polyols_g: 0, allergens: none}
  konjac noodles: {basis: us, allergens: none}
  erythritol: {basis: us, polyols_g: 100, carbohydrate_g: 100, allergens: none}
  bread, sourdough: {basis: us, allergens: wheat}
  sweet bar: {basis: us, polyols_g: 20, carbohydrate_g: 60}
  xylitol: {basis: us}
  honey melon: {basis: us}
"""

OWN_NAMES = {line.strip().partition(": {")[0] for line in OWN.splitlines() if ": {" in line}


MEASURED = {rule.id for rule in rules() if rule.measured}


def foods_of(row: dict[str, str]) -> list[dict[str, str]]:
    names = [part.strip().partition("=")[0] for part in row["foods"].split(";")]
    return [food_rows()[as_written()[name]] for name in names if name in as_written()]


def told_of(table: Table, row: dict[str, str], film: str = "") -> set[str]:
    foods = [part.strip().partition("=") for part in row["foods"].split(";")]
    ingredients = "".join(
        f'  f{n}: {{amount: {grams or 200} g, food: "{name}"}}\n' for n, (name, _, grams) in enumerate(foods)
    )
    more = f", {row['more']}" if row["more"] else ""
    add = ", ".join(f"f{n}" for n in range(len(foods)))
    words = row["words"].replace('"', "'")
    # a name of the ingredients that tells nothing: the rules must read foods and words
    text = f'dish: D\nservings: 4\n{film}{OWN}ingredients:\n{ingredients}steps:\n  - {{stage: cook, do: "{words}", add: [{add}]{more}}}\n'
    return {c.rule.id for c in cautions_of(table.dish(text))}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["words"])
def test_what_is_told_of_a_step_and_what_is_not(table: Table, row: dict[str, str]) -> None:
    found = told_of(table, row)
    assert set(row["told"].split()) - found == set(), "missed"
    assert set(row["not_told"].split()) & found == set(), "imagined"
    if not {food["safety"] for food in foods_of(row)} - {""}:  # no raw food, no temperature that is not asked for
        assert found & MEASURED <= set(row["told"].split())


def test_the_table_is_long_and_names_rules_and_foods_that_there_are() -> None:
    assert len(ROWS) >= 150
    for row in ROWS:
        assert {*row["told"].split(), *row["not_told"].split()} <= set(rule_ids()), row
        for part in row["foods"].split(";"):
            assert part.strip().partition("=")[0] in {*as_written(), *OWN_NAMES}, row


def test_every_rule_is_told_by_some_row_and_not_by_another() -> None:
    told = {rule for row in ROWS for rule in row["told"].split()}
    always = {"local-code"}
    elsewhere = {
        "chilling",
        "leftovers-cold",
        "stand-ins",
        "mains-lights",
        "feta-in-pregnancy",
    }  # they need several steps, the film's settings, or who eats it: test_apply.py, test_dish_rules.py, test_kitchen_dangers.py
    of_class = fitting()
    for row in rows():  # each row is asked only where a rule of its class is still missing
        if row.danger and of_class[row.hazard] - told:
            told |= {caution.rule.id for caution in cautions_told(row, "a")}
    assert set(rule_ids()) - told == (always | elsewhere) - told


def test_every_rule_has_a_near_miss_twin_that_stays_quiet() -> None:
    quiet = {rule for row in ROWS for rule in row["not_told"].split()}
    quiet |= {
        rule for row in rows() if not row.danger for rule in fitting()[row.hazard]
    }  # the table's twins are held to 0 false
    assert set(rule_ids()) - quiet == {"local-code"}, "a row of test_steps.csv that the rule is not told of"
