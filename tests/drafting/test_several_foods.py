"""Several foods in one line: none vanishes, and one food stays one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.drafting.food_matching import FoodMatcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.pantry.lookup import Pantry

PANTRY = Pantry()
READER = LineReader(FoodMatcher(PANTRY))


def food_of(found: DraftIngredient) -> str:
    """The kitchen name of its food; its own name where the pantry has none."""
    return found.food or (PANTRY.find(found.name).name if found.known else found.name)


@pytest.mark.parametrize(
    ("line", "foods"),
    [
        ("1 tsp each ground cumin, coriander and paprika", ["cumin 1 tsp", "coriander seeds 1 tsp", "paprika 1 tsp"]),
        ("1 tsp each of cumin, coriander & paprika", ["cumin 1 tsp", "coriander seeds 1 tsp", "paprika 1 tsp"]),
        ("Salt and pepper, 1/2 tsp each", ["salt 1/2 tsp", "pepper, black 1/2 tsp"]),
        ("1/2 cup each of diced celery, carrot and onion", ["celery 1/2 cup", "carrot 1/2 cup", "onion 1/2 cup"]),
        ("1 each red, yellow and green pepper, sliced", ["pepper, red 1", "pepper, yellow 1", "pepper, green 1"]),
        ("1 tsp each garlic and onion powder", ["garlic powder 1 tsp", "onion powder 1 tsp"]),
        ("salt, pepper and oregano, to taste", ["salt to taste", "pepper, black to taste", "oregano, dried to taste"]),
        ("butter and oil for frying", ["butter, unsalted to taste", "vegetable oil to taste"]),
        ("oil for frying and flour for dusting", ["vegetable oil to taste", "flour, plain to taste"]),
        ("2 tbsp oil, plus butter for greasing", ["vegetable oil 2 tbsp", "butter, unsalted to taste"]),
        ("sour cream, salsa and guacamole to serve", ["sour cream to taste", "salsa to taste", "guacamole to taste"]),
        ("2 carrots, 2 sticks of celery and 1 onion, diced", ["carrot 2", "celery 128 g", "onion 1"]),
        ("1 red and 1 yellow pepper", ["pepper, red 1", "pepper, yellow 1"]),
        ("1 onion and 2 frobnits", ["onion 1", "frobnits 100 g"]),
        ("a handful of parsley and mint, chopped", ["parsley 15 g", "mint, fresh 15 g"]),
        # harmless twins: one food
        ("4 chicken breasts, 6 oz each", ["chicken breast, skinless 24 oz"]), ("2 (14 oz each) cans tomatoes", ["tomatoes, canned 28 oz"]),
        ("1 cup plus 2 tbsp sugar", ["sugar, white 1 1/8 cups"]), ("1 cup half and half", ["half-and-half 1 cup"]),
        ("1 lb ham and cheese ravioli", ["ham and cheese ravioli 1 lb"]), ("sweet and sour sauce", ["sweet and sour sauce to taste"]),
        ("2 tbsp butter plus 1 tsp for the pan", ["butter, unsalted 2 1/3 tbsp"]), ("1 bunch coriander, leaves and stalks", ["coriander leaves 1 bunch"]),
        ("200 g plain flour, plus extra for dusting", ["flour, plain 200 g"]), ("1 lb beef chuck, cut in 1 inch cubes", ["beef, chuck 1 lb"]),
    ],
)  # fmt: skip
def test_no_food_of_a_line_vanishes(line: str, foods: list[str]) -> None:
    assert [f"{food_of(d)} {d.amount}" for d in READER.read(line)] == foods


def test_an_amount_of_two_foods_together_is_a_question_where_it_matters() -> None:
    assert [(d.amount, d.to_confirm) for d in READER.read("500 g carrots and potatoes")] == [
        ("250 g", True),
        ("250 g", True),
    ]
    assert [d.to_confirm for d in READER.read("1 tsp garlic and onion powder")] == [False, False]


@settings(max_examples=80)
@given(
    st.lists(st.sampled_from(["cumin", "paprika", "turmeric", "cinnamon", "nutmeg", "cayenne"]), min_size=2, max_size=5, unique=True),
    st.sampled_from([", ", " and ", " & ", " plus "]),
    st.sampled_from(["1 tsp each {}", "2 tbsp each of {}", "{}, 1 tsp each", "{}, to taste", "{}"]),
)  # fmt: skip
def test_each_food_of_a_list_is_read_once(foods: list[str], last: str, form: str) -> None:
    line = form.format(", ".join(foods[:-1]) + last + foods[-1])
    assert [d.name for d in READER.read(line)] == foods


def test_one_line_may_name_several() -> None:
    def names(line: str) -> list[str]:
        return [d.name for d in READER.read(line)]

    assert names("Salt and pepper, to taste") == ["salt", "pepper"]
    assert names("Salt & freshly ground black pepper") == ["salt", "freshly ground black pepper"]
    assert names("Green onions, sesame seeds and lime wedges (for serving)") == [
        "green onions",
        "sesame seeds",
        "lime wedges",
    ]
    assert [d.amount for d in READER.read("1/2 tsp each salt and paprika")] == ["1/2 tsp", "1/2 tsp"]
    assert names("1 lime, zested and juiced") == ["lime juice", "lime zest"]
    assert len(READER.read("1 cup macaroni and cheese")) == 1


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("A bay leaf, 6 peppercorns and a blade of mace", [("bay leaf", "1", ""), ("peppercorns", "0.3 g", ""), ("blade of mace", "0.5 g", "")]),
        ("2 lemons, 1 juiced and 1 sliced", [("lemon juice", "48 g", ""), ("lemons", "1", "sliced")]), ("3 limes, 2 juiced", [("lime juice", "88 g", ""), ("limes", "1", "")]),
        ("2 lemons, juiced", [("lemon juice", "96 g", "")]),
        ("2 onions and 1 leek, sliced", [("onions", "2", "sliced"), ("leek", "1", "sliced")]), ("200 g butter and 3 eggs, beaten", [("butter", "200 g", ""), ("eggs", "3", "beaten")]),
        ("Grated rind and juice of 1 lemon", [("lemon juice", "48 g", ""), ("lemon zest", "6 g", "")]), ("Finely grated zest of 1 lemon", [("lemon zest", "6 g", "")]),
    ],
)  # fmt: skip
def test_each_of_them_keeps_its_number_and_its_cut(line: str, wanted: list[tuple[str, str, str]]) -> None:
    assert [(d.name, d.amount, d.prep) for d in READER.read(line)] == wanted
