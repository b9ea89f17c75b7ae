"""What stands where on a macro card, to the tenth of a pixel: sizes are of the picture's unit, 40 px on 1080p."""

from __future__ import annotations

import math

import pytest
from conftest import EXAMPLES, Table
from test_cards import SWEET, cards

from scriptkit.papers.macro_cards import BRIGHT, QUIET, WHITE, MacroCard, Text
from scriptkit.recipe.reader import read_source


def card_of(made: list[MacroCard], name: str) -> MacroCard:
    return next(c for c in made if c.name == name)


def rows(card: MacroCard) -> list[tuple[str, str, float, float, float, str]]:
    return [(t.text, t.anchor, t.x, t.y, t.size, t.colour) for t in card.texts]


def test_the_plate_of_the_example() -> None:
    """Baselines stand 1.3 sizes under one another, names and net carbs are a quarter larger, the energy is twice as large; figures
    end where the panel's padding begins, 96 + 840 - 40 px."""
    card = card_of(cards(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()), "plate-1080p")
    assert card.title == "Harbour supper"
    assert (card.x, card.y, card.panel_width, card.panel_height, card.radius) == (96.0, 240.8, 840, 598.4, 13.3)
    assert rows(card) == [
        ("Harbour supper", "start", 136.0, 333.8, 50.0, WHITE),
        ("The whole plate, 485 g", "start", 136.0, 385.8, 40.0, QUIET),
        ("482 kcal", "start", 136.0, 489.8, 80.0, WHITE),
        ("Fat", "start", 136.0, 541.8, 40.0, WHITE),
        ("31.2 g", "end", 896.0, 541.8, 40.0, WHITE),
        ("Protein", "start", 136.0, 593.8, 40.0, WHITE),
        ("37.3 g", "end", 896.0, 593.8, 40.0, WHITE),
        ("Carbohydrate", "start", 136.0, 645.8, 40.0, WHITE),
        ("16.9 g", "end", 896.0, 645.8, 40.0, WHITE),
        ("− fibre", "start", 136.0, 697.8, 40.0, WHITE),
        ("4.8 g", "end", 896.0, 697.8, 40.0, WHITE),
        ("= net carbs", "start", 136.0, 762.8, 50.0, BRIGHT),
        ("12.1 g", "end", 896.0, 762.8, 50.0, BRIGHT),
        ("Likely net carbs 8–14 g, energy 430–530 kcal", "start", 136.0, 799.2, 28.0, QUIET),
    ]


def test_a_dish_of_a_meal_has_the_figures_of_its_portion_s_card() -> None:
    card = card_of(cards(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()), "1-bisque-1080p")
    assert rows(card)[:2] == [
        ("Fennel and celeriac bisque", "start", 136.0, 333.8, 50.0, WHITE),
        ("A serving, 320 g", "start", 136.0, 385.8, 40.0, QUIET),
    ]


def test_the_portion_line_is_as_wide_as_it_needs() -> None:
    card = card_of(cards(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()), "portions-9x16")
    assert (card.x, card.y, card.panel_height) == (54.0, 1285.0, 215.0)
    assert card.panel_width == pytest.approx(max(t.width for t in card.texts) + 100, abs=0.1)
    assert rows(card) == [
        ("On the plate", "start", 104.0, 1385.0, 50.0, QUIET),
        ("320 g bisque, 165 g hake", "start", 104.0, 1450.0, 50.0, WHITE),
    ]


@pytest.mark.parametrize(
    ("weight", "serving"), [("cooked_weight: 110 g", "55 g Quay custard"), ("", "about 60 g Quay custard")]
)
def test_the_portion_line_of_a_dish_alone(weight: str, serving: str, table: Table) -> None:
    card = card_of(cards(table.dish(SWEET.format(weight=weight))), "portions-1080p")
    assert [(t.text, t.colour) for t in card.texts] == [("A serving", QUIET), (serving, WHITE)]


