"""Cautions of single dangers, each beside a harmless twin."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.production import Production
from scriptkit.safety.rule_matching import Caution, cautions_of

STEP = """
    dish: Pier supper
    servings: 2
    for: [{eaters}]
    ingredients: {{{foods}}}
    steps: [{{id: s1, stage: {stage}, do: "{do}", add: [{added}], vessel: {vessel}{more}}}]
"""


def told(
    table: Table, do: str, foods: str, *, eaters: str = "", vessel: str = "pan", more: str = "", stage: str = "cook"
) -> dict[str, Caution]:
    added = ", ".join(part.partition(":")[0].strip() for part in foods.split(";"))
    text = STEP.format(
        do=do, foods=foods.replace(";", ","), added=added, eaters=eaters, vessel=vessel, more=more, stage=stage
    )
    return {c.rule.id: c for c in cautions_of(table.dish(text))}


@pytest.mark.parametrize(
    ("do", "bursts"),
    [
        ("Boil the unopened tin of condensed milk in water for 3 hours.", True),
        ("Simmer the can in the water for 2 hours, still sealed.", True),
        ("Simmer the tin of condensed milk under water for 3 hours, without opening it.", True),
        ("Lay the cans in the water, do not open them, and boil for 2 hours.", True),
        ("Without opening the tin, boil it in the water for 2 hours.", True),
        ("Boil the tin in the water for 2 hours, lid still on.", True),
        ("Bake it in a lined cake tin for 40 minutes, without opening the oven.", False),
        ("Boil it in the pudding tin for 40 minutes, and don't open the door.", False),
        ("Boil the condensed milk from the opened tin in a pan for 3 minutes.", False),
        ("Open the tin, empty it into the pan and simmer it for 10 minutes.", False),
        ("Put the unopened tin of condensed milk on the shelf.", False),
    ],
)
def test_a_sealed_tin_that_is_heated_can_burst(table: Table, do: str, bursts: bool) -> None:
    found = told(table, do, "condensed milk: 400 g; water: 2 kg")
    assert ("sealed-tin" in found) is bursts
    assert not bursts or "under water" in found["sealed-tin"].overlay[0]


@pytest.mark.parametrize(
    ("foods", "do", "eaters", "warns"),
    [
        ("feta: 100 g", "Crumble the feta over it.", "pregnant", True),
        ("feta: 100 g", "Crumble the feta over it.", "", False),
        ("pasteurised feta: {amount: 100 g, food: feta}", "Crumble the feta over it.", "pregnant", False),
        ("cheddar: 100 g", "Crumble the cheddar over it.", "pregnant", False),
    ],
)
def test_feta_in_pregnancy_by_its_label(table: Table, foods: str, do: str, eaters: str, warns: bool) -> None:
    assert ("feta-in-pregnancy" in told(table, do, foods, eaters=eaters, vessel="plates")) is warns


@pytest.mark.parametrize(("food", "eaters", "warns"), [
    ("chicken liver", "pregnant", True), ("swordfish", "pregnant", True), ("chicken liver", "", False), ("hake", "pregnant", False),
])  # fmt: skip
def test_what_they_must_not_eat_is_a_warning_of_check(table: Table, food: str, eaters: str, warns: bool) -> None:
    text = STEP.format(do=f"Fry the {food} through.", foods=f"{food}: 200 g", added=food, eaters=eaters, vessel="pan", more=", heat: medium, wait: 8 min", stage="cook")  # fmt: skip
    found = [p for p in Production(table.read(text)).problems if p.code == "not-for-them"]
    assert [p.severity.value for p in found] == ["warning"] * warns


@pytest.mark.parametrize(("do", "glove"), [
    ("Shuck the oysters.", True), ("Open the oysters over a bowl.", True), ("Poach the shucked oysters in milk.", False),
])  # fmt: skip
def test_a_hand_that_opens_oysters_wears_a_glove_or_a_cloth(table: Table, do: str, glove: bool) -> None:
    assert ("oyster-knife" in told(table, do, "oysters: 300 g")) is glove


@pytest.mark.parametrize(("food", "do", "short"), [
    ("mussels", "Steam the mussels for 4 minutes.", "Mussels: until they open; bin shut ones"),
    ("prawns", "Fry the prawns for 4 minutes.", "Prawns: cook until opaque"),
    ("oysters", "Simmer the shucked oysters for 4 minutes.", "Oysters: cook until opaque"),
])  # fmt: skip
def test_in_the_shell_it_is_done_when_it_opens(table: Table, food: str, do: str, short: str) -> None:
    assert told(table, do, f"{food}: 400 g")["cook-shellfish"].short == (short,)


@pytest.mark.parametrize(("fat", "line"), [
    ("salted butter: 30 g", "Butter foaming"), ("olive oil: 30 g", "Oil short of smoking"), ("salted butter: 10 g; olive oil: 20 g", "Oil short of smoking"),
])  # fmt: skip
def test_butter_alone_does_not_wait_for_oil_to_smoke(table: Table, fat: str, line: str) -> None:
    found = told(
        table,
        "Sear the steak.",
        f"steak: {{amount: 400 g, food: beef rump steak}}; {fat}",
        more=", heat: high",
    )
    assert found["searing"].short[1].startswith(line)


SAID = 'wait: 2 h, say: "Whisk it{say}."'


@pytest.mark.parametrize(
    ("say", "out"), [(", and two hours in the fridge", False), (", and two hours it stands", True)]
)
def test_the_narration_tells_where_it_stands_too(table: Table, say: str, out: bool) -> None:
    found = told(
        table,
        "Turn the chicken in the oil.",
        "chicken leg: 400 g; olive oil: 20 g",
        vessel="bowl",
        more=", " + SAID.format(say=say),
        stage="prep",
    )
    assert ("standing-out" in found) is out


@pytest.mark.parametrize(("do", "soft"), [
    ("Boil the eggs in their shells for 7 minutes until firm.", False), ("Boil the eggs for 6 minutes, until the yolk is hard.", False),
    ("Boil the eggs in their shells for 6 minutes.", True), ("Boil the eggs for 6 minutes, until the whites are firm.", True),
])  # fmt: skip
def test_an_egg_is_soft_by_the_clock_unless_the_words_have_it_firm(table: Table, do: str, soft: bool) -> None:
    assert ("raw-egg" in told(table, do, "egg: 110 g")) is soft


TART = """dish: Cream tart
servings: 4
ingredients: {egg: 110 g, flour: {amount: 200 g, food: plain flour}, butter: {amount: 100 g, food: salted butter}, cream: {amount: 200 g, food: double cream}}
steps:
  - {id: base, stage: cook, do: "Rub the butter into the flour, press it into a tin and bake at 180 °C until firm.", add: [flour, butter]}
  - {id: cool, stage: cook, do: Cool the base., wait: 30 min}
  - {id: top, stage: cook, do: "Beat the eggs into the cream, spread it over the base and END.", add: [egg, cream]}
"""


@pytest.mark.parametrize(("end", "raw"), [("chill", True), ("bake until firm", False)])
def test_what_is_baked_firm_before_the_egg_goes_in_cooks_no_egg(table: Table, end: str, raw: bool) -> None:
    rules = {c.rule.id for c in cautions_of(table.dish(TART.replace("END", end)))}
    assert ("raw-egg" in rules) is raw
