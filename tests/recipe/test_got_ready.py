"""Meat that is got ready at one step and cooked at the next is cooked, though no key connects the two; salt in water that is poured away
goes with it."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.ledger import not_connected

DUCK = """\
dish: Duck legs
servings: 2
ingredients:
  duck: {{amount: 700 g, food: "duck, whole"}}
  salt: 1 tsp
  onion: {{amount: 100 g, food: onion}}
steps:
  - {{id: rub, stage: prep, do: Rub the legs with salt., add: {{duck: all, salt: all}}, hands: 3 min}}
  - {{id: roast, stage: cook, do: {do}, vessel: oven tray, heat: 180 °C, juices: poured off, wait: 75 min{more}}}
"""


@pytest.mark.parametrize(
    ("do", "more"),
    [
        ("Roast them.", ""),  # nothing else could be meant
        ("Roast the legs on the onion.", ", add: {onion: all}"),
        ("Roast the duck on the onion.", ", add: {onion: all}"),
        ("Roast the bird.", ", from: rub"),
    ],
)
def test_what_is_got_ready_is_cooked(table: Table, do: str, more: str) -> None:
    batch = dish_macros(table.dish(DUCK.format(do=do, more=more))).batch
    assert batch.at_least("fat_g") < 140, (
        "275 g in the raw bird, of which more than half runs out (USDA SR28 05139, 05140)"
    )


@pytest.mark.parametrize("tied", ["Tie the duck.", "Tie the legs."])
@pytest.mark.parametrize("do", ["Roast them.", "Roast the legs on the onion."])
def test_what_is_got_ready_in_two_steps_is_cooked(table: Table, tied: str, do: str) -> None:
    more = ", add: {onion: all}" if "onion" in do else ""
    dish = DUCK.format(do=do, more=more).replace(
        "  - {id: roast", f"  - {{id: tie, stage: prep, do: {tied}, hands: 2 min}}\n  - {{id: roast"
    )
    assert dish_macros(table.dish(dish)).batch.at_least("fat_g") < 140


@pytest.mark.parametrize(
    ("do", "more", "severity", "words"),
    [
        ("Roast them.", "", "note", "names nothing that it works on, so it is counted as going on with step 1 (rub)"),
        ("Roast the legs.", "", "warning", "speaks of what was got ready at step 1 (rub)"),
        ("Roast the duck.", "", "warning", "speaks of the duck of step 1 (rub)"),
        ("Roast them.", ", from: rub", "", ""),
    ],
)
def test_a_connection_that_no_key_makes_is_shown(table: Table, do: str, more: str, severity: str, words: str) -> None:
    found = list(not_connected(table.dish(DUCK.format(do=do, more=more))))
    assert [str(p.severity) for p in found] == ([severity] if severity else [])
    assert all(words in p.message and "`from: rub`" in p.hint for p in found)


@pytest.mark.parametrize(("do", "more", "told"), [
    ("Roast the legs.", "", [2]),  # the roast is not connected, the rest goes on with it
    ("Roast the legs on the onion.", ", add: {onion: all}, from: rub", []),
    ("Roast the onion under foil.", ", add: {onion: all}", [3]),  # the legs were not in the oven
])  # fmt: skip
def test_what_rests_goes_on_with_what_was_roasted(table: Table, do: str, more: str, told: list[int]) -> None:
    """Written `from: rub`, the rest would begin while the oven is on."""
    text = DUCK.format(do=do, more=more) + "  - {id: rest, stage: cook, do: Rest the legs on a board., wait: 5 min}\n"
    steps = [p.message.split()[1] for p in not_connected(table.dish(text)) if p.message.startswith("step")]
    assert [int(n) for n in steps] == told


def test_of_several_that_are_got_ready_the_note_names_each(table: Table) -> None:
    two = DUCK.format(do="Roast them.", more="").replace(
        "  - {id: roast", "  - {id: slice, stage: prep, do: Slice it., add: {onion: all}, hands: 2 min}\n  - {id: roast"
    )
    [told] = not_connected(table.dish(two))
    assert "step 1 (rub) and step 2 (slice)" in told.message
    assert "`from: [rub, slice]`" in told.hint


def test_what_another_pan_cooks_leaves_it_raw(table: Table) -> None:
    batch = dish_macros(table.dish(DUCK.format(do="Fry the onion.", more=", add: {onion: all}"))).batch
    assert batch.at_least("fat_g") > 270


def test_salt_in_water_that_is_poured_away_goes_with_it(table: Table) -> None:
    beans = """\
    dish: Green beans
    servings: 2
    ingredients: {beans: {amount: 250 g, food: green beans}, water: 2 l, salt: 18 g}
    steps: [{stage: cook, do: "Boil the beans in the salted water, then drain them.", add: {water: all, salt: all, beans: all}, heat: high, wait: 6 min}]
    """
    read = table.read(beans)
    macros = dish_macros(table.dish(beans))
    assert [p.code for p in read.problems if p.code == "dissolved"] == ["dissolved"]
    assert 100 < macros.serving.at_least("sodium_mg") < 600, "of 3,500 mg that went in for each"
    kept = dish_macros(table.dish(beans.replace(", then drain them", "")))
    assert kept.serving.at_least("sodium_mg") > 3000


def test_salt_cod_is_no_salt(table: Table) -> None:
    cod = """\
    dish: Salt cod
    servings: 2
    ingredients: {cod: {amount: 400 g, food: salt cod}, water: 2 l}
    steps: [{stage: cook, do: "Simmer the cod in the water, then drain it.", add: {water: all, cod: all}, heat: low, wait: 10 min}]
    """
    assert [p.code for p in table.read(cod).problems if p.code == "dissolved"] == []
    [fish] = [i for i in table.dish(cod).ingredients if i.name == "cod"]
    assert fish.lost_share == 0


@pytest.mark.parametrize(("weight", "told"), [("780 g", []), ("900 g", ["note"]), ("1.2 kg", ["warning"])])
def test_what_does_not_swell_weighs_no_more_than_went_in(table: Table, weight: str, told: list[str]) -> None:
    """800 g went in, and nothing that takes up water."""
    dish = DUCK.format(do="Roast the duck on the onion.", more=", add: {onion: all}").replace(
        "servings: 2", f"servings: 2\ncooked_weight: {weight}"
    )
    read = table.read(dish)
    assert [str(p.severity) for p in read.problems if p.code == "cooked-weight"] == told
