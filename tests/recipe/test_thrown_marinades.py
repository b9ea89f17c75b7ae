"""What goes with a marinade that is thrown away: what was in by then, and one note with one line for all of it."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.nutrition.dish_meal_macros import all_macros
from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish

LEGS = """
    dish: Legs
    servings: 4
    ingredients:
      chicken: {{amount: 800 g, food: chicken leg}}
      yoghurt: {{amount: 240 g, food: "yoghurt, plain"}}
      garlic: 12 g
      {salts}
    steps:
      - {{id: marinate, stage: prep, do: Whisk the yoghurt with the garlic and turn the legs in it., add: {{yoghurt: all, garlic: all, chicken: all, {first}}}, vessel: bowl, wait: 2 h}}
      - {{id: roast, stage: cook, from: marinate, do: Lift the chicken out and discard the marinade. Roast it., add: {{{later}}}, vessel: tin, heat: oven 200 °C, wait: 45 min}}
"""
ONE = LEGS.format(salts="salt: 9 g", first="salt: 6 g", later="salt: rest")
TWO = LEGS.format(
    salts="salt: 6 g\n      sea salt: {amount: 3 g, food: salt}", first="salt: all", later="sea salt: all"
)


def test_only_what_was_in_goes_with_the_marinade(table: Table) -> None:
    """Six of nine grams of salt are in it: as much sodium as where the other three are an ingredient of their own."""
    one, two = table.dish(ONE), table.dish(TWO)
    lost = {i.key: (i.grams or 0) * i.behind_share for i in one.ingredients}
    assert lost["salt"] == pytest.approx(0.7 * 6)
    sodium = [all_macros(dish, (dish,)).dishes[0].batch.at_least("sodium_mg") for dish in (one, two)]
    assert sodium[0] == pytest.approx(sodium[1])


def test_the_bowl_of_the_rest_is_not_marked(table: Table) -> None:
    page = make_pack(Production(table.read(ONE))).files["mise-en-place.html"]
    rows = [re.sub(r"<[^>]+>", " ", row) for row in page.split("<tr") if "salt" in row]
    assert ["left behind" in row for row in rows if re.search(r"\b[63] g\b", row)] == [True, False]


def test_one_note_with_one_line_that_can_be_written_at_the_step(table: Table) -> None:
    (told,) = [p for p in table.read(ONE).problems if p.code == "left-behind-estimated"]
    assert told.place.line == next(n for n, line in enumerate(ONE.splitlines(), 1) if "id: roast" in line)
    line = re.findall(r"`(left_behind: .*?)`", told.hint)
    assert line == ["left_behind: {yoghurt: 60 %, garlic: 60 %, salt: 60 %}"]
    mended = table.read(ONE.replace("heat: oven", f"{line[0]}, heat: oven"))
    assert not [p for p in mended.problems if "left" in p.code or "duplicate" in p.code]
    dish = mended.usable()
    assert isinstance(dish, Dish)
    assert {i.key: round(i.behind_share, 3) for i in dish.ingredients if i.behind_share} == {
        "yoghurt": 0.6, "garlic": 0.6, "salt": 0.4,
    }  # fmt: skip


@pytest.mark.parametrize("at", ["marinate", "roast"])
def test_the_line_is_heard_at_either_step(table: Table, at: str) -> None:
    """Written where the marinade is made or where it is thrown away, what is left of it is as written, and nothing is estimated."""
    told = "left_behind: {yoghurt: 50 %, garlic: 50 %, salt: 50 %}"
    reading = table.read(ONE.replace(f"{{id: {at},", f"{{id: {at}, {told},"))
    assert not [p for p in reading.problems if p.code.startswith("left-behind")]
    dish = reading.usable()
    assert isinstance(dish, Dish)
    lost = {i.key: i.behind_share for i in dish.ingredients if i.behind_share}
    assert lost == {"yoghurt": 0.5, "garlic": 0.5, "salt": pytest.approx(1 / 3)}
