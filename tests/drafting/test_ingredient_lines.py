"""Lines of ingredients into amounts, foods and cuts; what is guessed is said."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.drafting.ingredient_lines import SURE, USUAL, draft_of, drafts_of, match
from scriptkit.drafting.old_measures import TO_TASTE
from scriptkit.measure.amounts import parse_amount
from scriptkit.pantry.lookup import Pantry

PANTRY = Pantry()


@pytest.mark.parametrize(
    ("line", "amount", "food", "prep"),
    [
        ("2 1/2 cups finely chopped onion", "2 1/2 cups", "onion", "finely chopped"),
        ("200g spinach", "200 g", "spinach", ""),
        ("½ tsp salt", "1/2 tsp", "salt", ""),
        ("1½ tbsp olive oil", "1 1/2 tbsp", "olive oil", ""),
        ("3 large eggs, beaten", "3 large", "egg", "beaten"),
        ("1 (14 oz) can chopped tomatoes", "14 oz", "tomatoes, canned", "chopped"),
        ("2 x 400 g tins chickpeas, drained", "800 g", "chickpeas, canned", "drained"),
        ("2 cups (240 g) plain flour", "240 g", "flour, plain", ""),
        ("1 dozen large eggs", "12 large", "egg", ""),
        ("Butter, 2 oz.", "2 oz", "butter, unsalted", ""),
        ("one and a half pounds of beef chuck", "1 1/2 pounds", "beef, chuck", ""),
        ("half a lemon", "42 g", "lemon", ""),
        ("0,5 l whole milk", "1/2 l", "milk, whole", ""),
        ("two tablespoonsful sugar", "2 tbsp", "sugar, white", ""),
        ("1 wineglassful white wine", "60 ml", "white wine", ""),
        ("1 saltspoon salt", "1/4 tsp", "salt", ""),
        ("1 T butter", "1 tbsp", "butter, unsalted", ""),
        ("3 t salt", "3 tsp", "salt", ""),
        ("6 fl oz single cream", "6 fl oz", "cream, single", ""),
        ("• 2 cloves of garlic, crushed", "2 cloves", "garlic", "crushed"),
        ("250g/9oz plain flour", "250 g", "flour, plain", ""),
        ("1/4 cup plus 2 tablespoons sugar", "3/8 cup", "sugar, white", ""),
        ("Large handful spinach", "30 g", "spinach", ""),
        ("ground ginger, 1 tsp", "1 tsp", "ginger, ground", ""),
        ("4 boneless, skinless chicken breasts", "4", "chicken breast, skinless", ""),
        ("1 and 1/2 cups whole milk", "1 1/2 cups", "milk, whole", ""),
        ("1 cup plus 2 oz whole milk", "1 cup", "milk, whole", ""),
        ("heaped 2 tbsp plain flour", "2 tbsp", "flour, plain", ""),
        ("1 large cup whole milk", "1 cup", "milk, whole", ""),
        ("30 g parsley finely chopped", "30 g", "parsley", "finely chopped"),
        ("1 cup (8 fl oz; 240 g) whole milk", "240 g", "milk, whole", ""),
        ("2 sticks celery", "128 g", "celery", ""),
    ],
)
def test_what_a_line_means(line: str, amount: str, food: str, prep: str) -> None:
    found = draft_of(line.removeprefix("• "), PANTRY)
    assert (found.amount, found.food or PANTRY.find(found.name).name, found.prep) == (amount, food, prep)
    assert found.known


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2-3 carrots", "the recipe says 2-3"),
        ("1 heaped tbsp plain flour", "“heaped” counted as level"),
        ("1 pint whole milk", "a British one is 568 ml"),
        ("1 tbsp olive oil or sunflower oil", "the recipe also allows sunflower oil"),
        ("Juice of 1 lemon", "only its juice"),
        ("1 cup onion", "could be measured in several states; taken as"),
        ("1 onion", "taken as 110 g (medium"),
        ("1 cup milk", "confidence of 75%"),
        ("butter the size of an egg", "the line gives no amount"),
        ("1 bunch watercress", "nothing says what 1 bunch weighs"),
        ("2 tsp rennet", "the pantry has no such food"),
        ("100 g feta, plus extra to serve", "plus extra"),
        ("1 cup plus 2 oz whole milk", "“plus 2 oz” left out"),
        ("heaped 2 tbsp plain flour", "“heaped” counted as level"),
        ("1 large cup whole milk", "“large” left out"),
        ("2 sticks celery", "2 sticks taken as 128 g (stalk"),
    ],
)
def test_every_guess_is_said(line: str, said: str) -> None:
    assert any(said in check for check in draft_of(line, PANTRY).checks), draft_of(line, PANTRY).checks


def test_what_is_plain_needs_no_check() -> None:
    for line in ("30 g leek", "1 tsp salt", "Salt, to taste", "2 medium carrots"):
        assert draft_of(line, PANTRY).checks == (), line


def test_to_taste() -> None:
    for line in ("Salt, to taste", "oil for frying", "chives, to garnish", "a little nutmeg", "Few grains cayenne"):
        assert draft_of(line.replace("oil", "olive oil"), PANTRY).amount == TO_TASTE


def test_salt_and_pepper_are_two() -> None:
    assert [d.name for d in drafts_of("Salt and pepper, to taste", PANTRY)] == ["salt", "pepper"]
    assert [d.amount for d in drafts_of("salt and pepper", PANTRY)] == [TO_TASTE, TO_TASTE]
    assert [d.name for d in drafts_of("Salt & freshly ground black pepper", PANTRY)] == ["salt", "black pepper"]
    assert len(drafts_of("1 cup macaroni and cheese", PANTRY)) == 1


def test_a_heading_among_the_ingredients_is_none() -> None:
    for line in ("For the dressing:", "For the leeks", "Dressing:", "", "***"):
        assert drafts_of(line, PANTRY) == [], line


def test_confidence_falls_with_distance() -> None:
    assert match("butter, unsalted", PANTRY)[1] == 1.0
    assert match("nice ripe spinach", PANTRY)[1] < SURE
    assert match("flour", PANTRY)[1] == USUAL
    assert 0 < match("smoked streaky bacon lardons", PANTRY)[1] < USUAL
    assert match("unobtainium flakes of the moon", PANTRY)[1] < 0.5
    assert match("qqqqzzzz", PANTRY) == (None, 0.0)


@settings(max_examples=60)
@given(st.text(max_size=120))
def test_any_line_is_read_into_something_that_a_dish_file_takes(line: str) -> None:
    for found in drafts_of(line, PANTRY):
        assert found.name.strip()
        assert 0 <= found.confidence <= 1
        if found.amount != TO_TASTE:
            parse_amount(found.amount)


@settings(max_examples=60)
@given(
    st.sampled_from(["1", "2-3", "½", "1 1/2", "a", "0.25", "3,5", "one and a half", "2 x 100", "(1)"]),
    st.sampled_from(["", "g", "cups", "tbsp", "T", "oz", "pint", "heaped tsp", "dozen", "large", "knob", "lb."]),
    st.sampled_from(["butter", "chopped leek", "of flour, sifted", "eggs (beaten)", "salt", "milk or cream", "x"]),
)
def test_amounts_in_any_dress_can_be_read(number: str, unit: str, rest: str) -> None:
    for found in drafts_of(f"{number} {unit} {rest}", PANTRY):
        if found.amount != TO_TASTE:
            assert parse_amount(found.amount).value > 0


@pytest.mark.parametrize("line", ["1/0 - 2 cups whole milk", "1 and 1/0 cups whole milk", "2 x 1/0 cups whole milk"])
def test_a_number_that_is_none_is_an_amount_to_confirm(line: str) -> None:
    found = draft_of(line, PANTRY)
    assert found.amount == TO_TASTE
    assert "the line gives no amount" in found.checks