def test_what_would_keep_the_limits_stands_on_the_portion_line(table: Table) -> None:
    """A leek has 12.35 g of net carbs in 100 g (SR28 11246: 14.15 g of carbohydrate, 1.8 g of fibre): 300 g have 37.05 g, and the
    most that keeps 20 g in steps of 10 g is 160 g, and 140 g with the whole range of the figure; the butter is kept as it is."""
    table.write("leeks.yaml", LEEKS)
    table.write("butter.yaml", BUTTER)
    meal = table.meal(
        "meal: Supper\nplates: 2\ndishes: [{dish: leeks.yaml, least: 100 g}, {dish: butter.yaml}]\nat_most: {net_carbs_g: 20}\n"
    )
    card = card_of(cards(meal), "portions-1080p")
    assert [(t.text, t.colour) for t in card.texts] == [
        ("On the plate", QUIET),
        ("300 g Leeks, 20 g Butter", WHITE),
        ("For at most 20 g net carbs", QUIET),
        ("140 g Leeks, 20 g Butter", BRIGHT),
    ]


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


def test_a_name_with_a_word_that_is_too_wide_is_printed_smaller(table: Table) -> None:
    """The panel leaves 760 px for it; the size is cut by twentieths until the word fits, and no further."""
    card = cards(table.dish(LEEKS.replace("dish: Leeks", f"dish: {'W' * 20}")))[0]
    name = card.texts[0]
    assert name.text == "W" * 20
    assert name.width <= 760 < _as_wide(name, 1 / 0.95)
    assert card.texts[2].size == 80.0
    assert name.size == int(5_000 * 0.95 ** round(math.log(name.size / 50, 0.95))) / 100  # cut off, not rounded
    assert all(figure == round(figure, 1) for t in card.texts for figure in (t.x, t.y))
    assert (card.y, card.panel_height) == (round(card.y, 1), round(card.panel_height, 1))


def test_a_long_name_takes_four_lines_and_no_more(table: Table) -> None:
    words = "leeks with mussels and brown butter from the harbour in the morning " * 5
    card = cards(table.dish(LEEKS.replace("dish: Leeks", f"dish: {words.strip()[:120]}")))[0]
    assert sum(t.colour == WHITE and t.y < card.texts[4].y for t in card.texts) == 4
    assert card.texts[4].text == "A serving, 300 g"


def test_a_portion_line_may_be_wider_than_a_card_of_figures(table: Table) -> None:
    """A card's texts have 760 px, a portion line nine tenths of the picture less its padding."""
    name = "Warm salad of leeks with mussels and brown butter"
    line = card_of(
        cards(table.dish(LEEKS.replace("dish: Leeks", f"dish: {name}\nshort: {name}"))), "portions-1080p"
    ).texts[1]
    assert line.text == f"300 g {name}" and line.width > 760


def _as_wide(text: Text, larger: float) -> float:
    return text.width * larger


PART = """
dish: {name}
servings: 1
cooked_weight: 100 g
foods: {{quay cake: {{per: 100 g, basis: us, energy_kcal: 40, carbohydrate_g: 5, fibre_g: 1, fat_g: 1.26, protein_g: 1}}}}
ingredients: {{cake: {{amount: 100 g, food: quay cake}}}}
steps: [{{stage: cook, do: Warm it., add: cake, screen: 10 s}}]
"""


def test_the_cards_of_the_dishes_add_up_to_the_plate_s(table: Table) -> None:
    """Twice 1.26 g of fat are 2.5 g on the plate's card: one of the two prints 1.2."""
    for name in ("Left", "Right"):
        table.write(f"{name}.yaml", PART.format(name=name))
    made = cards(table.meal("meal: M\nplates: 1\ndishes: [{dish: Left.yaml}, {dish: Right.yaml}]\n"))
    fat = [
        float(texts[texts.index("Fat") + 1].split()[0])
        for name in ("1-left-1080p", "2-right-1080p", "plate-1080p")
        for texts in [[t.text for t in card_of(made, name).texts]]
    ]
    assert sorted(fat) == [1.2, 1.3, 2.5] and fat[2] == 2.5
