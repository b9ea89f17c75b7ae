"""The first file of a dish that has only a name: its foods, and nothing that is not marked as a guess."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.drafting.first_recipe import first_recipe, foods_in_name
from scriptkit.production import read_text
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.unconfirmed import unconfirmed

SCHEMA = "# yaml-language-server: $schema=dish.schema.json"


@pytest.mark.parametrize(
    ("name", "foods"),
    [
        ("Cod with leeks", ["cod", "leeks"]), ("Lemon chicken", ["lemon", "chicken"]), ("Fennel and celeriac bisque", ["fennel", "celeriac"]),
        ("Mussels in cream", ["mussels", "cream"]), ("Bread without butter", ["bread"]), ("Gluten-free oat biscuits", ["oat"]),
        ("Apple and blackberry crumble", ["apple", "blackberry"]), ("Harbour supper", []), ("", []), ("½ & ½", []), ("Aubergine, courgette and tomato stew", ["aubergine", "courgette", "tomato"]),
    ],
)  # fmt: skip
def test_the_foods_of_a_name(name: str, foods: list[str]) -> None:
    assert [f.words for f in foods_in_name(name)] == foods


def test_a_first_file_is_ten_lines() -> None:
    assert first_recipe("Cod with leeks", SCHEMA).count("\n") == 10
    assert first_recipe("Cod with leeks and bacon", SCHEMA).count("\n") == 11


@given(
    st.text(max_size=60) | st.sampled_from(["Yes", 'a "b" c', "null", "x: y", "#1 cod", "Salt cod & chips", "{butter}"])
)
def test_any_name_gives_a_file_that_is_read_and_everything_in_it_is_a_guess(name: str) -> None:
    shown = " ".join("".join(c if c.isprintable() else " " for c in name).split()) or "Cod"
    reading = read_text(first_recipe(shown, SCHEMA), "first.yaml").reading
    assert [p for p in reading.problems if p.severity == "error"] == []
    dish = reading.source
    assert isinstance(dish, Dish) and dish.name == shown
    doubted = {called for called, _ in unconfirmed(dish)}
    assert doubted == {"servings", "step “cook”", *(i.name for i in dish.ingredients)}
    assert (dish.promise, dish.steps[0].say) == ("", "")
