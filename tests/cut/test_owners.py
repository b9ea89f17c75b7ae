"""Whose a spoken figure is, told before it is compared; three verdicts."""

from __future__ import annotations

import itertools
import math

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st
from spoken import SUPPER, said

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.cut.claims.name_mentions import mentions_in, words_of_talk
from scriptkit.cut.claims.owner_chain import shares
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.plan import dishes_of

SALAD = """
    dish: Cream of fennel with rice
    servings: 4
    ingredients:
      fennel: 2 bulbs
      cream: {amount: 120 ml, food: "cream, double"}
      rice: {amount: 200 g, food: "rice, white"}
      rice vinegar: {amount: 1 tbsp, food: cider vinegar}
      paprika: 1/2 tsp
      garlic: 2 cloves
      salt: 1 tsp
    steps:
      - {id: season, stage: prep, do: Season the rice., add: {rice: all, rice vinegar: all, paprika: all, salt: half}, vessel: bowl, screen: 9 s}
      - {id: simmer, stage: cook, do: Simmer the fennel in the cream., add: {fennel: all, cream: all, garlic: all, salt: rest}, vessel: pot, heat: low, wait: 12 min, screen: 9 s}
"""


@pytest.fixture
def salad(table: Table) -> Dish:
    return table.dish(SALAD)


def named(dish: Dish, text: str) -> list[str]:
    words = words_of_talk(text)
    return [dish.ingredients[m.owners[0].ingredient].name for m in mentions_in(words, [dish])]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("the rice and the rice vinegar", ["rice", "rice vinegar"]),
        ("our cream of fennel with rice for tonight", []),
        ("cream, then fennel, of course", ["cream", "fennel"]),
        ("vinegar on its own", ["rice vinegar"]),
        ("the rice cooker, the garlic press and a salt cellar", []),
        ("the rice, the garlic and the salt", ["rice", "garlic", "salt"]),
    ],
)
def test_the_longest_name_is_meant(salad: Dish, text: str, names: list[str]) -> None:
    assert named(salad, text) == names


@pytest.mark.parametrize(
    ("line", "of"),
    [
        ("half a teaspoon of paprika a tablespoon of rice vinegar", ["paprika", "rice vinegar"]),
        ("the paprika half a teaspoon of salt goes in here", ["salt"]),
        ("a hundred and twenty mils of cream and two cloves of garlic", ["cream", "garlic"]),
    ],
)
def test_each_figure_of_a_list_has_an_owner_of_its_own(salad: Dish, line: str, of: list[str]) -> None:
    assert [c.subject for c in said(salad, "season", line)] == of


def test_a_value_that_fits_another_is_no_reason_for_an_owner(salad: Dish) -> None:
    """Half a teaspoon is the paprika's amount; it is the vinegar that is named."""
    (claim,) = said(salad, "season", "and half a teaspoon of rice vinegar")
    assert (claim.subject, claim.verdict) == ("rice vinegar", DIFFERS)


def test_all_of_it_said_where_a_part_goes_in_is_listened_to(salad: Dish) -> None:
    assert [c.verdict for c in said(salad, "season", "half a teaspoon of salt")] == [VERIFIED]
    assert [c.verdict for c in said(salad, "season", "a teaspoon of salt in all")] == [VERIFIED]
    assert [c.verdict for c in said(salad, "simmer", "one teaspoon of salt")] == [LISTEN]


def test_a_slip_of_the_tongue_that_is_put_right_is_judged_by_what_it_is_put_right_to(salad: Dish) -> None:
    (claim,) = said(salad, "season", "two tablespoons of, or rather one tablespoon of rice vinegar")
    assert (claim.words, claim.verdict) == ("one tablespoon", VERIFIED)


def test_minutes_a_side_are_half_of_what_the_step_takes(table: Table) -> None:
    dish = table.dish("""
        dish: Hake
        servings: 2
        ingredients: {hake: 400 g}
        steps: [{id: fry, stage: cook, do: Fry the hake on both sides., add: [hake], vessel: pan, heat: high, wait: 6 min, screen: 9 s}]
    """)
    assert [c.verdict for c in said(dish, "fry", "fry it for three minutes per side")] == [VERIFIED]
    assert [c.verdict for c in said(dish, "fry", "fry it for three minutes")] == [DIFFERS]


