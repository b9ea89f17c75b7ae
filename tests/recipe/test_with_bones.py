"""What goes in with its bones or shells: every page has the weight of the scale and says so; what is eaten is counted without."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.amounts import parse_amount
from scriptkit.nutrition.dish_meal_macros import all_macros
from scriptkit.pack import make_pack
from scriptkit.pantry.as_sold import goes_in_with
from scriptkit.pantry.lookup import Pantry
from scriptkit.preproduction import Preproduction
from scriptkit.production import Production
from scriptkit.recipe.day_dishes import served_dishes
from scriptkit.recipe.day_weights import DayWeights
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.reader import Reading, reread

DISH = """
    dish: Thighs on leeks
    short: thighs
    servings: 4
    UNITS
    ingredients:
      leek: 350 g
      ONE
    steps:
      - {stage: cook, do: "Roast it on the leek until it is done.", add: {leek: all, KEY: all}, vessel: roasting tin, heat: oven 200 °C, hands: 4 min, wait: 40 min, screen: 12 s}
"""


def text_of(one: str, units: str = "") -> str:
    return DISH.replace("ONE", one).replace("KEY", one.partition(":")[0]).replace("UNITS", units or "promise: A tray.")


def ingredient(table: Table, one: str) -> Ingredient:
    return Preproduction(table.dish(text_of(one))).source.ingredients[1]


@pytest.mark.parametrize(
    ("one", "with_it", "eaten", "on_scale"),
    [
        ("chicken: {amount: 8, food: 'chicken thigh, skin-on', bought: whole}", "bones", 1189, 1544),
        ("chicken: {amount: 8, food: 'chicken thigh, skin-on'}", "bones", 1189, 1544),
        ("chicken: {amount: 2 kg, food: 'chicken thigh, skin-on', bought: whole}", "bones", 1540, 2000),
        ("drumsticks: {amount: 8, food: chicken drumstick}", "bones", 713, 1064),
        ("wings: {amount: 12, food: chicken wing}", "bones", 796, 1284),
        ("legs: {amount: 4, food: chicken leg}", "bones", 1004, 1376),
        ("steaks: {amount: 2, food: 'beef, t-bone steak'}", "bones", 690, 920),
        ("lamb: {amount: 4, food: lamb loin chop}", "bones", 316, 405),
        ("mussels: {amount: 1 kg, bought: whole}", "shells", 250, 1000),
        ("mackerel: {amount: 800 g, bought: whole, prep: whole and gutted}", "bones", 400, 800),
        ("lamb: {amount: 2 lb, food: lamb shank, bought: whole}", "bones", 644, 907),
        # Twins: nothing is on it that is not eaten, or the file says so, or it comes off before it goes in.
        ("chicken: {amount: 8, food: 'chicken thigh, skin-on', bought: ready}", "", 1189, 1189),
        ("chicken: {amount: 2 kg, food: 'chicken thigh, skin-on', bought: whole, prep: boned}", "", 1540, 1540),
        ("chicken: {amount: 2 kg, food: 'chicken thigh, skin-on'}", "", 2000, 2000),
        ("chicken: {amount: 8, food: 'chicken thigh, skinless'}", "", 834, 834),
        ("celeriac: {amount: 700 g, bought: whole, prep: diced}", "", 602, 602),
        ("onion: {amount: 2 medium, prep: sliced}", "", 220, 220),
        ("mussels: {amount: 250 g, prep: meat only}", "", 250, 250),
    ],
)  # fmt: skip
def test_the_scale_shows_what_is_on_it(one: str, with_it: str, eaten: float, on_scale: float, table: Table) -> None:
    found = ingredient(table, one)
    assert (found.with_it, round(found.grams or 0), round(found.scale_g or 0)) == (with_it, eaten, on_scale)


THIGHS = "chicken: {amount: 8, food: 'chicken thigh, skin-on', bought: whole}"
PAPERS = (
    "description.txt", "pinned-comment.txt", "mise-en-place.html", "labels.html", "recipe-card.html", "stage.html",
    "shoot-list.html", "files/overlays.srt", "files/recipe.jsonld",
)  # fmt: skip


def pages_of(table: Table, text: str) -> dict[str, str]:
    """Every file of the pack in words, without its tags."""
    files = make_pack(Production(table.read(text))).files
    return {name: re.sub(r"<[^>]+>", " ", page) for name, page in files.items() if isinstance(page, str)}


@pytest.mark.parametrize("units", ["", "units: metric", "units: us"])
def test_every_paper_has_the_weight_with_bones_and_says_so(units: str, table: Table) -> None:
    pages = pages_of(table, text_of(THIGHS, units))
    for name in PAPERS:
        assert "with bones" in pages[name] and "1.54 kg" in pages[name], name
    for name, words in pages.items():
        unmarked = [
            words[m.start() - 40 : m.end() + 20] for m in re.finditer(r"1\.19 kg(?! without bones| of 1\.54 kg)", words)
        ]
        assert not unmarked and not re.search(r"from [\d.]+ \w+ whole", words), (name, unmarked)


def test_thighs_without_bones_are_said_to_be_neither(table: Table) -> None:
    for name, words in pages_of(table, text_of(THIGHS.replace("whole}", "ready}"))).items():
        assert not re.search(r"1\.54 kg(?! as bought)|with(?:out)? bones|kg whole", words), name


def test_a_part_of_it_is_weighed_with_its_bones_too(table: Table) -> None:
    text = text_of("chicken: {amount: 2 kg, food: 'chicken thigh, skin-on', bought: whole}").replace(
        "chicken: all", "chicken: 500 g"
    )
    (addition,) = [a for a in table.dish(text + "      - {stage: cook, do: Add the rest., add: {chicken: rest}, hands: 1 min}\n").steps[0].additions if a.ingredient.key == "chicken"]  # fmt: skip
    assert addition.share == Fraction(1, 4)
    assert (round(addition.grams or 0), round(addition.scale_g or 0)) == (385, 500)


def test_what_the_scale_says_on_the_day_has_bones_in_it(table: Table) -> None:
    found = ingredient(table, THIGHS.replace("whole}", "whole, weighed: 2 kg}"))
    assert (round(found.grams or 0), round(found.scale_g or 0)) == (1540, 2000)
    boned = ingredient(table, THIGHS.replace("whole}", "ready, weighed: 1.5 kg}"))
    assert (round(boned.grams or 0), round(boned.scale_g or 0)) == (1500, 1500)


COOKED = """
    dish: Drumsticks on a tray
    servings: 4
    COOKED
    SERVING
    ingredients:
      ONE
      oil: {amount: 20 g, food: olive oil}
    steps:
      - {stage: cook, do: Roast them until they are done., add: {chicken: all, oil: all}, vessel: roasting tin, heat: oven 200 °C, hands: 4 min, wait: 40 min}
