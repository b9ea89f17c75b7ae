"""The two lists of allergens against the texts that they come from, and foods whose answer is printed there.

US: FALCPA 2004 (Pub. L. 108-282, §203) and FASTER Act 2021; EU: Regulation (EU) 1169/2011, Annex II. Q: as quoted in the check values;
M: from memory.
"""

from __future__ import annotations

import pytest

from scriptkit.pantry.allergens import allergens, held, held_by

US_NINE = {"milk", "egg", "fish", "crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame"}  # Q
EU_FOURTEEN = {  # Q
    "cereals containing gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk", "nuts", "celery", "mustard", "sesame",
    "sulphites", "lupin", "molluscs",
}  # fmt: skip
EU_NUTS = {
    "almonds",
    "hazelnuts",
    "walnuts",
    "cashews",
    "pecans",
    "brazil nuts",
    "pistachios",
    "macadamias",
}  # Annex II, 8: M
EU_CEREALS = {"wheat", "rye", "barley", "oats"}  # Annex II, 1, with spelt and khorasan wheat: M


def test_nine_and_fourteen() -> None:
    assert {a.us for a in allergens().values() if a.us} == US_NINE
    assert {a.eu for a in allergens().values() if a.eu} == EU_FOURTEEN


def test_what_the_lists_hold_apart() -> None:
    only_eu = {a.word for a in allergens().values() if a.eu and not a.us}
    assert only_eu == {"molluscs", "rye", "barley", "oats", "celery", "mustard", "lupin", "sulphites"}
    only_us = {a.word for a in allergens().values() if a.us and not a.eu}
    assert only_us == {"pine nuts"}  # FDA guidance of January 2025, M
    assert {a.word for a in allergens().values() if not a.us and not a.eu} == {"coconut", "chestnuts"}  # the same, M


def test_the_nuts_and_the_cereals_of_the_eu() -> None:
    assert {a.word for a in allergens().values() if a.eu == "nuts"} - {"nuts"} == EU_NUTS
    assert {a.word for a in allergens().values() if a.eu == "cereals containing gluten"} - {"gluten"} == EU_CEREALS


def test_every_allergen_of_a_list_is_in_some_food_of_the_pantry() -> None:
    there = {word for food in held().values() for word in food.contains}
    assert set(allergens()) <= there


@pytest.mark.parametrize(
    ("food", "contains"),
    [
        ("spelt", {"wheat"}), ("semolina", {"wheat"}), ("malt extract", {"barley"}), ("beer", {"barley"}), ("butter, unsalted", {"milk"}),
        ("ghee", {"milk"}), ("cuttlefish", {"molluscs"}), ("snails", {"molluscs"}), ("langoustine", {"crustaceans"}),
        ("worcestershire sauce", {"fish"}), ("soy sauce", {"soya", "wheat"}), ("tahini", {"sesame"}), ("celeriac", {"celery"}),
        ("celery seeds", {"celery"}), ("red wine", {"sulphites"}), ("marzipan", {"almonds"}), ("pesto", {"milk", "nuts"}),
        ("groundnut oil", {"peanuts"}),  # highly refined it is exempt in the US alone: M
        ("vodka", set()), ("coconut milk", {"coconut"}), ("buckwheat", set()), ("quinoa", set()), ("nutmeg", set()), ("water chestnuts, canned", set()),
        ("butter beans, cooked", set()), ("cream of tartar", set()), ("cocoa butter", set()),
    ],
)  # fmt: skip
def test_foods_whose_answer_is_known(food: str, contains: set[str]) -> None:
    assert set(held_by(food).contains) == contains


def test_fully_refined_soya_oil_is_exempt_on_both_lists_and_is_to_be_checked() -> None:  # FALCPA; Annex II, 6(a): M
    assert held_by("soya bean oil").contains == ()
    assert held_by("soya bean oil").may_contain == ("soya",)


@pytest.mark.parametrize(
    "food",
    ["chicken stock cube", "chocolate, dark, 70%", "frankfurter", "barbecue sauce", "gravy mix, brown", "bread, gluten-free", "worcestershire sauce",
     "curry powder", "margarine, soft", "vegetable stock, ready-made", "sausage, breakfast, pork", "tomato ketchup"],
)  # fmt: skip
def test_compound_foods_say_check_the_label(food: str) -> None:
    assert held_by(food).may_contain
