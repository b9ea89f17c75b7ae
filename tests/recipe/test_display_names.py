"""What an ingredient is called: the cook's own words, and the food where those are only a short key."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.measure.amounts import parse_amount
from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.display_names import in_natural_order, names_of
from scriptkit.recipe.reader import read_source

TRAYBAKE = """\
dish: Chicken on leeks
servings: 4
cooked_weight: 1 kg
ingredients:
  chicken: {amount: 800 g, food: "chicken thigh, with skin"}
  oil: {amount: 2 tbsp, food: olive oil}
  lemon: {amount: 3 tbsp, food: lemon juice}
  eggs: {amount: 4 large, food: egg}
steps:
  - {id: roast, stage: cook, do: Roast it., add: [chicken, oil, lemon, eggs], vessel: tin, hands: 4 min, screen: 20 s, say: "{chicken}."}
"""


@pytest.mark.parametrize(
    ("key", "food", "amount", "whole", "short"),
    [
        ("butter", "butter, unsalted", "50 g", "unsalted butter", "butter"),
        ("chicken", "chicken thigh, with skin", "800 g", "chicken thighs with skin", "chicken thighs"),
        ("chicken", "chicken thigh, with skin", "110 g", "chicken thigh with skin", "chicken thigh"),
        ("chops", "pork loin chop", "220 g", "pork loin chops", "chops"),
        ("lemon", "lemon juice", "2 tbsp", "lemon juice", "lemon juice"),
        ("beef", "beef, short ribs, boneless", "1 kg", "boneless beef short ribs", "beef short ribs"),
        ("yoghurt", "yoghurt, greek", "200 g", "Greek yoghurt", "yoghurt"),
        ("fennel", "fennel bulb", "2 bulbs", "fennel", "fennel"),
        ("egg", None, "4 large", "eggs", "eggs"),
        ("egg", None, "1 large", "egg", "egg"),
        ("frying_oil", "olive oil", "2 tbsp", "frying oil", "frying oil"),
        ("double cream", "cream, double", "100 ml", "double cream", "double cream"),
        ("hake", "cod", "500 g", "hake", "hake"),
    ],
)
def test_two_names(key: str, food: str | None, amount: str, whole: str, short: str) -> None:
    assert names_of(key, food, parse_amount(amount), "") == (whole, short)


def test_what_the_cut_says_already_is_not_said_twice() -> None:
    assert in_natural_order("capers, drained", known="drained") == "capers"
    assert in_natural_order("pork chop, raw") == "pork chop"


def test_two_that_would_be_called_alike_keep_the_words_of_the_file(table: Table) -> None:
    dish = table.dish(
        "dish: Oil twice\nservings: 2\ningredients:\n  oil: {amount: 2 tbsp, food: olive oil}\n  olive oil: 1 tbsp\n"
        "steps: [{stage: cook, do: Heat it., add: [oil, olive oil]}]\n"
    )
    assert [i.display_name for i in dish.ingredients] == ["oil", "olive oil"]


def test_no_paper_has_a_bare_key(table: Table) -> None:
    """The script alone says what the cook wrote to be said."""
    pack = make_pack(Production(table.read(TRAYBAKE))).files
    for name in ("labels.html", "mise-en-place.html", "recipe-card.html", "description.txt", "pinned-comment.txt"):
        assert "chicken thighs with skin" in pack[name], name
    for name in ("shoot-list.html", "files/overlays.srt"):
        assert "chicken thighs" in pack[name].casefold(), name
    for name in ("shoot-list.html", "files/overlays.srt", "labels.html", "mise-en-place.html"):
        assert "emon juice" in pack[name], name
        assert "eggs" in pack[name].casefold(), name


def test_the_examples_are_called_as_on_their_packets() -> None:
    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    assert isinstance(dish, Dish)
    assert {i.key: i.display_name for i in dish.ingredients} == {
        "celeriac": "celeriac", "fennel": "fennel", "butter": "unsalted butter", "stock": "homemade fish stock",
        "cream": "single cream", "mustard": "wholegrain mustard", "chives": "chives", "salt": "salt",
    }  # fmt: skip