"""


def cooked(
    table: Table, cooked: str, one: str = "chicken: {amount: 8, food: chicken drumstick}", serving: str = ""
) -> Reading:
    text = COOKED.replace("COOKED", f"cooked_weight: {cooked}").replace("ONE", one)
    return table.read(text.replace("SERVING", f"serving: {serving}" if serving else ""))


@pytest.mark.parametrize(
    ("written", "eaten", "told"),
    [
        ("900 g", 549, True),
        ("900 g with bones", 549, False),
        ("900 g, with its bones", 549, False),
        ("560 g without bones", 560, False),
    ],
)
def test_a_cooked_weight_has_the_bones_in_it_and_says_so(written: str, eaten: float, told: bool, table: Table) -> None:
    """Eight drumsticks of 133 g are a third bone, 351 g, which no oven takes away."""
    reading = cooked(table, written)
    dish = reading.usable()
    assert isinstance(dish, Dish) and round(dish.cooked_g) == eaten
    notes = [p for p in reading.problems if p.code == "cooked-with-bones"]
    assert bool(notes) is told
    if told:
        assert "351 g of it is bones, 549 g is eaten" in notes[0].message
        assert "`cooked_weight: 900 g without bones`" in notes[0].hint
        assert not [p for p in cooked(table, "900 g with bones").problems if p.code == "cooked-with-bones"]


def test_a_cooked_weight_that_is_too_little_for_the_bones_has_none_in_it(table: Table) -> None:
    """713 g without the bones leave about 530 g; 550 g with the bones would be 199 g of meat."""
    reading = cooked(table, "550 g")
    assert reading.usable().cooked_g == 550  # type: ignore[union-attr]
    [told] = [p for p in reading.problems if p.code == "cooked-with-bones"]
    assert "550 g counts as weighed without bones" in told.message
    assert told.hint.startswith("write `cooked_weight: 550 g without bones` if so")


@pytest.mark.parametrize("grams", [400, 500, 600, 650, 700, 800, 900, 1100])
def test_whichever_way_it_is_taken_is_the_likelier(grams: int, table: Table) -> None:
    """Drumsticks of 713 g of meat, 351 g of bones: 500 to 560 g of what is eaten is usual."""
    reading = cooked(table, f"{grams} g")
    eaten = reading.usable().cooked_g  # type: ignore[union-attr]
    assert round(eaten) in (grams, grams - 351)
    assert (round(eaten) == grams) is (grams <= 700)


def test_100_g_of_it_have_the_same_energy_weighed_with_the_bones_or_without(table: Table) -> None:
    with_bones, without = (
        all_macros(dish, served_dishes(dish)).dishes[0].per_100_g.figure("energy_kcal")
        for dish in (cooked(table, "900 g with bones").usable(), cooked(table, "548.9 g without bones").usable())
    )
    assert with_bones and without and abs(with_bones - without) < 0.1


@pytest.mark.parametrize(("serving", "eaten"), [("225 g", 137), ("137 g", 137)])
def test_a_serving_is_weighed_as_the_batch_was(serving: str, eaten: float, table: Table) -> None:
    reading = cooked(table, "900 g with bones", serving=serving)
    assert round(reading.usable().serving_g) == eaten  # type: ignore[union-attr]
    assert not [p for p in reading.problems if p.code == "serving"]


@pytest.mark.parametrize(
    "one",
    [
        "chicken: {amount: 800 g, food: 'chicken thigh, skinless'}",
        "chicken: {amount: 800 g, food: chicken drumstick, bought: ready}",
    ],
)
def test_nothing_is_taken_off_where_there_is_no_bone(one: str, table: Table) -> None:
    reading = cooked(table, "600 g", one)
    assert reading.usable().cooked_g == 600 and "cooked-with-bones" not in {p.code for p in reading.problems}  # type: ignore[union-attr]


def test_the_scale_on_the_day_counts_with_the_bones_and_the_stage_page_asks_for_them(table: Table) -> None:
    reading = table.read(
        COOKED.replace("COOKED", "")
        .replace("SERVING", "")
        .replace("ONE", "chicken: {amount: 8, food: chicken drumstick}")
    )
    dish = reading.usable()
    assert isinstance(dish, Dish)
    again = reread(reading, {dish.file: DayWeights(cooked_g=900)})
    assert round(again.source.cooked_g) == 549  # type: ignore[union-attr]
    assert "cooked-with-bones" in {p.code for p in again.problems}
    assert (
        '"dishes":[["Drumsticks on a tray","Drumsticks on a tray","bones"]]'
        in make_pack(Production(reading)).files["stage.html"]
    )


@given(st.sampled_from(["chicken thigh, skin-on", "lamb shank", "mussels", "leek", "celeriac", "salmon"]), st.sampled_from([None, "ready", "whole"]),
       st.sampled_from(["2", "500 g", "1 cup"]))  # fmt: skip
def test_nothing_is_on_what_is_ready_nor_on_a_vegetable(name: str, bought: str | None, amount: str) -> None:
    food = Pantry().find(name)
    found = goes_in_with(food, parse_amount(amount), "", bought)
    assert found in ("", "bones", "shells")
    assert not found or (bought != "ready" and food.category not in ("vegetable", "fruit"))
