"""From a meal and its limits to portions in words: the report, the overlay's card and the JSON say the same."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.captions.overlay import portion_card
from scriptkit.captions.text import WIDEST
from scriptkit.nutrition.plates import meal_macros
from scriptkit.nutrition.servings import (
    conflict_problems,
    merged,
    read_limits,
    suggest,
    suggestion_for,
    suggestion_json,
    suggestion_text,
)
from scriptkit.problems import CannotDo, Place
from scriptkit.recipe.dish import Limit, Meal

SOUP = """
    dish: Celeriac soup
    short: soup
    servings: 4
    serving: 300 g
    cooked_weight: 1.2 kg
    ingredients: {celeriac: 800 g, butter: {amount: 60 g, food: "butter, unsalted"}}
"""
FISH = """
    dish: Salmon
    servings: 4
    serving: 165 g
    cooked_weight: 660 g
    ingredients: {salmon: 720 g, olive oil: 20 g}
"""


@pytest.fixture
def meal(table: Table) -> Meal:
    table.write("soup.yaml", SOUP)
    table.write("fish.yaml", FISH)
    return table.meal(
        "meal: Supper\ndishes: [{dish: soup.yaml}, {dish: fish.yaml}]\nat_most: {net_carbs_g: 9}\nat_least: {protein_g: 25}\n"
        "at_table: {lemon juice: 10 g}\n"
    )


def test_the_options_are_laid_over_the_file() -> None:
    place = Place("meal.yaml")
    own = [
        Limit(macro="net_carbs_g", bound="at_most", figure=9, place=place),
        Limit(macro="protein_g", bound="at_least", figure=25, place=place),
    ]
    asked = merged(own, read_limits(["net_carbs_g=12"], ["net_carbs_g=3"]))
    told = {(limit.macro, limit.bound): limit.figure for limit in asked}
    assert told == {
        ("net_carbs_g", "at_most"): 12,
        ("protein_g", "at_least"): 25,
        ("net_carbs_g", "at_least"): 3,
    }


def test_every_mistake_of_the_options_is_told() -> None:
    with pytest.raises(CannotDo) as caught:
        read_limits(["net_crabs_g=9", "fat_g"], ["protein_g=1e3"])
    assert len(caught.value.problems) == 3


def test_report_card_and_json_say_the_same(meal: Meal) -> None:
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None and suggestion.found.grams is not None and suggestion.plate is not None
    text, told, card = suggestion_text(suggestion), suggestion_json(suggestion), portion_card(suggestion)
    grams = [p["weight_g"] for p in told["portions"]]
    assert grams == list(suggestion.found.grams)
    assert card[0][0] == "For at most 9 g net carbs:"
    words = " ".join(line for _, line in card)
    for portion, short in zip(grams, ("soup", "Salmon"), strict=True):
        assert f"{portion:g} g {short}" in words
        assert f"{portion:g} g" in text
    assert all(len(line) <= WIDEST for lines in card for line in lines)
    carbs, fibre, net = map(float, re.findall(r"carbs ([\d.]+) g − fibre ([\d.]+) g = net carbs ([\d.]+) g", text)[0])
    assert round(carbs - fibre, 1) == net <= 9
    assert told["plate"]["weight_g"] == sum(grams) + 10  # the lemon at the table


@pytest.mark.parametrize(
    ("short", "line"),
    [
        ("soup", "180 g (¾ cup) soup, 165 g Salmon"),  # the salmon stays as usual
        ("soup of the harbour", "180 g soup of the harbour, 165 g Salmon"),
        ("soup of the outer harbour", "180 g (¾ cup) soup of the outer harbour"),
    ],
)
def test_a_portion_in_household_steps_is_said_by_its_measure_where_there_is_room(
    table: Table, short: str, line: str
) -> None:
    table.write("soup.yaml", SOUP.replace("short: soup", f"short: {short}\n    cooked_volume: 1.183 l"))
    table.write("fish.yaml", FISH)
    meal = table.meal(
        "meal: Supper\ndishes: [{dish: soup.yaml, step: 1/4 cup}, {dish: fish.yaml}]\nat_most: {net_carbs_g: 11}\n"
    )
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None
    assert portion_card(suggestion)[0][1] == line
    assert "180 g  ¾ cup" in suggestion_text(suggestion)


def test_a_plate_inside_its_limits_needs_no_suggestion(table: Table, meal: Meal) -> None:
    assert suggestion_for(meal_macros(meal)) is not None
    inside = table.meal("meal: Supper\ndishes: [{dish: fish.yaml}]\nat_most: {net_carbs_g: 9}\n")
    assert suggestion_for(meal_macros(inside)) is None
    assert portion_card(None) == []


def test_a_contradiction_shows_no_card_and_names_its_limits(meal: Meal) -> None:
    limits = read_limits(["energy_kcal=100"], ["protein_g=80"])
    suggestion = suggest(meal_macros(meal), limits)
    assert suggestion.found.grams is None
    assert portion_card(suggestion) == []
    assert suggestion_json(suggestion)["portions"] == []
    assert suggestion_json(suggestion)["plate"] is None
    problems = conflict_problems(suggestion, limits)
    assert len(problems) == len(suggestion.found.conflict)
    assert all("would do" in p.hint or "leave nothing" in p.hint for p in problems)
