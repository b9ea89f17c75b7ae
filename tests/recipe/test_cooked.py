"""What the batch weighs cooked: as weighed, else by published yields that are named, else an estimate that is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.pantry import table as pantry
from scriptkit.pantry.cooked_rows import cooked

if TYPE_CHECKING:
    from conftest import Table

AS_IT_WENT_IN = "cooked weight: the sum of what went in, as if nothing boiled away"


def batch(
    table: Table, do: str, weight: str = "", food: str = "pork loin chop", more: str = ""
) -> tuple[float, tuple[str, ...]]:
    """Grams of the batch, and what is said of them."""
    dish = table.dish(f"""
        dish: D
        servings: 2
        {weight}
        ingredients: {{meat: {{amount: 400 g, food: "{food}"{more}}}, olive oil: 20 g}}
        steps: [{{stage: cook, do: {do}, add: [olive oil, meat], hands: 10 min}}]
    """)
    return dish.cooked_g, dish_macros(dish).estimated


@pytest.mark.parametrize(
    ("do", "food", "share", "named"),
    [
        # USDA SR28 (2016): 157 ÷ 199 g; 383 ÷ 475 g; 289 g of 453.6 g with 16 % bone
        ("Grill it.", "pork loin chop", 0.789, "pork loin chop 0.79 of its raw weight (grill; USDA SR28 10036+10038)"),
        ("Grill it.", "beef, flank steak", 0.806, "beef, flank steak 0.81 of its raw weight (grill; USDA SR28 13948)"),
        ("Roast it.", "beef, rib joint", 0.758, "beef, rib joint 0.76 of its raw weight (roast; USDA SR28 13826)"),
        # SR28 prints both rows and no weights: 20.71 ÷ 27.63 g of protein
        ("Fry it.", "pork loin chop", 0.750, "pork loin chop 0.75 of its raw weight by its protein (fry; USDA SR28 10036+10179)"),
        # none is published for searing, nor of hake at all: the nearest, and said so
        ("Sear it.", "beef mince, 15% fat", 0.732, "beef mince, 15% fat 0.73 of its raw weight (fry, the nearest published to sear; USDA SR28 23569)"),
        ("Sear it.", "hake", 0.780, "rockfish 0.78 of its raw weight (bake, the nearest published to hake, sear; USDA SR28 15070+15071)"),
        ("Grill it.", "rabbit", 0.690, "rabbit 0.69 of its raw weight (roast, the nearest published to grill; USDA SR28 17178)"),
    ],
)  # fmt: skip
def test_a_published_yield_is_named(table: Table, do: str, food: str, share: float, named: str) -> None:
    grams, said = batch(table, do, food=food)
    assert grams == pytest.approx(400 * share + 20, abs=0.2)
    assert said[0] == f"cooked weight: {named}; the rest as it went in"


def test_a_weighed_batch_needs_no_yield(table: Table) -> None:
    grams, said = batch(table, "Grill it.", "cooked_weight: 310 g")
    assert grams == 310
    assert not any("cooked weight" in words for words in said)


@pytest.mark.parametrize(
    ("do", "food"), [("Chop it raw.", "pork loin chop"), ("Grill it.", "almonds"), ("Simmer it.", "leek")]
)
def test_what_loses_nothing_that_is_known_is_an_estimate_and_marked(table: Table, do: str, food: str) -> None:
    assert batch(table, do, food=food) == (pytest.approx(420), (AS_IT_WENT_IN,))


def test_bone_comes_off_before_the_yield(table: Table) -> None:
    # SR28 10022: 22 % bone raw; the yield is of edible weight
    made = cooked(pantry.food("pork loin, bone-in"), "grill")
    assert made is not None and made.own
    whole, _ = batch(table, "Grill it.", food="pork loin, bone-in", more=", bought: whole")
    ready, _ = batch(table, "Grill it.", food="pork loin, bone-in")
    assert whole == pytest.approx(400 * 0.78 * made.share + 20)
    assert ready == pytest.approx(400 * made.share + 20)


def test_what_is_left_in_the_pan_is_no_part_of_the_batch(table: Table) -> None:
    """Weighed drippings come out of what ran out of the chops, which their cooked weight no longer holds: 400 g have 35.9 g of fat and
    82.8 g of protein (SR28 10036), 315.6 g cooked 35.0 and 80.9 (10038)."""
    grams, _ = batch(table, "Grill it.", "left_in_pan: {drippings: {amount: 30 g, food: lard}}")
    assert grams == pytest.approx(400 * 0.789 + 20 + (35.9 - 35.0) + (82.8 - 80.9) - 30, abs=0.5)


@pytest.mark.parametrize(
    ("food", "method", "row", "own"),
    [
        ("pork loin chop", "grill", ("pork loin chop", "grill"), True),
        ("beef mince, 15% fat", "sear", ("beef mince, 15% fat", "fry"), False),
        ("beef mince, 20% fat", "fry", ("beef mince, 20% fat", "fry"), True),
        ("duck leg, with skin", "roast", ("chicken leg", "roast"), False),
        ("lardons", "fry", ("bacon, streaky", "fry"), False),
        ("toulouse sausage", "grill", ("sausage, italian, pork", "fry"), False),
        ("chicken breast, skin-on", "bake", ("chicken breast, skin-on", "roast"), False),
        ("leek", "roast", None, False),
        ("ham, cooked", "fry", None, False),  # cooked already
        ("salmon, smoked", "bake", None, False),
        ("pork loin chop", "", None, False),
        ("pork loin chop", "chill", None, False),
    ],
)
def test_the_nearest_row_stands_in(food: str, method: str, row: tuple[str, str] | None, own: bool) -> None:
    made = cooked(pantry.food(food), method)
    assert (None if made is None else (made.row.food, made.row.way)) == row
    assert made is None or made.own is own


def swelling(table: Table, water: str, do: str) -> float:
    listed = f", water: {water}" if water else ""
    added = ", water" if water else ""
    return table.dish(f"""
        dish: D
        servings: 2
        ingredients: {{pasta: {{amount: 200 g, food: "pasta, dried"}}{listed}}}
        steps: [{{stage: cook, do: {do}, add: [pasta{added}], vessel: pot, hands: 10 min}}]
    """).cooked_g


def test_pasta_swells_in_water_and_the_water_is_poured_away(table: Table) -> None:
    """SR28 20420 and 20421: 13.04 ÷ 5.80 g of protein are 2.248 times the dry weight."""
    assert swelling(table, "", "Boil the pasta.") == pytest.approx(449.6, abs=0.5)
    assert swelling(table, "2 l", "Boil the pasta and drain it.") == pytest.approx(449.6, abs=0.5)
    in_it = swelling(table, "600 g", "Simmer the pasta in it.")
    assert 800 - 0.8 * 600 < in_it < 800  # it stays in the pot, less what boils away


BEANS = """
    dish: Beans
    servings: 4
    ingredients:
      beans: {amount: 400 g, food: "beans, green"}
      water: 2 l
      salt: to taste
      butter: {amount: 30 g, food: "butter, unsalted"}
    steps:
      - {stage: cook, id: boil, do: BOIL, add: [water, salt, beans], vessel: pan, heat: high, hands: 1 min, wait: 6 min}
      - {stage: cook, do: THEN, add: [butter], vessel: pan, heat: medium, hands: 3 min}
