"""Where the plate has another weight of a dish than its serving, the voice, the overlay and the card say the same portion; and what is said of
it by default is as long as its picture."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.captions.composing.overlay import dish_card
from scriptkit.captions.composing.titles import dish_title
from scriptkit.measure.words import number_words
from scriptkit.nutrition.display_figures import printed_plate
from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING

LEEKS = """\
dish: Buttered leeks
servings: 4
serving: 150 g
cooked_weight: 600 g
ingredients: {leek: 500 g, butter: {amount: 80 g, food: "butter, unsalted"}, almond: {amount: 60 g, food: almonds}}
steps:
  - {id: soften, stage: cook, do: Soften the leek in the butter with the almonds., add: {butter: all, leek: all, almond: all}, vessel: wide pan, screen: 20 s, say: "{butter}, {leek}, {almond}."}
"""
HAKE = """\
dish: Steamed hake
servings: 4
ingredients: {hake: 700 g}
steps:
  - {id: steam, stage: cook, do: Steam the hake., add: {hake: all}, vessel: steamer, core: 63 °C, screen: 20 s, say: "{hake}."}
"""
MEAL = """\
meal: Quay lunch
UNITS
plates: 4
dishes: [{dish: leeks.yaml, portion: 120 g}, {dish: hake.yaml, portion: 1 serving}]
"""


@pytest.fixture(params=["units: metric", "units: us"])
def lunch(table: Table, request: pytest.FixtureRequest) -> Production:
    table.write("leeks.yaml", LEEKS)
    table.write("hake.yaml", HAKE)
    return Production(table.read(MEAL.replace("UNITS", request.param), "meal.yaml"))


def test_what_is_said_shown_and_printed_of_a_dish_is_its_portion(lunch: Production) -> None:
    meal = lunch.macros.meal
    assert meal is not None
    row = printed_plate(meal).rows[0]
    kcal, net = row.text("energy_kcal"), row.text("net_carbs_g")
    weight, said = ("4 ¼ oz", "four and a quarter ounces") if meal.meal.units == "us" else ("120 g", "one hundred and twenty grams")  # fmt: skip
    passage = next(p for p in lunch.script.passages if p.segment.kind == CLOSING)
    assert (
        passage.text.startswith((f"A portion is {said}: ", "A portion has "))
        and f" {number_words(int(kcal))} kilocalories" in passage.text
    )
    card = dish_card(lunch.macros.dishes[0], meal)
    assert card[0][0] == f"A portion, {weight}: {kcal} kcal" and f" {net} g" in card[1][1]
    assert dish_title(lunch.macros.dishes[0], meal).weight == f"a portion, {weight}"
    pack = make_pack(lunch).files
    shown = pack["files/overlays.srt"]
    assert f"ortion, {weight}: {kcal} kcal" in shown or f"Portion {weight}: {kcal} kcal" in shown
    assert f"Buttered leeks, {'120 g' if meal.meal.units == 'metric' else '4 ¼ oz'}: {kcal} kcal" in pack["description.txt"] or f"Buttered leeks, 120 g: {kcal} kcal" in pack["description.txt"]  # fmt: skip


def test_the_other_dish_is_a_serving(lunch: Production) -> None:
    closings = [p.text for p in lunch.script.passages if p.segment.kind == CLOSING]
    assert closings[1].startswith(("A serving is about ", "A serving has "))


def test_lines_of_ours_are_no_longer_than_their_picture(lunch: Production) -> None:
    for passage in lunch.script.passages:
        if passage.segment.kind in (CLOSING, MEAL_CLOSING):
            assert passage.over_ms <= 0, (passage.text, passage.spoken_ms, passage.segment.length_ms)
    assert not [p for p in lunch.problems if p.code == "line-too-long"]


def test_each_card_keeps_its_range(lunch: Production) -> None:
    """In ounces too, which take longer to say and to read."""
    cues = make_pack(lunch).files["files/overlays.srt"].split("\n\n")
    net = [cue.rstrip() for cue in cues if "= net " in cue]
    assert len(net) == 3 and all(re.search(r"\(\S+–\S+ g\)$", cue) for cue in net), net
