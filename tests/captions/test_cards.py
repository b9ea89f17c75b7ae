"""Macro cards: the overlay's figures, inside the safe area, and no text wider than its card."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table

sys.path.insert(0, str(Path(__file__).parent.parent / "drawing"))
from test_layout import FONTS, inside

from scriptkit.drawing.canvas import canvas_of
from scriptkit.drawing.layout import BRIGHT, WHITE, graphic_of
from scriptkit.drawing.shown import merged
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.papers.macro_cards import MacroCard, cards_of
from scriptkit.production import read
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import dishes_of
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def cards(source: Dish | Meal) -> list[MacroCard]:
    meal = meal_macros(source) if isinstance(source, Meal) else None
    dishes = [dish_macros(d) for d in dishes_of(source)]
    return cards_of(dishes, meal, suggestion_for(meal) if meal else None, FONTS)


def stands(card: MacroCard) -> None:
    inside(card.graphic, canvas_of(card.width, card.height))


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_example_in_every_size(path: Path) -> None:
    made = cards(read_source(str(path)).usable())
    assert len({c.name for c in made}) == len(made)
    assert {(c.width, c.height) for c in made} == {(1920, 1080), (3840, 2160), (1080, 1920)}
    for card in made:
        stands(card)


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
        stands(card)
    words = "".join(t.text for t in made[0].graphic.texts if t.size > canvas_of(1920, 1080).small)
    assert clean(name)[:20].replace(" ", "") in words.replace(" ", "").replace("\u2068", "").replace("\u2069", "")


def test_a_dish_card_says_what_the_overlay_s_card_says() -> None:
    production = read(str(EXAMPLES / "fennel-bisque.yaml"))
    (of_overlay,) = [c.title for c in merged(production.cues) if c.title is not None and c.title.shares]
    drawn = graphic_of(
        Cue(start_ms=0, end_ms=1, lines=("x",), track="macros", title=of_overlay), canvas_of(1920, 1080), FONTS
    )
    assert cards(read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable())[0].graphic == drawn


SWEET = """
    dish: Quay custard
    servings: 2
    {weight}
    foods: {{quay sweetener: {{per: 100 g, basis: us, energy_kcal: 290, carbohydrate_g: 99, polyols_g: 50, fibre_g: 9, fat_g: 0, protein_g: 0}}}}
    ingredients: {{sweet: {{amount: 20 g, food: quay sweetener}}, cream: {{amount: 100 g, food: "cream, single"}}}}
    steps: [{{stage: cook, do: Warm it., add: [sweet, cream], screen: 10 s}}]
