"""What is said not to be cooked is not, what was cooked elsewhere is not cooked here, and a written heat beats both."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.production import read

DISH = """\
dish: Filling
servings: 2
ingredients: {{egg: {{amount: "2", food: egg}}, cream: {{amount: 100 g, food: "cream, double"}}}}
steps:
  - {{id: mix, stage: cook, do: "{do}", add: {{egg: all, cream: all}}, vessel: {vessel}{more}}}
  - {{id: plate, stage: cook, do: Spoon into glasses., hands: 1 min}}
"""


@pytest.mark.parametrize(
    "do",
    [
        "Whisk the egg with the cream for this no-bake filling.", "Whisk the egg with the cream; nothing is cooked.",
        "Whisk the egg with the cream; it is served without being cooked.", "Whisk the egg with the cream, and leave the oven off.",
        "Whisk the egg with the cream; no pan is needed.", "Whisk the egg with the cream to a non-cooked mousse.",
        "Whisk the egg with the cream: this never sees an oven.", "Whisk the egg with the cream. Zero cooking.",
        "Whisk the egg with the cream; nothing goes in the oven.", "Whisk the egg with the cream; none of it goes near the stove.",
        "Whisk the egg with the cream, as for baked custard.",
    ],
)  # fmt: skip
def test_a_raw_egg_stays_one_however_it_is_said(table: Table, do: str) -> None:
    production = read(table.write("dish.yaml", DISH.format(do=do, vessel="bowl", more="")))
    assert "raw-egg" in {c.rule.id for c in production.cautions}


def test_a_written_heat_beats_a_pan(table: Table) -> None:
    dish = table.write("dish.yaml", DISH.format(do="Whisk it.", vessel="saucepan", more=", heat: none"))
    assert "raw-egg" in {c.rule.id for c in read(dish).cautions}


def test_a_misspelt_heat_is_told(table: Table) -> None:
    dish = table.write("dish.yaml", DISH.format(do="Warm it.", vessel="saucepan", more=", heat: mediumm"))
    [told] = [p for p in read(dish).problems if p.code == "unknown-heat"]
    assert told.hint == "did you mean `heat: medium`?"


@pytest.mark.parametrize(
    ("do", "on"),
    [
        ("Mix with the grilled courgette and baked beans.", False), ("Chop the onion; it will be fried later.", False),
        ("Grate the cheese for grilling.", False), ("Boiled potatoes go in.", False), ("Press the no-bake base into the tin.", False),
        ("Barbecue over hot coals until charred.", True), ("Microwave oven on full power, 2 minutes.", True),
        ("The fish is baked for 20 minutes.", True), ("Fry the onion and bake the fish.", True), ("Roasted until soft.", True),
    ],
)  # fmt: skip
def test_where_the_heat_is_on(table: Table, do: str, on: bool) -> None:
    dish = table.read(DISH.format(do=do, vessel="bowl", more="")).source
    assert dish is not None
    assert dish.steps[0].reading.heat.on is on  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("written", "meant"),
    [("180", "oven 180 °C"), ('"180"', "oven 180 °C"), ("oven 425", "oven 425 °F"), ("6", "gas mark 6")],
)
def test_a_heat_without_its_scale_is_told_with_what_to_write(table: Table, written: str, meant: str) -> None:
    def told(heat: str) -> list[str]:
        path = table.write("dish.yaml", DISH.format(do="Bake it.", vessel="tin", more=f", heat: {heat}"))
        return [p.hint for p in read(path).problems if p.code == "heat-without-scale"]

    [hint] = told(written)
    assert hint.startswith(f"write `heat: {meant}` if that is meant")
    assert told(meant) == told("medium") == told("8 of 9") == []
