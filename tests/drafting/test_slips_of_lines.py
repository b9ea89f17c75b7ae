"""Lines as they stand on pages: a noun said once for two, a size behind, a lost space, how it is cut between its words; each with a harmless twin."""

from __future__ import annotations

import pytest

from scriptkit.drafting.food_matching import SURE, FoodMatcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.pantry.lookup import Pantry

PANTRY = Pantry()
READER = LineReader(FoodMatcher(PANTRY))


def read(line: str) -> DraftIngredient:
    """The one ingredient of the line."""
    ((_, (found,)),) = READER.read_all([line])
    return found


def food(one: DraftIngredient) -> str:
    known = PANTRY.known(one.food or one.name)
    return "" if known is None else known.name


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("2 tbsp lemon or lime juice", "lemon juice"), ("1 tsp garlic or onion powder", "garlic powder"), ("1 tbsp lemon or orange zest", "lemon zest"),
        ("3 ¾ cups turkey or chicken broth or stock", "chicken stock, ready-made"), ("1 cup apple or orange juice", "apple juice"),
        # twins: the noun is the other's alone
        ("2 tbsp butter or olive oil", "butter, unsalted"), ("2 tbsp butter or almond milk", "butter, unsalted"), ("1 cup honey or maple syrup", "honey"),
        ("1 egg or egg white", "egg"), ("1 tbsp thyme or bay leaves", "thyme, dried"), ("2 cups rice or cauliflower rice", "rice, long-grain white"), ("1 cup milk or heavy cream", "milk, whole"),
    ],
)  # fmt: skip
def test_a_noun_said_once_for_two(line: str, wanted: str) -> None:
    found = read(line)
    assert (food(found), found.food_sure >= SURE, found.amount_sure) == (wanted, True, 1), found
    assert any("also allows" in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("line", "amount", "prep"),
    [
        ("1 Onion (large, yellow, chopped)", "1 large", "chopped"), ("1 carrot (medium)", "1 medium", ""), ("2 onions, large, sliced", "2 large", "sliced"),
        ("1 onion (large ones are too much)", "1", ""), ("1 can (large) chickpeas", "1 can", ""),
    ],
)  # fmt: skip
def test_a_size_behind_the_name_is_its_size(line: str, amount: str, prep: str) -> None:
    found = read(line)
    assert found.prep == prep, found
    assert found.amount == amount or "can" in line


@pytest.mark.parametrize(
    ("line", "wanted", "amount"),
    [("1/2 teaspoonkosher salt", "salt, flaky or coarse", "1/2 tsp"), ("1 teaspoonsalt", "salt", "1 tsp"), ("1 cupful milk", "milk, whole", "1 cup")],
)  # fmt: skip
def test_a_lost_space(line: str, wanted: str, amount: str) -> None:
    assert (food(found := read(line)), found.amount) == (wanted, amount)


def test_cupcakes_are_no_cups() -> None:
    assert read("2 cupcakes").name == "cupcakes"


@pytest.mark.parametrize(
    ("line", "name", "prep"),
    [
        ("1/4 cup fresh chopped parsley", "fresh parsley", "chopped"), ("2 tbsp fresh minced ginger", "fresh ginger", "minced"), ("1 cup fresh shredded parmesan", "fresh shredded parmesan", ""),
        ("6 tbsp butter (measured then melted)", "butter", "measured then melted"), ("30 g basil, roughly torn for garnish", "basil", "roughly torn"), ("50 g almonds, lightly toasted", "almonds", "lightly toasted"),
        ("60 g leek (green leaves only, finely chopped - can sub in spring onion)", "leek", "finely chopped"), ("2 tbsp butter, for frying", "butter", ""),
    ],
)  # fmt: skip
def test_how_it_is_got_ready(line: str, name: str, prep: str) -> None:
    assert ((found := read(line)).name, found.prep) == (name, prep)


@pytest.mark.parametrize(
    ("line", "amount"), [("2 lemon wedges", "1/4"), ("4 lime slices", "1/2"), ("2 thin slices lemon", "1/4"), ("3 wedges of lime", "3/8"), ("2 lemons, in wedges", "2"), ("4 slices bread", "4 slices")]
)  # fmt: skip
def test_a_wedge_of_a_lemon_is_no_lemon(line: str, amount: str) -> None:
    assert read(line).amount == amount or "bread" in line


@pytest.mark.parametrize(
    ("line", "optional"), [("80 g parmesan, grated, plus 1-2 optional rinds (60 g)", False), ("1/4 cup parmesan (optional)", True), ("1/2 lemon, (sliced for garnish (optional))", True)]
)  # fmt: skip
def test_what_is_added_as_optional_makes_the_rest_none(line: str, optional: bool) -> None:
    ((_, (found, *_)),) = READER.read_all([line])
    assert found.optional is optional


def test_a_food_that_a_bracket_tells_the_kinds_of_is_asked() -> None:
    found = read("3 tbsp starch (tapioca or cornstarch)")
    assert food(found) == "tapioca starch" and found.food_sure < SURE