"""


@pytest.mark.parametrize(
    ("boil", "then"),
    [
        (
            "Boil the beans in the salted water for 6 minutes and drain them.",
            "Melt the butter and toss the beans in it.",
        ),
        ("Boil the beans in the salted water and drain.", "Toss them in the butter."),
        ("Boil the beans in the salted water.", "Drain the beans well and toss them in the butter."),
        ("Boil the beans in the salted water, then pour off the water.", "Toss them in the butter."),
        ("Boil the beans in the salted water.", "Strain the beans, and toss them in the butter."),
    ],
)
def test_water_that_is_drained_away_is_no_part_of_the_batch(table: Table, boil: str, then: str) -> None:
    dish = table.dish(BEANS.replace("BOIL", f'"{boil}"').replace("THEN", f'"{then}"'))
    assert dish.cooked_g == pytest.approx(0.95 * 400 + 30, abs=1)
    assert any("water poured away" in words for words in dish.cooked_by)


@pytest.mark.parametrize(
    ("boil", "then"),
    [
        ("Boil the beans in the salted water.", "Stir the butter in and serve it as a soup."),
        ("Boil the beans in the salted water; do not drain them.", "Stir the butter in."),
        ("Boil the beans in the salted water and strain the soup.", "Stir the butter in."),
        ("Boil the beans in the salted water and drain off the fat.", "Stir the butter in."),
    ],
)
def test_water_that_stays_is_part_of_it(table: Table, boil: str, then: str) -> None:
    dish = table.dish(BEANS.replace("BOIL", f'"{boil}"').replace("THEN", f'"{then}"'))
    assert dish.cooked_g > 2000


@pytest.mark.parametrize("written", ["", "left_behind: {water: all}, ", "left_behind: {water: 2 l}, "])
def test_water_left_behind_takes_its_steam_with_it(table: Table, written: str) -> None:
    """What is poured away cannot also boil away out of what is eaten."""
    text = BEANS.replace("BOIL", '"Boil the beans in the salted water and drain them."').replace("THEN", '"Toss them."')
    dish = table.dish(text.replace("id: boil, ", f"id: boil, {written}"))
    assert dish.cooked_g == pytest.approx(0.95 * 400 + 30, abs=1)
    half = table.dish(
        text.replace(" and drain them", "").replace("id: boil, ", "id: boil, left_behind: {water: half}, ")
    )
    assert half.cooked_g == pytest.approx(0.95 * 400 + 30 + 1000 - 79, abs=40)  # half of what boils away in 7 minutes


def test_soaking_water_goes_with_the_draining(table: Table) -> None:
    dish = table.dish("""
        dish: B
        servings: 4
        ingredients: {beans: {amount: 200 g, food: "beans, white, dried"}, water: 1 l, stock: {amount: 500 g, food: "vegetable stock, ready-made"}}
        steps:
          - {stage: prep, id: soak, do: Soak the beans in the water overnight., add: [beans, water], vessel: bowl, wait: 8 h}
          - {stage: prep, id: drain, do: Drain the beans., from: soak, hands: 1 min}
          - {stage: cook, id: simmer, do: Simmer the beans in the stock., from: drain, add: [stock], vessel: pot, hands: 1 min, wait: 1 h}
    """)
    assert dish.cooked_g < 200 * 3 + 500


@pytest.mark.parametrize(
    ("food", "do", "low", "high"),
    [
        ("mushroom", "Fry it.", 0.45, 0.80),
        ("spinach", "Fry it.", 0.50, 0.90),
        ("carrot", "Roast it.", 0.55, 0.90),
        ("carrot", "Boil it and drain it.", 0.85, 1.05),
    ],
)
def test_vegetables_lose_water_by_a_share_with_bounds(
    table: Table, food: str, do: str, low: float, high: float
) -> None:
    dish = table.dish(f"""
        dish: D
        servings: 2
        ingredients: {{green: {{amount: 1000 g, food: {food}}}}}
        steps: [{{stage: cook, do: {do}, add: [green], hands: 10 min}}]
    """)
    assert dish.cooked_low_g == pytest.approx(1000 * low)
    assert dish.cooked_high_g == pytest.approx(1000 * high)
    assert dish.cooked_low_g < dish.cooked_g < dish.cooked_high_g
    assert "from memory" in dish_macros(dish).estimated[0]


# --- what boils away ----------------------------------------------------------------------------------------------------


def soup(table: Table, do: str, vessel: str = "pot", minutes: int = 30) -> tuple[float, float, float]:
    dish = table.dish(f"""
        dish: S
        servings: 4
        ingredients: {{stock: {{amount: 1000 g, food: "vegetable stock, ready-made"}}, carrot: 300 g}}
        steps: [{{stage: cook, do: {do}, add: [stock, carrot], vessel: {vessel}, wait: {minutes} min}}]
    """)
    assert dish.cooked_low_g is not None and dish.cooked_high_g is not None
    return dish.cooked_low_g, dish.cooked_g, dish.cooked_high_g


def test_a_soup_boils_down_by_minutes_lid_and_width(table: Table) -> None:
    """0.018 g a minute from each cm² at a simmer, a tenth of it under a lid (common practice, no source)."""
    low, usual, high = soup(table, "Simmer it uncovered.")
    assert usual == pytest.approx(1300 - 30 * 0.018 * 3.14159 / 4 * 24**2, abs=0.1)
    assert low < usual < high < 1300
    wide_low, wide, wide_high = soup(table, "Simmer it uncovered.", "32 cm pot")
    assert wide == pytest.approx(1300 - 30 * 0.018 * 3.14159 / 4 * 32**2, abs=0.1)
    assert soup(table, "Cover and simmer it.")[1] == pytest.approx(1300 - 0.1 * (1300 - usual), abs=0.1)
    assert soup(table, "Simmer it uncovered.", minutes=60)[1] < usual
    assert soup(table, "Boil it hard.")[1] < usual
    assert wide_high - wide_low < 1.4 * (high - low)  # a stated width is one doubt less
    assert soup(table, "Simmer it until it is reduced by half.")[1] == pytest.approx(800)
    assert soup(table, "Simmer it uncovered.", minutes=900)[1] == pytest.approx(500)  # the pan is nearly dry
    untimed = soup(table, "Simmer it.", minutes=0)
    assert untimed == (pytest.approx(1050), pytest.approx(1300), pytest.approx(1300))


def test_what_boils_away_is_said(table: Table) -> None:
    dish = table.dish("""
        dish: S
        servings: 4
        ingredients: {water: 1 kg, carrot: 300 g}
        steps: [{stage: cook, do: Simmer it., add: [water, carrot], vessel: pot, wait: 30 min}]
    """)
    assert dish_macros(dish).estimated == (
        "cooked weight: about 244 g boils away (90 g to 544 g; by 30 min of simmering, lid and width, common practice); "
        "the rest as it went in",
    )
