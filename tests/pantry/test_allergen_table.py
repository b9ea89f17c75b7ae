"""The allergen tables: every food of the pantry classified, in words that the lists know."""

from __future__ import annotations

import csv

import pytest
from conftest import ROOT

from scriptkit.pantry.allergens import ANY, NONE, allergen_word, allergens, held, held_by
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.table import food_rows

TABLE = ROOT / "scriptkit" / "pantry" / "allergens.csv"


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_food_has_one_row_in_the_foods_order_and_no_row_is_left_over() -> None:
    assert [row["food"] for row in rows()] == list(food_rows())
    assert list(held()) == list(food_rows())


def test_rows_use_only_words_that_a_list_knows() -> None:
    for row in rows():
        contains, may = row["contains"].split(";"), list(filter(None, row["may_contain"].split(";")))
        assert contains == [NONE] or set(contains) <= set(allergens()), row
        assert set(may) <= {*allergens(), ANY}, row
        assert not set(contains) & set(may), row
        assert len(set(contains)) == len(contains), row
        assert len(set(may)) == len(may), row


@pytest.mark.parametrize(
    ("category", "allergen"), [("dairy", "milk"), ("cheese", "milk"), ("egg", "eggs"), ("fish", "fish")]
)
def test_a_category_that_is_an_allergen(category: str, allergen: str) -> None:
    of_it = [name for name, row in food_rows().items() if row["category"] == category]
    assert len(of_it) >= 10
    assert [name for name in of_it if allergen not in held_by(name).contains] == []


def test_shellfish_are_crustaceans_or_molluscs() -> None:
    of_it = [held_by(name).contains for name, row in food_rows().items() if row["category"] == "shellfish"]
    assert set(of_it) == {("crustaceans",), ("molluscs",)}


@pytest.mark.parametrize("category", ["herb", "beef", "veal", "lamb", "pork", "poultry", "game", "offal"])
def test_a_category_that_holds_none(category: str) -> None:
    of_it = [name for name, row in food_rows().items() if row["category"] == category]
    assert of_it
    assert [name for name in of_it if held_by(name).contains or held_by(name).may_contain] == []


WORDS_OF_A_NAME = {
    "almond": "almonds", "walnut": "walnuts", "hazelnut": "hazelnuts", "cashew": "cashews", "pecan": "pecans",
    "pistachio": "pistachios", "macadamia": "macadamias", "peanut": "peanuts", "groundnut": "peanuts", "sesame": "sesame",
    "soya": "soya", "soy": "soya", "tofu": "soya", "miso": "soya", "mustard": "mustard", "celery": "celery", "lupin": "lupin",
    "wheat": "wheat", "bulgur": "wheat", "couscous": "wheat", "spelt": "wheat", "barley": "barley", "rye": "rye",
    "oat": "oats", "cream": "milk", "butter": "milk", "milk": "milk", "egg": "eggs", "oyster": "molluscs", "crab": "crustaceans",
    "prawn": "crustaceans", "wine": "sulphites", "coconut": "coconut", "fish": "fish", "anchovies": "fish",
}  # fmt: skip
NAMED_AFTER_ANOTHER_FOOD = {
    "plant-based butter", "almond milk, unsweetened", "almond butter", "coconut milk", "coconut cream", "soya milk, unsweetened", "rice milk, unsweetened",
    "peanut butter", "peanut butter, crunchy", "peanut butter, unsalted", "cocoa butter", "butter beans, canned, with liquid",
    "butter beans, cooked", "butter beans, dried", "cream of tartar", "cream of coconut, sweetened", "egg roll wrappers",
    "cashew butter", "hazelnut butter", "macadamia butter", "sunflower seed butter", "coconut yoghurt", "mushroom, oyster", "crab sticks", "soya bean oil", "creme fraiche", "milk, whole",
}  # fmt: skip


def test_what_a_name_says_is_in_it() -> None:
    wrong = []
    for food in set(food_rows()) - NAMED_AFTER_ANOTHER_FOOD:
        named = food.replace(",", " ").split()
        for word, allergen in WORDS_OF_A_NAME.items():
            if (word in named or f"{word}s" in named) and allergen not in held_by(food).contains:
                wrong.append((food, word))
    assert wrong == []


def test_the_food_of_the_pantry_carries_its_row() -> None:
    cube = Pantry().find("fish stock cube")
    assert cube.allergens == ("fish",)
    assert "crustaceans" in cube.may_contain
    assert cube.check_label
    carrot = Pantry().find("carrot")
    assert (carrot.allergens, carrot.may_contain, carrot.check_label) == ((), (), False)


@pytest.mark.parametrize(
    ("written", "word"),
    [("Milk", "milk"), ("dairy", "milk"), ("soy", "soya"), ("Eggs", "eggs"), ("tree nuts", "nuts"), ("sulfites", "sulphites"),
     ("Brazil nut", "brazil nuts"), ("cereals containing gluten", "gluten"), ("milke", None), ("shellfish", None), ("", None)],
)  # fmt: skip
def test_a_label_is_read_in_its_own_words(written: str, word: str | None) -> None:
    assert allergen_word(written) == word


def test_no_word_stands_for_two_allergens() -> None:
    named = [name.casefold() for a in allergens().values() for name in (a.word, *a.also_called)]
    assert len(named) == len(set(named))
