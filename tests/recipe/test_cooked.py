"""What the batch weighs cooked: as weighed, else by a published yield that is named, else an estimate that is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.pantry.yields import yield_of

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
        # none is published for frying: the nearest way of losing water, and said so
        ("Fry it.", "pork loin chop", 0.789, "pork loin chop 0.79 of its raw weight (grill, the nearest published to fry; USDA SR28 10036+10038)"),
    ],
)  # fmt: skip
def test_a_published_yield_is_named(table: Table, do: str, food: str, share: float, named: str) -> None:
    grams, said = batch(table, do, food=food)
    assert grams == pytest.approx(400 * share + 20)
    assert said == (f"cooked weight: {named}; the rest as it went in",)


def test_a_weighed_batch_needs_no_yield(table: Table) -> None:
    assert batch(table, "Grill it.", "cooked_weight: 310 g") == (310, ())


@pytest.mark.parametrize(("do", "food"), [("Grill it.", "rabbit"), ("Chop it raw.", "pork loin chop")])
def test_what_no_yield_is_published_for_is_an_estimate_and_marked(table: Table, do: str, food: str) -> None:
    assert batch(table, do, food=food) == (pytest.approx(420), (AS_IT_WENT_IN,))


def test_bone_comes_off_before_the_yield(table: Table) -> None:
    # SR28 10022: 22 % bone raw; the yield is of edible weight
    share = yield_of("pork loin, bone-in", "grill")
    assert share is not None
    whole, _ = batch(table, "Grill it.", food="pork loin, bone-in", more=", bought: whole")
    ready, _ = batch(table, "Grill it.", food="pork loin, bone-in")
    assert whole == pytest.approx(400 * 0.78 * share.share + 20)
    assert ready == pytest.approx(400 * share.share + 20)


def test_what_is_left_in_the_pan_is_no_part_of_the_batch(table: Table) -> None:
    grams, _ = batch(table, "Grill it.", "left_in_pan: {drippings: {amount: 30 g, food: lard}}")
    assert grams == pytest.approx(400 * 0.789 + 20 - 30)


@pytest.mark.parametrize(
    ("food", "method", "published", "stands_for"),
    [
        ("pork loin chop", "grill", "grill", ""), ("pork loin chop", "fry", "grill", "fry"), ("pork loin chop", "sear", "grill", "sear"),
        ("beef mince, 15% fat", "fry", "fry", ""), ("beef mince, 15% fat", "sear", "fry", "sear"),
        ("beef mince, 15% fat", "simmer", None, ""), ("leek", "roast", None, ""), ("pork loin chop", "", None, ""),
    ],
)  # fmt: skip
def test_the_nearest_method_stands_in_and_says_so(
    food: str, method: str, published: str | None, stands_for: str
) -> None:
    found = yield_of(food, method)
    assert (None if found is None else found.method) == published
    if found is not None:
        assert found.stands_for == stands_for
        assert (f"the nearest published to {stands_for}" in str(found)) is bool(stands_for)
