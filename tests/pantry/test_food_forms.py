"""The form word chooses between foods of one name; what it does not settle stays a question."""

from __future__ import annotations

import csv

import pytest
from conftest import ROOT, Table

from scriptkit.pantry.lookup import Pantry, UnknownFood

PANTRY = Pantry()
DISH = """\
dish: Bacon of the quay
servings: 2
cooked_weight: 150 g
ingredients: {diced bacon: 200 g, pepper: to taste}
steps: [{stage: cook, do: Fry the bacon., add: {diced bacon: all, pepper: all}}]
"""


@pytest.mark.parametrize(
    ("name", "prep", "unit", "food"),
    [
        ("basil", "chopped", "tablespoon", "basil, fresh"),
        ("basil", "", "bunch", "basil, fresh"),
        ("basil", "rubbed", "teaspoon", "basil, dried"),
        ("oregano", "dried", "teaspoon", "oregano, dried"),
        ("thyme", "", "sprig", "thyme, fresh"),
        ("ginger", "grated", "teaspoon", "ginger, fresh"),
        ("ginger", "ground", "teaspoon", "ginger, ground"),
        ("parmesan", "grated", "cup", "parmesan, grated"),
        ("parmesan", "grated", "gram", "parmesan, hard"),  # weighed, it is still the block
        ("chicken stock", "homemade", "millilitre", "chicken stock, homemade"),
        ("butter", "unsalted, melted", "gram", "butter, unsalted"),
        ("tomatoes", "", "can", "tomatoes, canned"),
        ("mozzarella", "torn", "gram", "mozzarella, fresh"),
        ("tuna", "in brine", "can", "tuna in brine"),
        ("onion", "chopped", "cup", "onion"),
        ("pepper", "", "to taste", "pepper, black"),
        ("pepper", "", "teaspoon", "pepper, black"),
        ("ground pepper", "", "pinch", "pepper, black"),
        ("bacon", "", "gram", "bacon, streaky"),
        ("bacon", "diced", "gram", "bacon, streaky"),
        ("diced bacon", "", "gram", "bacon, streaky"),
        ("bacon", "back", "gram", "bacon, back"),
        ("bacon", "cut in lardons", "gram", "lardons"),
    ],
)
def test_the_form_chooses(name: str, prep: str, unit: str, food: str) -> None:
    by_volume = unit in ("tablespoon", "teaspoon", "cup", "millilitre")
    assert PANTRY.meant(name, prep=prep, unit=unit, by_volume=by_volume).food.name == food


@pytest.mark.parametrize("name", ["basil", "pepper", "chicken stock", "butter", "tuna", "ginger"])
def test_without_a_form_it_stays_a_question(name: str) -> None:
    with pytest.raises(UnknownFood):
        PANTRY.meant(name)
    with pytest.raises(UnknownFood):
        PANTRY.meant(name, prep="washed", unit="gram", beside={"onion"})


def test_pepper_beside_salt_is_black_pepper_and_says_why() -> None:
    meant = PANTRY.meant("pepper", beside={"salt"})
    assert (meant.food.name, meant.because) == ("pepper, black", "beside salt")
    assert PANTRY.meant("black pepper").because == ""


def test_what_the_trade_takes_where_nothing_says_which_is_told(table: Table) -> None:
    assert PANTRY.meant("bacon", prep="diced").because == "where nothing says which"
    assert PANTRY.meant("bacon", prep="back").because == PANTRY.meant("streaky bacon").because == ""
    assert PANTRY.meant("pepper", unit="to taste").because == "to taste"
    reading = table.read(DISH)
    assert {(i.key, i.food.name) for i in reading.usable().ingredients} == {
        ("diced bacon", "bacon, streaky"),
        ("pepper", "pepper, black"),
    }
    assert [p.message for p in reading.problems if p.code == "food-by-form"] == [
        "“diced bacon”, where nothing says which, is taken as bacon, streaky",
        "“pepper”, to taste, is taken as pepper, black",
    ]


def test_every_row_of_the_table_leads_to_a_food() -> None:
    with (ROOT / "scriptkit" / "pantry" / "food_forms.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        assert PANTRY.known(row["food"]) is not None, row
        assert row["when"].partition(":")[0] in ("beside", "prep", "unit", "else"), row
