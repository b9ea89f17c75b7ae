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