"""


def shown(card: MacroCard) -> list[str]:
    return [t.text for t in card.graphic.texts]


def test_net_carbs_are_the_largest_of_at_most_five_figures() -> None:
    for card in cards(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()):
        if card.name.startswith("portions"):
            continue
        largest = max(card.graphic.texts, key=lambda t: t.size)
        base = [t.text for t in card.graphic.texts if t.y == largest.y]
        assert base[-1] == "net carbs" and base[1] == "g"
        assert [t for t in shown(card) if t in {"energy", "fat", "protein"}] == ["energy", "fat", "protein"]


def test_what_is_not_counted_of_a_sweetener_is_said_only_where_there_is_one(table: Table) -> None:
    """20 g of sweetener in two servings: 5 g of polyols, half of which come off."""
    made = shown(cards(table.dish(SWEET.format(weight="cooked_weight: 110 g")))[0])
    assert made[:2] == ["Quay custard", "a serving, 55 g"]
    assert made[-1] == "without half the polyols, 2.5 g"
    plain = table.dish(SWEET.format(weight="").replace("polyols_g: 50, ", "").replace("dish: ", "dish: Plain "))
    assert not any("polyols" in t for t in shown(cards(plain)[0]))
    assert shown(cards(plain)[0])[1] == "a serving, about 60 g"


@pytest.mark.parametrize(
    ("weight", "words"), [("cooked_weight: 110 g", "the whole plate, 55 g"), ("", "the whole plate, about 60 g")]
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
    panels = [c.graphic.boxes[0] for c in (wide, tall, next(c for c in made if c.name == "portions-1080p"))]
    assert panels[0].y * 2 + panels[0].height == pytest.approx(1080, abs=0.2)
    assert panels[1].y + panels[1].height == pytest.approx(1536, abs=0.2)
    assert panels[2].y + panels[2].height == pytest.approx(1026, abs=0.2)


def texts_of(card: MacroCard) -> list[tuple[str, str]]:
    return [(t.text, t.colour) for t in card.graphic.texts]


def card_of(made: list[MacroCard], name: str) -> MacroCard:
    return next(c for c in made if c.name == name)


@pytest.mark.parametrize(("weight", "serving"), [("cooked_weight: 110 g", "55 g"), ("", "about 60 g")])
def test_the_portions_of_a_dish_alone(weight: str, serving: str, table: Table) -> None:
    card = card_of(cards(table.dish(SWEET.format(weight=weight))), "portions-1080p")
    assert texts_of(card) == [("A serving", WHITE), (serving, BRIGHT), ("Quay custard", WHITE)]


def test_what_would_keep_the_limits_stands_on_the_card_of_the_portions(table: Table) -> None:
    """A leek has 12.35 g of net carbs in 100 g (SR28 11246: 14.15 g of carbohydrate, 1.8 g of fibre): 300 g have 37.05 g, and the
    most that keeps 20 g in steps of 10 g is 160 g, and 140 g with the whole range of the figure; the butter is kept as it is."""
    table.write("leeks.yaml", LEEKS)
    table.write("butter.yaml", BUTTER)
    meal = table.meal(
        "meal: Supper\nplates: 2\ndishes: [{dish: leeks.yaml, least: 100 g}, {dish: butter.yaml}]\nat_most: {net_carbs_g: 20}\n"
    )
    made = cards(meal)
    assert [text for text, _ in texts_of(card_of(made, "portions-1080p"))] == [
        "On the plate", "300 g", "Leeks", "20 g", "Butter",
        "For at most 20 g net carbs", "140 g", "Leeks", "20 g", "Butter",
    ]  # fmt: skip
    stands(card_of(made, "portions-9x16"))


LEEKS = """
dish: Leeks
servings: 2
cooked_weight: 600 g
ingredients: {leek: 600 g}
steps: [{stage: cook, do: Soften it., add: leek, screen: 10 s}]
"""
BUTTER = """
dish: Butter
servings: 2
cooked_weight: 40 g
ingredients: {butter: {amount: 40 g, food: "butter, unsalted"}}
steps: [{stage: cook, do: Melt it., add: butter, screen: 10 s}]
"""


@pytest.mark.parametrize(
    ("name", "of_the_file"),
    [
        ("Crêpes & Co.", "1-crêpes-co"),
        ("!!!", "1-dish"),
        ("W" * 45, "1-" + "w" * 40),
        ("x" * 39 + " y", "1-" + "x" * 39 + "-"),
    ],
)
def test_cards_are_named_after_their_dish(name: str, of_the_file: str, table: Table) -> None:
    made = cards(table.dish(LEEKS.replace("dish: Leeks", f'dish: "{name}"')))
    assert made[0].name == f"{of_the_file}-1080p"


PART = """
dish: {name}
servings: 1
cooked_weight: 100 g
foods: {{quay cake: {{per: 100 g, basis: us, energy_kcal: 40, carbohydrate_g: 5, fibre_g: 1, fat_g: 1.26, protein_g: 1}}}}
ingredients: {{cake: {{amount: 100 g, food: quay cake}}}}
steps: [{{stage: cook, do: Warm it., add: cake, screen: 10 s}}]
"""


def test_a_dish_has_the_figures_of_its_own_on_its_card_and_the_plate_its(table: Table) -> None:
    """1.26 g of fat are 1.3 g on each card, and twice that, 2.52 g, are 2.5 on the plate's."""
    for name in ("Left", "Right"):
        table.write(f"{name}.yaml", PART.format(name=name))
    made = cards(table.meal("meal: M\nplates: 1\ndishes: [{dish: Left.yaml}, {dish: Right.yaml}]\n"))
    fat = [
        float(texts[texts.index("fat") - 1].split()[0])
        for name in ("1-left-1080p", "2-right-1080p", "plate-1080p")
        for texts in [shown(card_of(made, name))]
    ]
    assert fat == [1.3, 1.3, 2.5]


def test_the_command_writes_svg_that_opens(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    done = run("captions", str(EXAMPLES / "harbour-supper.yaml"), "-o", "o.vtt", "--cards", "cards", "--json")
    assert done.returncode == 0, done.stderr
    files = json.loads(done.stdout)["files"]
    svgs = sorted((tmp_path / "cards").glob("[!.]*"))
    assert len(files) == 1 + len(svgs) == 13
    for path in svgs:
        root = ET.fromstring(path.read_text(encoding="utf-8"))
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert (root.get("font-family") or "").startswith('"Scriptkit Sans"')
        panel = root.findall("{http://www.w3.org/2000/svg}rect")[0]
        assert float(panel.get("width", "0")) < float(root.get("width", "0")) * 0.9  # the rest is clear


def test_where_the_cards_cannot_be_written_nothing_is(
    tmp_path: Path, run: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    (tmp_path / "notes.txt").write_text("mine\n", encoding="utf-8")
    hake = str(EXAMPLES / "seared-hake.yaml")
    assert run("captions", hake, "-o", "new.srt", "--cards", "notes.txt").returncode == 2
    assert [p.name for p in tmp_path.iterdir()] == ["notes.txt"]
    assert run("captions", hake, "-o", "new.srt").returncode == 0
    before = (tmp_path / "new.srt").read_bytes()
    done = run("captions", hake, "-o", "new.srt", "--cards", "notes.txt", "--fps", "50")
    assert done.returncode == 2 and "the folder cannot be made: a file has this name" in done.stderr
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"notes.txt": b"mine\n", "new.srt": before}
