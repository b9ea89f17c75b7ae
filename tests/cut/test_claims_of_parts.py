"""Amounts that are spoken of an ingredient of which several amounts go in, and amounts that are only half said."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.recipe.dish import Dish

STEW = """
    dish: Chickpeas in a sauce
    servings: 4
    ingredients:
      stock: {amount: 13 tbsp, food: "chicken stock, ready-made"}
      starch: {amount: 1 tsp, food: cornflour}
      chickpeas: {amount: 2 cups, food: "chickpeas, cooked"}
      oil: {amount: 2 tbsp, food: olive oil}
      onion: {amount: 200 g}
      parmesan: {amount: 50 g}
    steps:
      - {id: slurry, stage: prep, do: Stir the starch into a spoon of the stock., add: {starch: all, stock: 1 tbsp}, vessel: cup, screen: 9 s}
      - {id: fry, stage: cook, do: Fry half of the onion in the oil., add: {oil: all, onion: half}, vessel: pan, heat: medium, screen: 9 s}
      - {id: simmer, stage: cook, do: Simmer the chickpeas in the rest of the stock., add: {chickpeas: all, stock: rest, onion: rest}, vessel: pan, screen: 9 s}
      - {id: finish, stage: cook, do: Finish with the parmesan., add: [parmesan], vessel: pan, screen: 9 s}
"""


@pytest.fixture
def stew(table: Table) -> Dish:
    return table.dish(STEW)


@pytest.mark.parametrize(
    ("lines", "verdicts"),
    [
        (("one tablespoon of stock", "and three quarters of a cup of stock for later"), [VERIFIED, VERIFIED]),
        (("one tablespoon of stock", "and two cups of stock for later"), [VERIFIED, LISTEN]),
        (("three quarters of a cup of stock",), [DIFFERS]),
    ],
)
def test_where_a_steps_own_amount_is_said_the_next_is_what_goes_in_later(
    stew: Dish, lines: tuple[str, ...], verdicts: list[str]
) -> None:
    assert [c.verdict for c in said(stew, "slurry", *lines)] == verdicts


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("one to two tablespoons of oil", VERIFIED),
        ("two to three tablespoons of oil", VERIFIED),
        ("two to four tablespoons of oil", LISTEN),
        ("three to six tablespoons of oil", DIFFERS),
        ("if you have no pan, four tablespoons of oil", LISTEN),
        ("then four tablespoons of oil", DIFFERS),
    ],
)
def test_a_range_that_only_begins_at_the_amount_is_given_to_listen_to(stew: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(stew, "fry", line)] == [verdict]


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("two cups of boiled chickpeas", VERIFIED),
        ("three cups of boiled chickpeas", DIFFERS),
        ("three cups of dried chickpeas", LISTEN),
    ],
)
def test_boiled_is_cooked(stew: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(stew, "simmer", line)] == [verdict]


def test_which_leads_over_to_the_amount_of_what_stands_before(stew: Dish) -> None:
    *_, claim = said(stew, "fry", "we use a whole stick of oil, which is two tablespoons and freshly grated parmesan")
    assert (claim.subject, claim.verdict) == ("oil", VERIFIED)
    *_, claim = said(stew, "fry", "we use a whole stick of oil, which is four tablespoons and freshly grated parmesan")
    assert (claim.subject, claim.verdict) == ("oil", DIFFERS)


@pytest.mark.parametrize(
    ("step", "line", "verdicts"),
    [
        ("fry", "half of the onion goes in now", {"onion": VERIFIED}),
        ("fry", "here is the onion, and I want half of it", {"onion": VERIFIED}),
        ("fry", "a third of the onion goes in now", {"onion": LISTEN}),
        ("fry", "half of the parmesan", {}),
        ("fry", "half of the pan", {}),
        ("fry", "cut it in half, the onion", {}),
    ],
)
def test_a_share_is_held_against_the_parts_that_go_in(
    stew: Dish, step: str, line: str, verdicts: dict[str, str]
) -> None:
    assert {c.subject: c.verdict for c in said(stew, step, line)} == verdicts


SPICES = """
    dish: Spiced leeks
    servings: 4
    ingredients:
      leek: 400 g
      paprika: 1/2 tsp
      cayenne pepper: 1/2 tsp
      salt: 1 tsp
      oil: {amount: 2 tbsp, food: olive oil}
    steps:
      - {id: season, stage: prep, do: Season the leek., add: {leek: all, paprika: all, cayenne pepper: all, salt: all, oil: all}, vessel: bowl, screen: 9 s}
"""


@pytest.mark.parametrize(
    ("line", "verdicts"),
    [
        ("half a teaspoon each of paprika and cayenne pepper", {"paprika": VERIFIED, "cayenne pepper": VERIFIED}),
        (
            "half a teaspoon each of paprika, freshly ground cayenne pepper and salt",
            {"paprika": VERIFIED, "cayenne pepper": VERIFIED, "salt": DIFFERS},
        ),
        ("paprika and cayenne pepper, half a teaspoon each", {"paprika": VERIFIED, "cayenne pepper": VERIFIED}),
        ("paprika and cayenne pepper, a teaspoon each", {"paprika": DIFFERS, "cayenne pepper": DIFFERS}),
        (
            "two tablespoons of oil, paprika and cayenne pepper, half a teaspoon each",
            {"oil": VERIFIED, "paprika": VERIFIED, "cayenne pepper": VERIFIED},
        ),
    ],
)
def test_a_figure_each_is_of_every_one_of_the_list(table: Table, line: str, verdicts: dict[str, str]) -> None:
    assert {c.subject: c.verdict for c in said(table.dish(SPICES), "season", line)} == verdicts


@pytest.mark.parametrize(
    ("lines", "verdicts"),
    [
        (
            ("in the oven at two hundred and fifty degrees Celsius", "at home you can bake it at two hundred Celsius"),
            [LISTEN, VERIFIED],
        ),
        (("the oven at two hundred degrees Celsius", "or four hundred and fifty Fahrenheit"), [VERIFIED, DIFFERS]),
        (("in the oven at two hundred and fifty degrees Celsius",), [DIFFERS]),
    ],
)
def test_of_two_ovens_beside_one_another_one_may_be_another(
    table: Table, lines: tuple[str, ...], verdicts: list[str]
) -> None:
    dish = table.dish("""
        dish: Baked leeks
        servings: 2
        ingredients: {leek: 400 g}
        steps: [{id: bake, stage: cook, do: Bake the leek., add: [leek], vessel: tray, heat: oven 200 °C, wait: 20 min, screen: 9 s}]
    """)
    assert [c.verdict for c in said(dish, "bake", *lines)] == verdicts
