"""What a line adds to its first amount, and whose pints a page measures in."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.drafting.draft import draft
from scriptkit.drafting.food_matching import FoodMatcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.pints import pints_of
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.measure.amounts import parse_amount
from scriptkit.pantry.lookup import Pantry

READER = LineReader(FoodMatcher(Pantry()))


def read(line: str) -> DraftIngredient:
    """The one ingredient of the line."""
    (found,) = READER.read(line)
    return found


@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("2 tbsp olive oil, plus 1 tbsp for frying the onions", "3 tbsp"), ("2 tbsp olive oil (plus 1 tsp to finish)", "2 1/3 tbsp"),
        ("2 tbsp olive oil + 1 tbsp extra", "3 tbsp"), ("2 tbsp olive oil and 1 tbsp for the pan", "3 tbsp"), ("100 g butter, plus another 20 g for the tin", "120 g"),
        ("1 oz. dripping, plus 1 tbsp", "41 g"), ("100 g plain flour, plus 1 tbsp for dusting", "108 g"), ("2 onions, plus 1 for the stock", "3"), ("1 lb butter, plus 1 oz for greasing", "17 oz"),
        # harmless twins: nobody says how much, or it was one sum from the start
        ("100 g plain flour, plus extra for dusting", "100 g"), ("30 g butter, plus a little for greasing", "30 g"), ("1 cup plus 2 tablespoons plain flour", "1 1/8 cups"),
    ],
)  # fmt: skip
def test_what_a_line_adds_is_counted(line: str, amount: str) -> None:
    found = read(line)
    assert (found.amount, found.amount_sure) == (amount, 1), found


def test_what_cannot_be_added_is_a_doubt() -> None:
    found = read("200 g samphire, plus 1 bag to finish")
    assert found.amount_sure < 1
    assert "plus" not in found.name
    assert "1 bag" in found.why_unsure


@settings(max_examples=60)
@given(
    st.integers(1, 90),
    st.integers(1, 90),
    st.sampled_from([", plus {} g for frying", " plus {} g to finish", ", plus an extra {} g"]),
)
def test_a_sum_of_grams_is_their_sum(first: int, more: int, tail: str) -> None:
    assert read(f"{first} g butter{tail.format(more)}").amount == f"{first + more} g"


@pytest.mark.parametrize(
    ("page", "whose"),
    [
        (["1/2 pint milk", "1 swede", "Bake at gas mark 4."], "british"), (["1 gill cream", "4 oz suet"], "british"), (["1 lb leeks", "1 pint stock", "Bake at 180 C."], "british"),
        (["1 pint cream", "2 cups flour"], "american"), (["1 pint cream", "1 lb leeks", "Bake at 350 °F."], "american"), (["1 pint milk", "1 lb leeks"], ""),
        (["1 pint milk", "2 cups flour", "Bake at gas mark 4."], ""), (["1 pint milk", "2 teacups flour", "a little suet"], "british"),
    ],
)  # fmt: skip
def test_whose_pints_they_are_the_page_tells(page: list[str], whose: str) -> None:
    assert pints_of(page) == whose


def test_a_pint_is_counted_as_its_page_means_it() -> None:
    def text(*lines: str) -> str:
        return draft(RawRecipe(name="Harbour pudding", ingredients=(*lines,), steps=("Stir the milk.",))).text

    british = text("1/2 pint whole milk", "1 gill double cream", "100 g suet")
    assert "284.13 ml" in british and "142.065 ml" in british and "unsure: {amount" not in british
    american = text("1/2 pint whole milk", "2 cups plain flour")
    assert "236.588 ml" in american and "unsure: {amount" not in american
    unknown = text("1/2 pint whole milk", "100 g leeks")
    assert "236.588 ml" in unknown and "unsure: {amount: 0.6" in unknown and "a British one is 568 ml" in unknown
    assert "unsure: {amount" not in text("1 pint (568 ml) whole milk", "100 g leeks")


@pytest.mark.parametrize(
    ("line", "name", "amount"),
    [
        ("1/2 cup (1 stick) plus 1 tbsp butter", "butter", "9 tbsp"), ("1/2 cup (1 stick) plus 1 tablespoon unsalted butter, divided", "unsalted butter", "9 tbsp"),
        ("½ cup (113g) plus 2 tablespoons sugar", "sugar", "138 g"), ("1 cup (240 ml) milk", "milk", "1 cup"),
    ],
)  # fmt: skip
def test_a_bracket_between_the_parts_of_a_sum(line: str, name: str, amount: str) -> None:
    found = read(line)
    assert (found.name, found.amount, found.amount_sure) == (name, amount, 1), found


@pytest.mark.parametrize(
    ("page", "whose"),
    [
        (("1 stick celery", "1 quart stock", "gas mark 4"), "british"), (("2 sticks of cinnamon", "50 g caster sugar"), "british"),
        (("2 sticks butter", "1 quart stock"), "american"), (("1/2 cup (1 stick) of butter",), "american"), (("1 stick celery",), ""),
    ],
)  # fmt: skip
def test_only_a_stick_of_butter_is_american(page: tuple[str, ...], whose: str) -> None:
    assert pints_of(page) == whose


def test_a_british_quart_is_two_british_pints() -> None:
    british, american = LineReader(FoodMatcher(Pantry()), "", "british"), LineReader(FoodMatcher(Pantry()))
    for line, litres in (("1 quart milk", 1.137), ("2 qts chicken stock", 2.273), ("2 pints milk", 1.137)):
        (one,) = british.read(line)
        assert parse_amount(one.amount).millilitres / 1000 == pytest.approx(litres, abs=0.002), one
    (one,) = american.read("2 qt milk")
    assert parse_amount(one.amount).millilitres == pytest.approx(1892.7, abs=1)
