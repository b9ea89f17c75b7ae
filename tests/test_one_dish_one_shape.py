"""A dish has one shape and colour on every page, and what goes on the plates beside the dishes is on every page too; each oven is switched on
in time wherever the day is told."""

from __future__ import annotations

import functools
import json
import re

import pytest
from conftest import EXAMPLES, Table

from scriptkit.pack import make_pack
from scriptkit.production import read

MEAL = """
    meal: A cold cup and a tray
    units: UNITS
    plates: 4
    dishes:
      - {dish: cups.yaml, portion: 1 serving}
      - {dish: tray.yaml, portion: 1 serving}
    at_table: {lemon juice: 1 tsp}
    kitchen: {preheat: 15 min, landing: 30 min}
"""
CUPS = """
    dish: Cucumber cups
    short: cups
    servings: 4
    ingredients: {cucumber: 300 g, yoghurt: {amount: 240 g, food: "yoghurt, plain"}}
    steps:
      - {id: dice, stage: prep, do: Dice the cucumber., uses: cucumber, hands: 4 min}
      - {id: fill, stage: cook, do: Spoon the yoghurt and the cucumber into cups., add: {yoghurt: all, cucumber: all}, vessel: cups, hands: 5 min}
"""
TRAY = """
    dish: Roast carrots
    short: carrots
    servings: 4
    ingredients: {carrot: 800 g, oil: {amount: 2 tbsp, food: olive oil}}
    steps:
      - {id: coat, stage: prep, do: Turn the carrots in the oil., add: {carrot: all, oil: all}, vessel: bowl, hands: 5 min, wait: 30 min}
      - {id: roast, stage: cook, from: coat, do: Roast them until they are soft., vessel: roasting tin, heat: oven 425 °F, hands: 3 min, wait: 40 min}
"""


def pages(table: Table, units: str) -> dict[str, str]:
    table.write("cups.yaml", CUPS)
    table.write("tray.yaml", TRAY)
    table.write("meal.yaml", MEAL.replace("UNITS", units))
    return make_pack(read(str(table.folder / "meal.yaml")), to_print=True).files


@functools.cache
def example(name: str) -> dict[str, str]:
    return make_pack(read(str(EXAMPLES / name))).files


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


@pytest.mark.parametrize(
    ("name", "shapes"),
    [("harbour-supper.yaml", {"bisque": "●", "hake": "■"}), ("oven-lunch.yaml", {"thighs": "●", "salad": "■"})],
)
def test_a_dish_has_one_shape_on_every_page(name: str, shapes: dict[str, str]) -> None:
    files = example(name)
    schedule = set(
        re.findall(r'<b class="shape">(.)</b>.*?<p class="how">([^<·&]+)', files["schedule.html"], re.DOTALL)
    )
    labels = set(re.findall(r'<span class="shape">(.)</span>([^<]+)</p>', files["labels.html"]))
    listed = {(m[1], m[2]) for m in re.finditer(r"(?<=[ >])([●■▲◆]) (\w+), step", words(files["shoot-list.html"]))}
    stage = json.loads(re.findall(r'id="shots">(.*?)</script>', files["stage.html"], re.DOTALL)[0])
    on_stage = {("●■▲◆"[n], short) for n, (_, short) in enumerate(stage["dishes"])}
    want = {(shape, short) for short, shape in shapes.items()}
    assert (labels, listed, on_stage) == (want, want, want)
    assert {(s, d.strip()) for s, d in schedule} == want


def test_the_dish_that_is_cooked_first_takes_no_other_shape(table: Table) -> None:
    files = pages(table, "us")
    assert '<b class="shape">■</b> Turn the carrots' in files["schedule.html"]
    stage = json.loads(re.findall(r'id="shots">(.*?)</script>', files["stage.html"], re.DOTALL)[0])
    assert [short for _, short in stage["dishes"]] == ["cups", "carrots"]


@pytest.mark.parametrize(("units", "setting"), [("us", "425 °F (220 °C)"), ("metric", "220 °C (425 °F)")])
def test_the_oven_is_switched_on_in_time_wherever_the_day_is_told(table: Table, units: str, setting: str) -> None:
    files = pages(table, units)
    begins = re.search(
        r'data-minute="(\d+)"><p class="at">[^<]+</p>\s*<div class="body"><p class="do"><b class="shape">■</b> Roast them',
        files["schedule.html"],
    )
    assert begins
    on = int(begins[1]) + 3 - 15  # they go in when the hands of the step have finished
    assert (
        f"Switch the oven on: {setting}." in files["schedule.html"] and f'data-minute="{on}"' in files["schedule.html"]
    )
    at = f"{on // 60}:{on % 60:02d}"
    line = f"Oven {setting}: on at {at}, 15 min before the dish goes in, at step 2 of carrots"
    assert (
        line in words(files["index.html"]) and line in words(files["shoot-list.html"]) and line in files["report.txt"]
    )
    assert f"Oven {setting}" in words(files["mise-en-place.html"])
    assert setting in files["description.txt"] and setting in files["files/recipe.jsonld"]


def test_what_goes_on_the_plates_has_a_bowl_a_label_a_shot_and_a_line_on_the_card(table: Table) -> None:
    files = pages(table, "us")
    line = "4 tsp (20 g) lemon juice, 1 tsp each, at the table"
    for name in ("recipe-card.html", "description.txt", "files/recipe.jsonld"):
        assert line in words(files[name].replace("\N{NO-BREAK SPACE}", " ")), name
    assert "lemon juice 4 tsp" in files["pinned-comment.txt"]
    for name in ("mise-en-place.html", "labels.html"):
        assert "lemon juice 1 tsp each 20 g in all" in words(files[name]), name
    for name in ("shoot-list.html", "stage.html"):
        assert "Lemon juice, at the table: 1 tsp each" in files[name], name
    assert "5 bowls to weigh out" in files["index.html"]
