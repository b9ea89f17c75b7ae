"""A food by a cook's words: found, or a question; never another food."""

from __future__ import annotations

from collections.abc import Callable
from subprocess import CompletedProcess

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.pantry import table
from scriptkit.pantry.food import Composition, Food
from scriptkit.pantry.lookup import Pantry, UnknownFood

PANTRY = Pantry()


def own(name: str, *synonyms: str, kcal: float = 1.0) -> Food:
    return Food(name=name, category="own", source="label", synonyms=synonyms, composition=Composition(energy_kcal=kcal))


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("tomatoes", "tomato"),
        ("tomatos", "tomato"),
        ("zucchini", "courgette"),
        ("courgettes", "courgette"),
        ("eggplant", "aubergine"),
        ("unsalted butter", "butter, unsalted"),
        ("fennel", "fennel bulb"),
        ("scallions", "spring onion"),
        ("cilantro", "coriander leaves"),
        ("Crème fraîche", "creme fraiche"),
    ],
)
def test_found_by_name_or_synonym(words: str, name: str) -> None:
    assert PANTRY.find(words).name == name


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("cauliflour", "cauliflower"),
        ("brocoli", "broccoli"),
        ("zuchini", "courgette"),
        ("onoin", "onion"),
        ("garlick", "garlic"),
        ("spinnach", "spinach"),
        ("parmesean", "parmesan, hard"),
        ("corriander", "coriander leaves"),
        ("unsalted buter", "butter, unsalted"),
        ("chiken thigh", "chicken thigh, skinless"),
        ("rasberries", "raspberries"),
        ("mushroms", "mushroom"),
        ("egplant", "aubergine"),
        ("cinammon", "cinnamon"),
    ],
)
def test_a_misspelling_is_not_found_and_its_food_is_suggested_first(written: str, meant: str) -> None:
    with pytest.raises(UnknownFood) as unknown:
        PANTRY.find(written)
    assert unknown.value.candidates[0] == meant
    assert written in str(unknown.value)


@pytest.mark.parametrize("words", ["xyzzy", "", "  ", "!!", "ladle of the day", "pees"])
def test_what_is_no_food_finds_nothing(words: str) -> None:
    with pytest.raises(UnknownFood):
        PANTRY.find(words)
    assert PANTRY.search(words) == []


def test_a_word_that_means_several_foods_lists_them() -> None:
    with pytest.raises(UnknownFood) as unknown:
        PANTRY.find("butter")
    assert unknown.value.candidates[:2] == ["butter, salted", "butter, unsalted"]


@pytest.mark.parametrize(
    ("words", "first", "not_first"),
    [
        ("mustard", "mustard, dijon", "mustard greens"),
        ("cream", "cream, single", "cream cheese"),
        ("butter", "butter, unsalted", "almond butter"),
        ("onion", "onion", "spring onion"),
        ("cream sour", "sour cream", "cream, single"),
        ("mush", "mushroom", "mushroom, canned"),
    ],
)
def test_a_kind_of_it_comes_before_what_only_has_its_name(words: str, first: str, not_first: str) -> None:
    found = PANTRY.search(words, most=200)
    assert first in found
    assert not_first not in found or found.index(first) < found.index(not_first)


def test_an_own_food_hides_the_tables_food_of_that_name_and_only_that() -> None:
    pantry = Pantry([own("Tomatoes", kcal=99)])
    assert pantry.find("tomato").composition.energy_kcal == 99
    assert pantry.find("red tomato").source.startswith("USDA")  # the table's synonym still leads to the table's food
    assert pantry.find("onion") == PANTRY.find("onion")


def test_an_own_food_hides_a_synonym_too_and_its_own_synonyms_lead_to_it() -> None:
    pantry = Pantry([own("harbour squash", "zucchini")])
    assert pantry.find("zucchinis").name == "harbour squash"
    assert pantry.find("courgette").name == "courgette"


def test_a_name_goes_before_another_own_foods_synonym() -> None:
    foods = [own("kelp salt", kcal=1), own("harbour salt", "kelp salt", kcal=2)]
    assert Pantry(foods).find("kelp salt").name == "kelp salt"
    assert Pantry(foods[::-1]).find("kelp salt").name == "kelp salt"


def test_an_own_food_is_suggested() -> None:
    with pytest.raises(UnknownFood) as unknown:
        Pantry([own("samphire pickle")]).find("samfire pickle")
    assert unknown.value.candidates[0] == "samphire pickle"


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30))
def test_any_words_find_a_food_or_raise_with_names_that_do(words: str) -> None:
    try:
        PANTRY.find(words)
    except UnknownFood as unknown:
        assert len(unknown.candidates) == len(set(unknown.candidates)) <= 4
        for name in unknown.candidates:
            assert PANTRY.find(name).name == name


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(table.food_rows())), st.integers(1, 30))
def test_search_keeps_to_its_limit_and_finds_the_whole_name(name: str, most: int) -> None:
    found = PANTRY.search(name, most=most)
    assert len(found) <= most
    assert name in PANTRY.search(name, most=200)


def test_the_card_of_a_food_leaves_out_what_is_not_known_of_it(run: Callable[..., CompletedProcess[str]]) -> None:
    """Of hearts of artichoke, canned, there is no other name, and nothing of a can is discarded."""
    bare, full = run("food", "artichoke canned heart").stdout, run("food", "olive oil").stdout
    assert "also called" in full and "also called" not in bare
    assert "trimmings" in full and "trimmings" not in bare


@pytest.mark.parametrize(
    ("written", "meant"),
    [("grated cheddar", ["cheddar"]), ("finely chopped leeks", ["leek"]), ("freshly chopped gravel", [])],
)
def test_how_a_food_is_cut_before_its_name_leaves_the_food(written: str, meant: list[str]) -> None:
    assert PANTRY.suggest(written)[:1] == meant