def test_a_bare_figure_beside_an_oven_is_its_heat(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 400 g}
        steps: [{id: bake, stage: cook, do: Bake the leeks., add: [leek], vessel: tray, heat: oven 425 °F, wait: 20 min, screen: 9 s}]
    """)
    assert [c.verdict for c in said(dish, "bake", "in a hot oven for twenty five")] == [VERIFIED]
    assert [c.verdict for c in said(dish, "bake", "set the oven to three fifty")] == [DIFFERS]


def test_the_verdict_and_agreement_are_one() -> None:
    bisque = dishes_of(SUPPER)[0]
    told = said(bisque, "soften-fennel", "two tablespoons of butter") + said(
        bisque, "finish", "two tablespoons of butter"
    )
    assert [(c.verdict, c.agrees) for c in told] == [(VERIFIED, True), (DIFFERS, False)]


@settings(max_examples=40)
@given(
    st.lists(st.lists(st.floats(-4, 4), min_size=1, max_size=4), min_size=1, max_size=4),
    st.randoms(use_true_random=False),
)
def test_the_chain_gives_what_all_ways_together_give(nodes: list[list[float]], random: object) -> None:
    """Against every way through the chain, one by one."""
    draw = random.uniform  # type: ignore[attr-defined]
    steps = [[[draw(-2, 2) for _ in after] for _ in before] for before, after in itertools.pairwise(nodes)]
    ways = list(itertools.product(*(range(len(n)) for n in nodes)))
    weight = {
        way: math.exp(
            sum(n[c] for n, c in zip(nodes, way, strict=True))
            + sum(s[b][c] for s, (b, c) in zip(steps, itertools.pairwise(way), strict=True))
        )
        for way in ways
    }
    whole = sum(weight.values())
    for n, of_one in enumerate(shares(nodes, steps)):
        for c, share in enumerate(of_one):
            assert share == pytest.approx(sum(w for way, w in weight.items() if way[n] == c) / whole)


@pytest.mark.parametrize(
    ("line", "of"),
    [
        ("whisk two cloves in a bowl, two bulbs in a pan", []),
        ("two fennel in a pan", ["fennel"]),
        ("two chopped fennel", ["fennel"]),
        ("two in a pan, and the fennel", []),
    ],
)
def test_a_bare_number_is_of_what_is_counted_and_named_after_it(salad: Dish, line: str, of: list[str]) -> None:
    assert [c.subject for c in said(salad, "simmer", line)][: len(of)] == of


@pytest.mark.parametrize(
    ("line", "verdicts"),
    [
        ("one fennel and two cloves of garlic", {"fennel": DIFFERS, "garlic": VERIFIED}),
        ("two fennel and two cloves of garlic", {"fennel": VERIFIED, "garlic": VERIFIED}),
        ("take one fennel, and cut it like this", {}),
    ],
)
def test_one_of_several_is_a_claim_in_a_list_only(salad: Dish, line: str, verdicts: dict[str, str]) -> None:
    assert {c.subject: c.verdict for c in said(salad, "simmer", line)} == verdicts


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("simmer the fennel for another twelve minutes", VERIFIED),
        ("simmer the fennel for another five minutes", LISTEN),
    ],
)
def test_a_part_of_a_wait_is_given_to_listen_to(salad: Dish, line: str, verdict: str) -> None:
    assert [c.verdict for c in said(salad, "simmer", line)] == [verdict]


@pytest.mark.parametrize(
    ("line", "verdicts"),
    [
        ("about two cloves of garlic", [VERIFIED]),
        ("about six cloves of garlic", [DIFFERS]),
        ("about six or seven garlic", [DIFFERS]),
        ("here about six garlic", [DIFFERS]),
        ("a few garlic", []),
        ("a couple of garlic", [VERIFIED]),
    ],
)
def test_a_number_that_is_said_as_about_is_wrong_where_it_is_far_off(
    salad: Dish, line: str, verdicts: list[str]
) -> None:
    assert [c.verdict for c in said(salad, "simmer", line)] == verdicts


CHIPS = """
    dish: Fried potatoes
    servings: 2
    ingredients: {potato: 400 g}
    steps:
      - {id: peel, stage: prep, do: Peel the potato., uses: [potato], hands: 5 min, screen: 9 s}
      - {id: fry, stage: cook, do: Fry the chips until they colour., add: [potato], vessel: deep pan, wait: 4 min, screen: 9 s}
      - {id: serve, stage: cook, do: Serve them., vessel: plate, hands: 1 min, screen: 9 s}
"""


@pytest.mark.parametrize(
    ("line", "verdict"), [("the chips take nine minutes", DIFFERS), ("the chips have been in for four minutes", VERIFIED)]
)  # fmt: skip
def test_a_food_that_only_the_steps_name_is_no_other_dish(table: Table, line: str, verdict: str) -> None:
    """*Chips* stand in no list of ingredients."""
    assert [c.verdict for c in said(table.dish(CHIPS), "fry", line)] == [verdict]
