"""From a meal and its limits to portions in words: the report, the overlay's card and the JSON say the same."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.captions.composing.overlay import portion_card
from scriptkit.captions.composing.text_fitting import WIDEST
from scriptkit.nutrition.dish_meal_macros import meal_macros
from scriptkit.nutrition.limits import LIMITED
from scriptkit.nutrition.portion_programme import FEWEST_CHANGES
from scriptkit.nutrition.servings import (
    alternatives,
    conflict_problems,
    merged,
    only_meal,
    read_limits,
    suggest,
    suggestion_for,
)
from scriptkit.papers.portions import side_by_side_text, suggestion_json, suggestion_text
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
    wrong = ["net_crabs_g=9", "fat_g", "fat_g=1=2", "fat_g=.", "fat_g=X"]
    with pytest.raises(CannotDo) as caught:
        read_limits(wrong, ["protein_g=1e3", "fat_g=1.2.3", "fat_g=123456789012", "zzzzz=3", "10g net carbs"])
    told = [(p.place.file, p.code, p.message, p.hint) for p in caught.value.problems]
    assert told[:2] == [
        ("--at-most", "limit", "“net_crabs_g” is not a figure of a plate", "did you mean net_carbs_g?"),
        ("--at-most", "limit", "“fat_g” has no figure", "write fat_g=12"),
    ]
    assert [message for _, _, message, _ in told[2:8]] == [
        f"“{w}” has no figure" for w in (*wrong[2:], "protein_g=1e3", "fat_g=1.2.3", "fat_g=123456789012")
    ]
    assert told[5] == ("--at-least", "limit", "“protein_g=1e3” has no figure", "write protein_g=12")
    assert told[9][3] == "write --at-least net_carbs_g=10"
    assert told[8][2:] == ("“zzzzz” is not a figure of a plate", f"one of {', '.join(LIMITED)}")


@pytest.mark.parametrize(
    ("written", "figure"), [("12", 12), (" 12.5 ", 12.5), (".5", 0.5), ("12345678.90", 12345678.9)]
)
def test_a_limit_of_the_options_is_read(written: str, figure: float) -> None:
    (limit,) = read_limits([], [f"fat_g ={written}"])
    assert (limit.macro, limit.bound, limit.figure) == ("fat_g", "at_least", figure)
    assert limit.place == Place("--at-least")


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


def test_the_report_line_by_line(meal: Meal) -> None:
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None
    *lines, last = suggestion_text(suggestion).splitlines()
    assert lines == [
        "Supper: portions nearest to the usual ones",
        "",
        "                  usual   portion",
        "Celeriac soup     300 g     150 g",
        "Salmon            165 g     165 g",
        "",
        # net carbs per 100 g: celeriac 7.4 (SR28 11141), lemon juice 6.6 (SR28 09152): 800 / 4 x 7.4 % and 10 x 6.6 %
        "at most 9 g net carbs: 15.5 as usual → 8.1 with these portions (likely 4–9 g)",
        "at least 25 g protein: 39.9 as usual → 38.4 with these portions (likely 33–46 g)",
    ]
    assert last.startswith("the plate: ") and last.count(" g") == 5


def test_the_json_key_by_key(meal: Meal) -> None:
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None and suggestion.plate is not None
    told = suggestion_json(suggestion)
    assert list(told) == ["portions", "basis", "plates_of_pot", "plate", "alternatives", "conflict"]
    assert told["portions"] == [
        {"dish": "Celeriac soup", "weight_g": 150, "usual_g": 300, "measure": None},
        {"dish": "Salmon", "weight_g": 165, "usual_g": 165, "measure": None},
    ]
    assert (told["basis"], told["conflict"]) == ("us", [])
    for name in ("fat_g", "protein_g", "net_carbs_g"):  # ten times finer than printed
        assert told["plate"][name] == round(told["plate"][name], 2)
        assert told["plate"][name] == pytest.approx(suggestion.plate.figure(name), abs=0.01)
    assert round(told["plate"]["fat_g"], 1) != told["plate"]["fat_g"]


def test_portions_in_steps_that_cannot_be_written_to_the_gram(table: Table) -> None:
    """A seventh of 1.2 kg is 171.428… g: usual portions in JSON stand to a hundredth of a gram, with their measure."""
    table.write("soup.yaml", SOUP.replace("servings: 4\n    serving: 300 g", "servings: 7"))
    meal = table.meal(
        "meal: M\ndishes: [{dish: soup.yaml, portion: 2 servings, step: 1/2 serving}]\nat_most: {net_carbs_g: 10}\n"
    )
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None
    ((portion,), said) = suggestion_json(suggestion)["portions"], suggestion_text(suggestion)
    assert portion["usual_g"] == 342.86
    assert portion["measure"] == "1 serving" and "1 serving" in said


def test_own_bounds_of_a_portion_are_kept_and_the_only_meal_may_be_larger(table: Table) -> None:
    """A dish goes from half to 2.5 times its usual portion, as the only meal to 6 times, though no more than the pot holds; or as its file says."""
    table.write("soup.yaml", SOUP)
    table.write("fish.yaml", FISH)
    meal = meal_macros(
        table.meal(
            "meal: Supper\ndishes: [{dish: soup.yaml}, {dish: fish.yaml, least: 120 g, most: 200 g}]\n"
            "only_meal: {at_least: {protein_g: 45}, at_most: {net_carbs_g: 60}}\n"
        )
    )
    usual = suggest(meal, read_limits([], ["protein_g=30"]))
    assert [(c.least_g, c.most_g) for c in usual.choices] == [(150, 750), (120, 200)]
    only = only_meal(meal)
    assert only is not None and only.found.grams is not None
    assert [(c.least_g, c.most_g) for c in only.choices] == [(150, 1200), (120, 200)]
    assert [(b.name, b.figure) for b in only.bounds] == [("net_carbs_g", 60), ("protein_g", 45)]
    head, columns, *rows = side_by_side_text(only).splitlines()
    assert head.startswith("From the same pot: an ordinary plate, and the only meal of the day (US basis")
    assert columns.split() == ["ordinary", "only", "meal"]
    assert [row.strip().split("  ")[0] for row in rows] == [
        "Celeriac soup", "Salmon", "energy", "fat", "protein", "carbohydrate", "fibre", "net carbs",
        "grams of fat to one gram of protein + net carbs", "The pots give 1 such plate.",
        "Arithmetic, not medical advice: a medical diet is supervised by a doctor or a dietitian.",
    ]  # fmt: skip


def test_a_meal_that_asks_for_no_only_meal_has_none(meal: Meal) -> None:
    assert only_meal(meal_macros(meal)) is None


def test_a_limit_on_what_nobody_knows_is_refused_for_every_dish(table: Table) -> None:
    label = "    foods: {powder: {basis: us, energy_kcal: 200, fat_g: 1, protein_g: 10, carbohydrate_g: 30}}\n"
    table.write(
        "soup.yaml",
        SOUP.replace("ingredients: {", label + "    ingredients: {powder: 5 g, ", 1).replace("    foods", "foods", 1),
    )
    table.write("fish.yaml", FISH)
    meal = meal_macros(table.meal("meal: Supper\ndishes: [{dish: soup.yaml}, {dish: fish.yaml}]\n"))
    with pytest.raises(CannotDo) as caught:
        suggest(meal, read_limits(["fibre_g=9", "fat_g=90"], ["net_carbs_g=1"]))
    assert [(p.place.file, p.code, p.message, p.hint) for p in caught.value.problems] == [
        (
            where,
            "limit-unknown",
            f"{n} of Celeriac soup cannot be told: {n} is unknown",
            "see `unknown` in `scriptkit macros`",
        )
        for where, n in (("--at-most", "fibre_g"), ("--at-least", "net_carbs_g"))
    ]


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
    assert suggestion_text(suggestion) == "Supper: no portions keep these limits together"
    problems = conflict_problems(suggestion, limits)
    assert len(problems) == len(suggestion.found.conflict)


def test_limits_that_contradict_one_another_are_told_with_what_would_do(meal: Meal) -> None:
    limits = read_limits(["energy_kcal=500"], ["protein_g=80"])
    suggestion = suggest(meal_macros(meal), limits)
    (energy, protein) = suggestion_json(suggestion)["conflict"]
    assert {k: energy[k] for k in ("limit", "bound", "figure")} == {
        "limit": "energy_kcal",
        "bound": "at_most",
        "figure": 500,
    }
    assert {k: protein[k] for k in ("limit", "bound", "figure")} == {
        "limit": "protein_g",
        "bound": "at_least",
        "figure": 80,
    }
    both = "no portions keep at most 500 kcal energy and at least 80 g protein"
    assert [(p.place.file, p.code, p.message, p.hint) for p in conflict_problems(suggestion, limits)] == [
        (
            "--at-most",
            "limits-contradict",
            both,
            f"with the others kept, at most {energy['would_do']:g} kcal energy would do",
        ),
        (
            "--at-least",
            "limits-contradict",
            both,
            f"with the others kept, at least {protein['would_do']:g} g protein would do",
        ),
    ]


def test_another_plate_is_offered_beside_the_one_whose_dishes_share_what_must_give(table: Table) -> None:
    for n in (1, 2):
        table.write(f"soup{n}.yaml", SOUP.replace("dish: Celeriac soup", f"dish: Soup {n}"))
    meal = table.meal("meal: M\ndishes: [{dish: soup1.yaml}, {dish: soup2.yaml}]\nat_most: {net_carbs_g: 25}\n")
    suggestion = suggestion_for(meal_macros(meal))
    assert suggestion is not None
    assert [p["weight_g"] < 300 for p in suggestion_json(suggestion)["portions"]] == [True, True]
    (other, *_) = alternatives(suggestion)
    assert other.wish == FEWEST_CHANGES and sum(g < 300 for g in other.grams) == 1
