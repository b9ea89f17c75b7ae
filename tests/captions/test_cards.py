"""Macro cards: the overlay's figures, inside the safe area, and no text wider than its card."""

from __future__ import annotations

import json
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table

from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.papers.macro_cards import MacroCard, cards_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import dishes_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def cards(source: Dish | Meal) -> list[MacroCard]:
    meal = meal_macros(source) if isinstance(source, Meal) else None
    dishes = [dish_macros(d) for d in dishes_of(source)]
    return cards_of(dishes, meal, suggestion_for(meal) if meal else None)


def inside(card: MacroCard) -> None:
    """The panel in the title safe area, 90 % of width and height (SMPTE ST 2046-1:2009: 96 and 54 px of 1920 × 1080); every text
    in the panel by its rendered width; no two texts on one another."""
    assert card.width * 0.05 <= card.x
    assert card.x + card.panel_width <= card.width * 0.95 + 0.1
    assert card.height * 0.05 <= card.y
    assert card.y + card.panel_height <= card.height * 0.95 + 0.1
    for text in card.texts:
        left = text.x if text.anchor == "start" else text.x - text.width
        assert left >= card.x
        assert left + text.width <= card.x + card.panel_width + 0.1
        assert card.y <= text.y - text.size * 0.8
        assert text.y + text.size * 0.25 <= card.y + card.panel_height
    for one in card.texts:
        for other in card.texts:
            if one.anchor == "start" and other.anchor == "end" and one.y == other.y:
                assert one.x + one.width < other.x - other.width


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_example_in_every_size(path: Path) -> None:
    made = cards(read_source(str(path)).usable())
    assert len({c.name for c in made}) == len(made)
    assert {(c.width, c.height) for c in made} == {(1920, 1080), (3840, 2160), (1080, 1920)}
    for card in made:
        inside(card)


@pytest.mark.parametrize(
    "name",
    ["Slow-braised shoulder of harbour mutton with pickled samphire, potted shrimps and brown butter", "W" * 60, "魚のスープ" * 12, "Fish & <chips>"],
)  # fmt: skip
def test_any_name_stays_on_its_card(table: Table, name: str) -> None:
    dish = table.dish(f"""
        dish: "{name}"
        servings: 2
        ingredients: {{butter: {{amount: 20 g, food: "butter, unsalted"}}}}
        steps: [{{stage: cook, do: Melt., add: butter, screen: 10 s}}]
    """)
    made = cards(dish)
    for card in made:
        inside(card)
    shown = "".join("".join(t.text for t in made[0].texts).split())
    assert "".join(name.replace("<", "‹").replace(">", "›").split()) in shown


def test_a_dish_card_says_what_the_overlay_says() -> None:
    """4.4 g of fibre from 15.8 g of carbohydrate leave 11.4 g: the figures of the bisque's own card."""
    card = cards(read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable())[0]
    texts = [t.text for t in card.texts]
    assert texts[:2] == ["Fennel and celeriac bisque", "A serving, 320 g"]
    assert texts[-1].startswith("Likely net carbs 7–13 g, energy ")
    figures = dict(zip(texts[3:-1:2], texts[4:-1:2], strict=True))
    carbs, fibre, net = (float(figures[k].split()[0]) for k in ("Carbohydrate", "− fibre", "= net carbs"))
    assert round(carbs - fibre, 1) == net


SWEET = """
    dish: Quay custard
    servings: 2
    {weight}
    foods: {{quay sweetener: {{per: 100 g, basis: us, energy_kcal: 290, carbohydrate_g: 99, polyols_g: 50, fibre_g: 9, fat_g: 0, protein_g: 0}}}}
    ingredients: {{sweet: {{amount: 20 g, food: quay sweetener}}, cream: {{amount: 100 g, food: "cream, single"}}}}
    steps: [{{stage: cook, do: Warm it., add: [sweet, cream], screen: 10 s}}]
"""


def shown(card: MacroCard) -> list[str]:
    return [t.text for t in card.texts]


def test_rows_of_a_card_add_up_with_polyols_only_where_there_are_some(table: Table) -> None:
    """20 g of sweetener in two servings: 9.9 g of carbohydrate, 0.9 of fibre, 5 of polyols, half of which come off; of 50 g of cream 1.4 g (SR28 01050: 2.82 g
    per 100 g)."""
    made = shown(cards(table.dish(SWEET.format(weight="cooked_weight: 110 g")))[0])
    assert made[:2] == ["Quay custard", "A serving, 55 g"]
    assert made[-1].startswith("Likely net carbs ")
    rows = dict(zip(made[3:-1:2], made[4:-1:2], strict=True))
    assert {k: rows[k] for k in ("− fibre", "− half the polyols")} == {
        "− fibre": "0.9 g",
        "− half the polyols": "2.5 g",
    }
    carbs, fibre, polyols, net = (
        float(rows[k].split()[0]) for k in ("Carbohydrate", "− fibre", "− half the polyols", "= net carbs")
    )
    assert carbs == pytest.approx(9.9 + 1.41, abs=0.06) and round(carbs - fibre - polyols, 1) == net
    plain = cards(table.dish(SWEET.format(weight="").replace("polyols_g: 50, ", "").replace("dish: ", "dish: Plain ")))[
        0
    ]
    assert "− half the polyols" not in shown(plain) and shown(plain)[1] == "A serving, about 60 g"


@pytest.mark.parametrize(
    ("weight", "words"), [("cooked_weight: 110 g", "The whole plate, 55 g"), ("", "The whole plate, about 60 g")]
)
def test_a_plate_of_an_estimated_dish_is_estimated(weight: str, words: str, table: Table) -> None:
    table.write("custard.yaml", SWEET.format(weight=weight))
    plate = next(
        c
        for c in cards(table.meal("meal: M\nplates: 1\ndishes: [{dish: custard.yaml}]\n"))
        if c.name.startswith("plate")
    )
    assert shown(plate)[1] == words


def test_a_macro_card_stands_in_the_middle_of_a_wide_picture_and_at_the_foot_of_a_tall_one(table: Table) -> None:
    made = cards(table.dish(SWEET.format(weight="")))
    wide, tall = (next(c for c in made if c.name.startswith("1-") and c.width == width) for width in (1920, 1080))
    assert wide.y * 2 + wide.panel_height == pytest.approx(1080, abs=0.2)
    assert tall.y + tall.panel_height == pytest.approx(1500, abs=0.2)
    portions = next(c for c in made if c.name.startswith("portions") and c.width == 1920)
    assert portions.y + portions.panel_height == pytest.approx(1026, abs=0.2)


def test_the_command_writes_svg_that_opens(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    done = run("captions", str(EXAMPLES / "harbour-supper.yaml"), "-o", "o.vtt", "--cards", "cards", "--json")
    assert done.returncode == 0, done.stderr
    files = json.loads(done.stdout)["files"]
    svgs = sorted((tmp_path / "cards").iterdir())
    assert len(files) == 1 + len(svgs) == 13
    for path in svgs:
        root = ET.fromstring(path.read_text(encoding="utf-8"))
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.get("font-family") == "'DejaVu Sans', sans-serif"
        assert len(root.findall("{http://www.w3.org/2000/svg}rect")) == 1  # the rest is clear
