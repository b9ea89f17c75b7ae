"""How many a source says that it serves, held against what it prints of a serving."""

from __future__ import annotations

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.drafting.yield_check import yield_in_doubt


def test_what_is_counted_is_a_serving_where_the_dish_is_called_so() -> None:
    for serves, title, sure in (
        ("12 croissants", "Almond croissants", True), ("2 loaves", "Two quay loaves", False), ("8 jars", "Jars of chutney", False),
    ):  # fmt: skip
        text = draft(RawRecipe(name=title, serves=serves, ingredients=("1 egg",), steps=("Boil the egg.",))).text
        assert ("unsure: {servings: " in text) is not sure


def test_a_yield_that_cannot_be_is_a_question() -> None:
    """300 g of butter have 2,151 kcal (SR28 01145): of 4 servings 538, of 10 the printed 215."""
    for kcal, asked in ((215, True), (500, False), (900, True), (60, True)):
        raw = RawRecipe(
            name="Butter",
            serves="4",
            ingredients=("300 g butter",),
            steps=("Melt it.",),
            nutrition=(("energy_kcal", kcal),),
        )
        text = draft(raw).text
        assert ("unsure: {servings: 0.5" in text) is asked
    assert "these lines make 538 kcal: that fits 36 servings" in text


def test_figures_that_contradict_themselves_question_nothing() -> None:
    printed = {"energy_kcal": 2.0, "fat_g": 40.0, "protein_g": 10.0, "carbohydrate_g": 10.0}
    assert yield_in_doubt(2000, 4, printed) == "" and yield_in_doubt(2000, 4, {"energy_kcal": 100.0})


def test_of_a_range_the_number_that_the_printed_energy_is_of() -> None:
    """300 g of butter have 2,151 kcal (SR28 01145)."""
    for serves, kcal, wanted in (
        ("4-6 servings", 430, "servings: 5\n#"),
        ("6 to 8", 270, "servings: 8\n#"),
        ("4-6", 100, "servings: 4\nunsure"),
        ("2 -3", 0, "servings: 2\nunsure"),
    ):
        raw = RawRecipe(
            name="Butter",
            serves=serves,
            ingredients=("300 g butter",),
            steps=("Melt it.",),
            nutrition=(("energy_kcal", kcal),),
        )
        assert wanted in draft(raw).text.replace("\nas_published", "\n# as_published"), serves
