"""What the pot holds: portions times plates are no more than the batch, else it is said how many plates it serves."""

from __future__ import annotations

import json
from collections.abc import Callable
from subprocess import CompletedProcess
from typing import TYPE_CHECKING

import pytest
from conftest import EXAMPLES

from scriptkit.captions.composing.overlay import only_meal_card
from scriptkit.drawing.shown import house_fonts
from scriptkit.nutrition.dish_meal_macros import meal_macros
from scriptkit.nutrition.servings import only_meal, plates_of_pot, read_limits, suggest
from scriptkit.papers.macro_cards import cards_of

if TYPE_CHECKING:
    from conftest import Table

Run = Callable[..., CompletedProcess[str]]
FISH = (
    "dish: Salmon\nservings: 4\nserving: 165 g\ncooked_weight: 660 g\ningredients: {salmon: 720 g, olive oil: 20 g}\n"
)
SOUP = "dish: Soup\nservings: 4\nserving: 300 g\ncooked_weight: 1.2 kg\ningredients: {celeriac: 800 g, water: 400 g}\n"
BOTH = "dishes: [{dish: fish.yaml}, {dish: soup.yaml}]\n"


@pytest.fixture
def kitchen(table: Table) -> Table:
    table.write("fish.yaml", FISH)
    table.write("soup.yaml", SOUP)
    return table


def test_no_portion_is_more_than_the_pot_has_for_each_plate(kitchen: Table) -> None:
    """Four plates of 660 g fish: 165 g each, and no more, however much protein is asked for; of two plates 330 g."""
    for plates, most in ((4, 165), (2, 330)):
        meal = meal_macros(kitchen.meal(f"meal: M\nplates: {plates}\n{BOTH}"))
        wanted = suggest(meal, read_limits([], ["protein_g=45"]))
        fish, _ = wanted.choices
        assert fish.most_g == pytest.approx(most)
        assert (wanted.found.grams is None) is (plates == 4)
        if wanted.found.grams is not None:
            assert wanted.found.grams[0] * plates <= 660
            assert plates_of_pot(wanted) == 2


def test_a_dish_that_is_on_the_plate_twice_shares_its_pot(kitchen: Table) -> None:
    meal = meal_macros(
        kitchen.meal(
            "meal: M\nplates: 2\ndishes: [{dish: fish.yaml, portion: 100 g}, {dish: fish.yaml, portion: 50 g}]\n"
        )
    )
    choices = suggest(meal, read_limits([], ["protein_g=10"])).choices
    assert [c.most_g for c in choices] == pytest.approx([220, 110])


@pytest.mark.parametrize(("plates", "serves"), [(4, None), (5, 4), (8, 4)])
def test_more_plates_than_the_pot_gives_are_told_with_how_many_it_serves(
    kitchen: Table, plates: int, serves: int | None
) -> None:
    reading = kitchen.read(f"meal: M\nplates: {plates}\n{BOTH}", "meal.yaml")
    told = [p for p in reading.problems if p.code == "portion"]
    assert len(told) == (0 if serves is None else 2)
    assert all(f"it serves {serves}:" in p.hint for p in told)


def test_the_only_meal_says_how_many_such_plates_the_pots_give(run: Run) -> None:
    path = str(EXAMPLES / "quay-dinner.yaml")
    out = json.loads(run("macros", path, "--json").stdout)["only_meal"]
    assert out["plates_of_pot"] == 1
    assert "  The pots give 1 such plate.\n" in run("macros", path).stdout


def test_the_only_meal_may_take_the_whole_pot(kitchen: Table) -> None:
    meal = meal_macros(kitchen.meal(f"meal: M\nplates: 4\n{BOTH}only_meal: {{at_least: {{protein_g: 90}}}}\n"))
    only = only_meal(meal)
    assert only is not None and only.found.grams is not None
    assert only.choices[0].most_g == pytest.approx(660)


@pytest.mark.parametrize(
    ("portion", "words"),
    [("5000g", "is more than the batch of"), ("0g", "write grams or servings, such as 180 g or 1/2 serving")],
)
def test_a_portion_of_nothing_or_of_more_than_there_is_is_refused(run: Run, portion: str, words: str) -> None:
    done = run("macros", str(EXAMPLES / "seared-hake.yaml"), "--portion", portion)
    assert done.returncode == 2
    assert words in done.stderr


def test_the_only_meal_stands_on_a_card_of_its_own_in_the_overlay_and_in_the_description(
    run: Run, table: Table
) -> None:
    path = str(EXAMPLES / "quay-dinner.yaml")
    only = json.loads(run("macros", path, "--json").stdout)["only_meal"]
    portions = [f"{p['weight_g']:g} g" for p in only["portions"]]
    assert run("captions", path, "-o", "o.srt", "--cards", "cards").returncode == 0
    overlay = (table.folder / "o.srt").read_text(encoding="utf-8")
    at = overlay.index("As the only meal of the day:")
    assert all(grams in overlay[at : at + 90] for grams in portions)
    card = (table.folder / "cards" / "only-meal-1080p.svg").read_text(encoding="utf-8")
    assert "The only meal of the day" in card and all(grams in card for grams in portions)
    assert f"{only['plate']['protein_g']:.1f} g" in card
    assert run("publish", path, "-o", "out").returncode == 0
    (line,) = [
        x
        for x in (table.folder / "out" / "description.txt").read_text(encoding="utf-8").splitlines()
        if "only meal" in x
    ]
    assert all(grams in line for grams in portions) and line.endswith("The pots give 1 such plate.")


def test_where_nothing_keeps_its_limits_there_is_no_card_of_it(kitchen: Table) -> None:
    meal = meal_macros(kitchen.meal(f"meal: M\nplates: 4\n{BOTH}only_meal: {{at_most: {{energy_kcal: 10}}}}\n"))
    only = only_meal(meal)
    assert only is not None and only.found.grams is None
    assert only_meal_card(only) == [] and only_meal_card(None) == []
    names = [c.name for c in cards_of([d for _, d, _ in meal.portions], meal, None, house_fonts(), only)]
    assert names and not any("only" in name for name in names)
