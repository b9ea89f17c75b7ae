"""Recipes in other languages: numbers and units are read, foods are unknown, and that is said."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.drafting.draft import draft
from scriptkit.drafting.languages import in_our_units, language_of
from scriptkit.drafting.raw_recipe import RawRecipe

LINES = {
    "German": (
        ("500 g Lauch", "2 EL Butter", "1/2 TL Salz", "1,5 l Brühe", "3 Zehen Knoblauch"),
        "Den Lauch in der Butter dünsten und mit der Brühe ablöschen.",
    ),
    "French": (
        ("500 g de poireaux", "2 cuillères à soupe de beurre", "20 cl de crème", "1 pincée de sel"),
        "Faire fondre les poireaux dans le beurre avec une pincée de sel.",
    ),
    "Spanish": (
        ("500 g de puerros", "2 cucharadas de mantequilla", "1 diente de ajo"),
        "Pochar los puerros en la mantequilla con el ajo.",
    ),
    "Italian": (
        ("500 g di porri", "2 cucchiai di olio", "1 spicchio di aglio"),
        "Cuocere i porri con il burro e l'aglio al fuoco fino alla fine.",
    ),
}


@pytest.mark.parametrize("language", LINES)
def test_the_language_is_told_and_no_food_is_guessed(language: str, table: Table) -> None:
    lines, step = LINES[language]
    made = draft(RawRecipe(name="Quay soup", serves="4", ingredients=lines, steps=(step,)))
    assert any(language in remark for remark in made.remarks)
    reading = table.read(made.text)
    assert not [p for p in reading.problems if p.severity == "error"]
    assert all(i.doubt is not None and i.doubt.food == 0 for i in reading.usable().ingredients)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "language", "wanted"),
    [
        ("2 EL Butter", "German", "2 tbsp Butter"), ("1 Prise Muskat", "German", "1 pinch Muskat"), ("1,5 l Brühe", "German", "1.5 l Brühe"),
        ("2 c. à s. de crème", "French", "2 tbsp crème"), ("1 cuillère à café de sel", "French", "1 tsp sel"), ("20 cl de lait", "French", "20 cl lait"),
        ("2 colheres de sopa de azeite", "Portuguese", "2 tbsp azeite"), ("3 dl mjölk", "Swedish", "3 dl mjölk"), ("salz", "German", "salz"),
    ],
)  # fmt: skip
def test_units_of_other_languages(line: str, language: str, wanted: str) -> None:
    assert in_our_units(line, language) == wanted


def test_english_is_no_other_language() -> None:
    for texts in (
        ["1 cup flour", "2 tbsp butter"],
        ["3 leeks"],
        [],
        ["100 g crème fraîche", "Fry the leeks in the butter and the cream."],
        ["1 jar salsa de la casa", "Warm the salsa."],
    ):
        assert language_of(texts) == ""


def test_more_than_a_file_takes_is_left_out_and_said(table: Table) -> None:
    made = draft(
        RawRecipe(
            name="Many",
            serves="4",
            ingredients=tuple(f"{n} g flour" for n in range(1, 10_001)),
            steps=("Mix the leeks.",),
        )
    )
    assert made.remarks == ("it has 10000 lines of ingredients, and a dish file takes 200: the rest are left out",)
    assert not [p for p in table.read(made.text).problems if p.severity == "error"]


def test_several_recipes_are_a_choice() -> None:
    made = draft(RawRecipe(name="Quay pie", ingredients=("300 g leeks",), steps=("Bake.",), others=("Harbour salad",)))
    assert made.remarks == ("the file also has Harbour salad: `--recipe NAME` drafts another",)
