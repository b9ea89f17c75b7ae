"""Zest of a lemon is no lemon: what is counted must be what goes in, and what is bought the whole."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.checks import check
from scriptkit.pantry.eaten_parts import eaten_part, parts_asked, wholes
from scriptkit.preproduction import Preproduction
from scriptkit.shoot.buying import bought_text, purchases_of

DISH = """
    dish: Leeks with lemon
    servings: 2
    ingredients:
      leek: 300 g
      ONE
    steps:
      - {{stage: cook, do: Soften the leek., add: {{leek: all, KEY: all}}, hands: 4 min, screen: 2 s, say: Soften it slowly.}}
"""


def text_of(*ingredients: str) -> str:
    keys = ", ".join(f"{one.partition(':')[0]}: all" for one in ingredients)
    text = DISH.replace("ONE", "\n      ".join(ingredients)).replace("KEY: all", keys)
    return text.replace("{{", "{").replace("}}", "}")


def production(table: Table, *ingredients: str) -> Preproduction:
    return Preproduction(table.dish(text_of(*ingredients)))


def told(table: Table, ingredient: str, code: str) -> list[str]:
    return [f"{p.message} | {p.hint}" for p in check(production(table, ingredient)) if p.code == code]


@pytest.mark.parametrize(
    ("ingredient", "food", "grams"),
    [
        ("lemon: {amount: 1, prep: juiced}", "lemon juice", 48),  # "lemon yields" 48 g (SR28 09152)
        ("lemon: {amount: ½, prep: juiced}", "lemon juice", 24),
        ("lime: {amount: 2, prep: halved and squeezed}", "lime juice", 88),  # "lime yields" 44 g (SR28 09160)
        ("orange: {amount: 1, prep: juice only}", "orange juice", 86),  # "fruit yields" 86 g (SR28 09206)
        ("grapefruit: {amount: 1, prep: juiced}", "grapefruit juice", 196),  # "fruit yields" 196 g (SR28 09128)
        ("lemon: {amount: 1, prep: finely zested}", "lemon zest", 6),
        ("lemon: {amount: 1, prep: zested and juiced}", "lemon juice and zest", 54),
        ("lemon: juice of 1", "lemon juice", 48),
        ("lemon juice: juice of half a lemon", "lemon juice", 24),
        ("lemon juice: 1 lemon", "lemon juice", 48),
        ("lemon zest: zest of 1 lemon", "lemon zest", 6),
        ("zest of lime: {amount: 1, food: lime}", "lemon zest", 4),
        ("lemon: {amount: 2 tbsp, prep: juiced}", "lemon juice", 30.5),  # so many spoons of juice
        ("lemon: {amount: 200 g, prep: juiced, bought: whole}", "lemon juice", 71.7),  # of lemons as bought
        ("lemon: {amount: 50 g, prep: juiced}", "lemon juice", 50),
        ("eggs: {amount: 2 large, prep: yolks only}", "egg yolk", 34),
        ("eggs: {amount: 2 large, prep: whites only}", "egg white", 66),
    ],
)
def test_of_a_fruit_that_is_juiced_the_juice_counts(ingredient: str, food: str, grams: float, table: Table) -> None:
    found = production(table, ingredient).source.ingredients[1]
    assert (found.food.name, round(found.grams or 0, 1)) == (food, grams)
    assert found.weight_low_g is None or found.weight_low_g <= grams <= (found.weight_high_g or 0)


@pytest.mark.parametrize(
    "ingredient",
    [
        "lemon: {amount: 1 small, prep: sliced}",
        "lemon: {amount: 1 small, prep: 'zested, then sliced'}",
        "orange: {amount: 1 small, prep: 'segmented, juice kept'}",
        "eggs: {amount: 2 large, prep: separated}",
        "eggs: {amount: 2 large, prep: yolks and whites apart}",
        "lemon juice: 1 tbsp",
        "tomato: {amount: 200 g, prep: chopped with their juice}",
        "white wine: 100 ml",
    ],
)
def test_what_is_counted_as_it_is_named(ingredient: str, table: Table) -> None:
    found = production(table, ingredient).source.ingredients[1]
    assert found.bought_as is None
    assert told(table, ingredient, "whole-counted") == []


def test_a_part_that_no_table_tells_is_told(table: Table) -> None:
    assert told(table, "apple: {amount: 1 small, prep: juice}", "whole-counted") == [
        "apple: a whole apple is counted, where the words say juice | write `food: apple juice`, with the amount of that"
    ]


@pytest.mark.parametrize(
    ("ingredients", "bought"),
    [
        (("lemon: {amount: 1, prep: juiced}",), {"lemon": "1"}),
        (("lemon: {amount: ½, prep: juiced}",), {"lemon": "1"}),
        (("lemon: {amount: 1, prep: zested}", "juice: {amount: ½, food: lemon juice}"), {"lemon": "1"}),  # the same lemon
        (("lemon: {amount: 1, prep: zested}", "slices: {amount: 1, food: lemon}"), {"lemon": "2"}),
        (("lemon: {amount: 1, prep: juiced}", "more juice: {amount: 90 ml, food: lemon juice}"), {"lemon": "3"}),
        (("eggs: 1", "yolks: {amount: 2, food: egg yolk}", "whites: {amount: 3, food: egg white}"), {"egg": "4"}),
        (("lemon juice: 30 ml",), {"lemon juice": "30 ml"}),
    ],
)  # fmt: skip
def test_the_whole_is_bought_once_for_all_its_parts(
    ingredients: tuple[str, ...], bought: dict[str, str], table: Table
) -> None:
    listed = {p.food.name: bought_text(p) for p in purchases_of(production(table, *ingredients).source)}
    assert {name: text for name, text in listed.items() if name != "leek"} == bought


@given(st.sampled_from(wholes()), st.sampled_from(["juice", "zest", "yolk", "white"]))
def test_a_part_never_weighs_less_than_nothing_nor_out_of_its_bounds(whole: str, part: str) -> None:
    found = eaten_part(whole, part)
    assert found is None or 0 < found.low_g <= found.grams <= found.high_g
    assert parts_asked(whole, "sliced") == ()


@pytest.mark.parametrize(
    ("ingredient", "code"),
    [
        ("mussels: {amount: 1 kg, prep: scrubbed}", "bones-counted"),
        ("chicken: {amount: 1.6 kg, food: 'chicken, whole', prep: jointed}", "bones-counted"),
        ("peas: {amount: 500 g, prep: shelled}", "weighed-ready"),
        ("mussels: {amount: 250 g, prep: meat only}", ""),
        ("mussels: {amount: 1 kg, bought: ready}", ""),
        ("peas: 500 g", ""),
        ("walnuts: {amount: 100 g, prep: shelled}", ""),
        ("avocado: {amount: 1, prep: stoned}", ""),  # a fruit that is counted is weighed without its stone
    ],
)
def test_shells_and_bones_are_asked_for_where_they_may_be_in_the_weight(
    ingredient: str, code: str, table: Table
) -> None:
    codes = [p.code for p in table.read(text_of(ingredient)).problems if p.code in ("bones-counted", "weighed-ready")]
    assert codes == ([code] if code else [])


def test_of_mussels_bought_in_their_shells_a_quarter_is_eaten(table: Table) -> None:
    found = production(table, "mussels: {amount: 1 kg, bought: whole}").source.ingredients[1]
    assert (found.grams, found.as_bought_g) == (250, 1000)
