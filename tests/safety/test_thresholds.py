"""Where a caution begins: each row stands on both sides of the figure from which it is told."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.safety.rule_matching import cautions_of


def told(table: Table, foods: dict[str, str], *steps: str, servings: int = 2) -> set[str]:
    """The rules told of a dish: of foods by name and amount, all of which go in at the first step."""
    lines = ", ".join(f"f{n}: {{amount: {amount}, food: '{name}'}}" for n, (name, amount) in enumerate(foods.items()))
    keys = ", ".join(f"f{n}" for n in range(len(foods)))
    text = "\n".join(
        f'  - {{id: s{n}, stage: cook, do: "{step}"{f", add: [{keys}]" if n == 0 else ""}}}'
        for n, step in enumerate(steps)
    )
    dish = table.dish(f"dish: D\nservings: {servings}\ningredients: {{{lines}}}\nsteps:\n{text}\n")
    return {c.rule.id for c in cautions_of(dish)}


@pytest.mark.parametrize(
    ("rule", "foods", "step", "below", "above"),
    [
        ("raw-egg", {"egg": "200 g"}, "Boil the eggs whole for {} minutes.", "8", "7"),
        ("undercooked-mince", {"beef mince, 20% fat": "400 g"}, "Fry the patties for {} seconds a side.", "61", "60"),
        ("spirit-near-flame", {"rum": "{} g", "butter, unsalted": "40 g"}, "Pour it into the hot pan over the flame.", "14", "15"),
        ("cold-smoking", {"trout": "400 g"}, "Smoke it at {} °C.", "46", "45"),
        ("ferment-salt", {"cabbage": "1000 g", "salt": "{} g"}, "Let it ferment in its crock for two weeks.", "15", "14"),
        ("standing-out", {"milk, semi-skimmed": "500 g"}, "Leave it on the worktop for {} minutes.", "119", "120"),
        ("wet-into-hot-fat", {"sunflower oil": "{} g", "leek": "20 g"}, "Fry the dripping wet leek in the hot oil.", "99", "100"),
        ("oil-too-full", {"sunflower oil": "{} g", "leek": "20 g"}, "Fry the leek in the oil in a 3-litre pot.", "1100", "1110"),
        ("pressure-too-full", {"leek": "{} g"}, "Cook it at high pressure in a 5-litre pressure cooker.", "3500", "3510"),
    ],
)  # fmt: skip
def test_a_caution_begins_at_its_figure(
    table: Table, rule: str, foods: dict[str, str], step: str, below: str, above: str
) -> None:
    def at(figure: str) -> set[str]:
        return told(table, {name: amount.format(figure) for name, amount in foods.items()}, step.format(figure))

    assert rule not in at(below)
    assert rule in at(above)


def test_a_caution_says_what_the_step_gives_the_food(table: Table) -> None:
    text = "dish: D\nservings: 2\ningredients: {beef: {amount: 400 g, food: 'beef, skirt steak'}}\nsteps:\n  - {stage: cook, do: Dry the strips of beef to jerky at 56 °C for 5 hours., add: [beef]}\n"
    assert any(
        c.printed.startswith("Step 1 gives it 56 °C for about 5 hours. Dried meat")
        for c in cautions_of(table.dish(text))
    )


@pytest.mark.parametrize(("degrees", "is_told"), [(64, True), (75, False)])
def test_a_bath_must_be_hot_enough_for_the_strictest_of_what_lies_in_it(
    table: Table, degrees: int, is_told: bool
) -> None:
    foods = {"chicken, breast, skinless": "300 g", "beef, skirt steak": "300 g"}
    found = told(table, foods, f"Seal them in bags and lay them in the {degrees} °C water bath for an hour.")
    assert ("sous-vide" in found) is is_told


@pytest.mark.parametrize(
    ("step", "is_told"),
    [("Fry the chicken strips for 50 seconds a side.", False), ("Fry the chicken for 50 seconds a side.", True),
     ("Fry the chicken on each side.", False),
     ("Fry the chicken for 50 seconds a side, then roast it for 20 minutes.", False)],
)  # fmt: skip
def test_a_minute_a_side_cooks_a_thin_slice_and_nothing_thicker(table: Table, step: str, is_told: bool) -> None:
    found = told(table, {"chicken, breast, skinless": "300 g"}, step)
    assert ("undercooked-poultry" in found) is is_told


@pytest.mark.parametrize(
    ("first", "then", "is_told"),
    [
        ("Cut the chicken on the red board and fry it to 75 °C.", "Slice the leek on the green board.", False),
        ("Cut the chicken on the red board and fry it to 75 °C.", "Slice the leek on the red board.", True),
        ("Cut the chicken on the big board and fry it to 75 °C.", "Slice the leek on the wooden board.", True),
    ],
)
def test_boards_are_told_apart_by_their_colours(table: Table, first: str, then: str, is_told: bool) -> None:
    found = told(table, {"chicken, breast, skinless": "300 g", "leek": "100 g"}, first, then)
    assert ("raw-on-ready" in found) is is_told


@pytest.mark.parametrize(
    ("first", "is_told"),
    [("Boil the eggs and put them in the fridge.", False), ("Boil the eggs and drain them.", True)],
)
def test_the_next_day_passes_where_the_food_was_left(table: Table, first: str, is_told: bool) -> None:
    found = told(table, {"egg": "200 g"}, first, "Next day, lay them on the worktop, and peel them.")
    assert ("standing-out" in found) is is_told


@pytest.mark.parametrize(("food", "is_told"), [("pasta, cooked", True), ("pasta, dried", False)])
def test_cooked_pasta_spoils_and_dried_pasta_keeps(table: Table, food: str, is_told: bool) -> None:
    assert ("standing-out" in told(table, {food: "400 g"}, "Leave it on the worktop for 3 hours.")) is is_told


@pytest.mark.parametrize(("butter", "is_told"), [("150 g", False), ("900 g", True)])
def test_food_swims_in_butter_only_where_there_is_more_of_it_than_food(
    table: Table, butter: str, is_told: bool
) -> None:
    found = told(
        table, {"chicken liver": "400 g", "butter, unsalted": butter}, "Fry it hot.", "Pour a glass of water over it."
    )
    assert ("water-on-hot-fat" in found) is is_told


@pytest.mark.parametrize(("degrees", "is_told"), [(49, True), (60, False)])
def test_a_bath_that_cooks_is_not_standing_out(table: Table, degrees: int, is_told: bool) -> None:
    found = told(table, {"pork belly": "900 g"}, f"Seal it and keep it at {degrees} °C overnight in the circulator.")
    assert ("standing-out" in found) is is_told


@pytest.mark.parametrize(("salt", "is_told"), [("39 g", False), ("40 g", True)])
def test_salt_of_a_twentieth_of_the_fish_is_a_cure(table: Table, salt: str, is_told: bool) -> None:
    found = told(table, {"salmon": "800 g", "salt": salt}, "Rub them with each other.", "Two days later slice it.")
    assert ("raw-fish" in found) is is_told


@pytest.mark.parametrize("food", ["chickpeas, canned", "green beans", "mushroom", "hake"])
def test_what_is_not_acid_enough_for_a_jar(table: Table, food: str) -> None:
    assert "low-acid-jars" in told(table, {food: "500 g"}, "Pack it into jars, seal them and keep them in the larder.")
