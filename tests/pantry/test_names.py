"""Two spellings that a cook means the same by lead to one key; two foods never do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.english.plurals import singular
from scriptkit.pantry import table
from scriptkit.pantry.names import fold, words_of

SAME = [
    ("tomato", "tomatoes", "tomatos", "Tomato ", "TOMATOES"),
    (
        "unsalted butter",
        "butter, unsalted",
        "butter (unsalted)",
        "Unsalted  Butter",
        "butter_unsalted",
        "butter-unsalted",
    ),
    ("crème fraîche", "creme fraiche", "Crème-fraîche", "fraiche creme"),
    ("lamb's lettuce", "lamb’s lettuce", "lettuce, lamb's"),
    ("goat's milk", "milk, goat's", "milk, goat’s"),
    ("bay leaf", "bay leaves", "leaf, bay"),
    ("chilli", "chillies", "chillis"),
    ("kiwi", "kiwis"),
    ("anchovy", "anchovies"),
    ("peach", "peaches"),
    ("radish", "radishes"),
    ("brioche", "brioches"),
    ("quiche", "quiches"),
    ("yoghurt", "yogurt", "yogurts", "yoghurts"),
    ("fibre", "fiber"),
    ("milk, 2% fat", "2% fat milk"),
]

ALREADY_ONE = [
    "asparagus",
    "couscous",
    "hummus",
    "molasses",
    "watercress",
    "bass",
    "lemongrass",
    "swiss",
    "octopus",
]


@pytest.mark.parametrize("spellings", SAME, ids=lambda s: s[0])
def test_spellings_of_one_food_have_one_key(spellings: tuple[str, ...]) -> None:
    assert {fold(s) for s in spellings} == {fold(spellings[0])}


@pytest.mark.parametrize("word", ALREADY_ONE)
def test_a_word_that_only_looks_plural_stays(word: str) -> None:
    assert singular(word) == word


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("pea", "pear"),
        ("bean", "beet"),
        ("salted butter", "unsalted butter"),
        ("milk, 1% fat", "milk, 2% fat"),
        ("oat", "goat"),
    ],
)
def test_different_foods_stay_apart(one: str, other: str) -> None:
    assert fold(one) != fold(other)


def test_folding_is_settled_after_once() -> None:
    """A key can be looked up as if it were a name."""
    assert [key for key in table.index() if fold(key) != key] == []


@given(st.sampled_from(sorted(table.food_rows())), st.randoms())
def test_word_order_case_and_commas_do_not_count(name: str, random: object) -> None:
    words = name.replace(",", " ").replace("(", " ").replace(")", " ").split()
    random.shuffle(words)  # type: ignore[attr-defined]
    assert fold(" ".join(words).upper()) == fold(name)


@given(st.text(max_size=60))
def test_any_text_folds_to_plain_words(name: str) -> None:
    assert fold(name) == " ".join(sorted(words_of(name)))
    assert "," not in fold(name) and "_" not in fold(name)
