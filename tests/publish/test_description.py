"""The description and the pinned comment: what stands in them, and what is given up where a platform takes no more."""

from __future__ import annotations

import re

import pytest
from conftest import EXAMPLES, Table
from publications import GOOD, files_of, of_example, published

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.rounding import print_one
from scriptkit.papers.files import publish_files
from scriptkit.papers.recipe_card import card_of
from scriptkit.problems import Problem, Severity
from scriptkit.publish.platform_text import LONGEST_DESCRIPTION, platform_safe
from scriptkit.publish.publication import caution_lines, caution_summary
from scriptkit.recipe.reader import read_source

LINE = "Follow your local food code; ask a licensed professional"


def described(table: Table, text: str) -> tuple[str, list[Problem]]:
    files, problems = publish_files(published(table.dish(text)))
    return files["description.txt"], problems


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_description_has_its_parts_and_is_taken(path: object) -> None:
    source = read_source(str(path)).usable()
    publication = published(source)
    text = publish_files(publication)[0]["description.txt"]
    row = print_one(publication.eaten)
    for part in (
        source.name, source.promise, publication.serving_words, f"net carbs {row.text('net_carbs_g')} g", in_kitchen_words(Basis.US.meaning, source.units),
        "INGREDIENTS", "METHOD", "CHAPTERS\n0:00 ", "ALLERGENS\nAllergens, US list: ", "Allergens, EU list: ", LINE,
    ):  # fmt: skip
        assert part in text
    assert len(text) <= len(text.encode("utf-8")) <= LONGEST_DESCRIPTION
    assert "<" not in text
    assert ">" not in text
    assert "\n\n\n" not in text


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_it_leads_with_net_carbs_protein_and_energy_as_the_card_prints_them(path: object) -> None:
    publication = published(read_source(str(path)).usable())
    text = publish_files(publication)[0]["description.txt"]
    plate = card_of(publication).plate
    lead = next(line for line in text.split("\n") if line.startswith(("A plate: ", "A serving: ")))
    assert lead.startswith(f"{plate.of.capitalize()}: net carbs {plate.net}")
    assert f"protein {plate.protein}, {plate.energy}" in lead
    assert text.index(lead) < text.index("Makes ") < text.index("INGREDIENTS")
    for low, high in re.findall(r"(\d+\.\d)–(\d+\.\d)", lead):  # 9–12, never 9.0–12.3
        assert float(high) - float(low) <= 2.0


def test_a_step_on_a_page_of_two_dishes_names_its_dish() -> None:
    """Also where the other dish has no caution."""
    publication = published(read_source(str(EXAMPLES / "oven-lunch.yaml")).usable())
    assert {c.dish.short for c in publication.cautions if c.step is not None and c.printed} == {"thighs", "salad"}
    of_one = [c for c in publication.cautions if c.dish.short == "thighs"]
    lines = [*caution_summary(of_one, several=True), *caution_lines(of_one, several=True)]
    assert [line for line in lines if re.match(r"Steps? \d", line)] == []
    assert any(line.startswith("Thighs, step 1") for line in lines)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_its_cautions_are_five_lines_at_most_and_leave_none_out(path: object) -> None:
    publication = published(read_source(str(path)).usable())
    several = len(publication.parts) > 1
    lines = caution_summary(publication.cautions, several=several)
    assert 1 <= len(lines) <= 5
    assert lines[-1].startswith("Follow your local food code")
    of_steps = [c for c in publication.cautions if c.step is not None]
    each = caution_lines(of_steps, {c.rule.id for c in of_steps}, several=several)
    whole = " ".join(lines)
    assert all(c.printed in whole for c in publication.cautions if c.step is None)
    assert [line for line in each if line.split(": ", 1)[-1] not in whole and line not in whole] == []
    assert "\n".join(["TAKE CARE", *lines]) in publish_files(publication)[0]["description.txt"]


def test_ingredients_stand_in_order_of_use_in_metric_and_us() -> None:
    text = files_of(of_example("fennel-bisque.yaml").source)["description.txt"]
    assert (
        text.index("43 g (3 tbsp) unsalted butter")
        < text.index("602 g (about 3 ¾ cups) celeriac")
        < text.index("20 g (0.7 oz)")
    )


def test_what_the_file_says_of_serving_links_and_video(table: Table) -> None:
    text, problems = described(
        table,
        """\
        dish: Broth
        served: hot, in warm bowls
        links:
          - {to: "https://example.org/stock?x=1&y=2", text: The stock it starts with}
          - to: https://example.org/kitchen
        servings: 2
        cooked_weight: 480 g
        ingredients: {water: 500 g}
        steps: [{stage: cook, do: Warm it., add: water, wait: 5 min, heat: low, core: 74 °C}]
        """,
    )
    assert "Serve it hot, in warm bowls." in text
    assert "MORE\nThe stock it starts with: https://example.org/stock?x=1&y=2\nhttps://example.org/kitchen\n" in text
    assert "1. Warm it (low heat, 74 °C (165 °F) inside, 5 min)." in text
    assert not [p for p in problems if p.code == "description"]


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        ("do: Warm it to 74 °C., core: 74 °C, wait: 5 min", "Warm it to 74 °C (165 °F) (5 min)."),
        ("do: Warm it to 165°F., core: 74 °C", "Warm it to 74 °C (165 °F)."),
        ("do: Warm it to 74 °C (165 °F) over a low heat for 5 minutes., core: 74 °C, wait: 5 min, heat: low heat", "."),
        (
            "do: Warm it for 5 to 6 minutes., core: 74 °C, wait: 5 min",
            "Warm it for 5 to 6 minutes (74 °C (165 °F) inside).",
        ),
        ("do: Warm it for 15 minutes., wait: 5 min", "Warm it for 15 minutes (5 min)."),
    ],
)
def test_what_the_words_of_a_step_say_is_not_said_behind_them_again(table: Table, keys: str, line: str) -> None:
    head = "dish: Broth\nservings: 2\ncooked_weight: 480 g\ningredients: {water: 500 g}\n"
    text, _ = described(table, head + f"steps: [{{stage: cook, add: water, {keys}}}]\n")
    said = keys.removeprefix("do: ").partition(".,")[0] + "." if line == "." else line
    assert f"\n1. {said}\n" in text


def test_an_estimated_weight_is_marked() -> None:
    text = files_of(of_example("pork-chops.yaml").source)["description.txt"]
    assert "about 301 g a serving" in text or re.search(r"about \d+ g a serving", text)
    assert "is estimated" in text


LONG = """\
dish: Long broth
promise: {promise}
servings: 2
cooked_weight: 900 g
ingredients:
{ingredients}
steps:
{steps}
"""


def long_dish(steps: int, words: int, ingredients: int = 3, promise: str = "Broth.") -> str:
    names = [f"part {n}" for n in range(ingredients)]
    listed = "\n".join(f"  {name}: {{amount: 10 g, food: leek, prep: cut as it comes to hand}}" for name in names)
    rows = "\n".join(
        f'  - {{stage: cook, do: "Stir the pot once. {"And stir it again. " * words}", screen: 12 s, add: [{", ".join(names) if not n else ""}]}}'
        for n in range(steps)
    )
    return LONG.format(promise=promise, ingredients=listed, steps=rows)


def test_what_was_shortened_is_said(table: Table) -> None:
    text, problems = described(table, long_dish(20, 20))
    told = next(p for p in problems if p.code == "description")
    assert told.severity is Severity.NOTE
    assert told.message.endswith("left out: all but the first sentence of each step")
    assert "1. Stir the pot once.\n" in text
    assert "again" not in text
    assert len(text.encode()) <= LONGEST_DESCRIPTION
    assert LINE in text


@pytest.mark.parametrize(("steps", "words", "ingredients"), [(100, 3, 5), (300, 1, 60), (5, 190, 200)])
def test_a_long_recipe_keeps_allergens_cautions_and_macros(
    table: Table, steps: int, words: int, ingredients: int
) -> None:
    text, _ = described(table, long_dish(steps, words, ingredients))
    assert len(text.encode()) <= LONGEST_DESCRIPTION
    assert "net carbs" in text
    assert "ALLERGENS" in text
    assert LINE in text


def test_where_even_that_is_too_long_safety_stays_and_it_is_a_warning(table: Table) -> None:
    rows = "\n".join(
        f"  - {{stage: cook, do: Sear the hake in pan {n}., heat: high, core: 63 °C, add: [hake {n}]}}"
        for n in range(150)
    )
    fish = "\n".join(f"  hake {n} of a long name that goes on and on: {{amount: 10 g, food: hake}}" for n in range(150))
    text, problems = described(
        table,
        f"dish: Many\nservings: 2\ningredients:\n{fish}\nsteps:\n"
        + rows.replace("]}", " of a long name that goes on and on]}"),
    )
    told = [p for p in problems if p.code == "description"]
    assert Severity.WARNING in {p.severity for p in told}
    assert len(text.encode()) <= LONGEST_DESCRIPTION
    assert LINE in text
    assert "fish" in text
    assert "on the recipe card" in text
    assert re.search(
        r"A serving: net carbs \S+ g.*, protein \S+ g, \d+ kcal", text
    )  # what viewers look for stays to the last


def test_a_dinner_of_three_long_dishes_keeps_its_figures(table: Table) -> None:
    """Its lists of ingredients go first: they are in the video."""
    for name in ("one", "two", "three"):
        table.write(
            f"{name}.yaml",
            long_dish(3, 1, 60).replace("Long broth", f"Long broth of the harbour kitchen, number {name}"),
        )
    meal = table.write(
        "meal.yaml", "meal: Dinner\nplates: 2\ndishes: [{dish: one.yaml}, {dish: two.yaml}, {dish: three.yaml}]\n"
    )
    source = read_source(meal).usable()
    files, problems = publish_files(published(source))
    text = files["description.txt"]
    assert len(text.encode()) <= LONGEST_DESCRIPTION
    assert "A plate: net carbs" in text and "ALLERGENS" in text and LINE in text
    told = [p for p in problems if p.code == "description"]
    assert [p.severity for p in told] == [Severity.NOTE] and "left out: " in told[0].message
    assert (
        "The plate: " in text and Basis.US.meaning in text and "three dishes" not in told[0].message
    )  # there are no more


def test_plain_text_keeps_no_bracket_line_end_or_hidden_character() -> None:
    assert platform_safe("a<b>\n0:00 c\u202ed\x00e") == "a‹b› 0:00 c d e"


# --- pinned comment --------------------------------------------------------------------------------------------------


def test_the_pinned_comment_has_every_weight_and_the_basis() -> None:
    publication = of_example("harbour-supper.yaml")
    text = publish_files(publication)[0]["pinned-comment.txt"]
    for part in publication.parts:
        assert f"\n{part.dish.name}, the whole recipe, {part.dish.servings:g} servings:\n" in text
        for line in part.lines:
            assert f"{line.name} {line.grams or 'to taste'}" in text
    assert Basis.US.meaning in text
    assert "CORRECTIONS" not in text


def test_corrections_stand_first_with_their_moment(table: Table) -> None:
    dish = table.dish(
        """\
        dish: Broth
        servings: 2
        corrections:
          - {at: "3:10", text: It is 5 g of salt.}
          - {at: "2:05", text: It is 20 g of mustard and not 30 g.}
          - Two hundred degrees, not three hundred.
        ingredients: {water: 500 g}
        steps: [{stage: cook, do: Warm it., add: water}]
        """
    )
    text = files_of(dish)["pinned-comment.txt"]
    assert text.startswith(
        "Broth\n\nCORRECTIONS\nAt 2:05: It is 20 g of mustard and not 30 g.\nAt 3:10: It is 5 g of salt.\nTwo hundred degrees, not three hundred.\n"
    )


UNFILMED = """\
        dish: Leek soup
        short: soup
        servings: 2
        ingredients: {leek: 300 g, mustard: {amount: 20 g, food: "mustard, wholegrain"}, water: 400 ml}
        steps:
          - {id: stir, stage: cook, do: Stir in the mustard., add: [water, mustard], vessel: stock pot, unfilmed: [mustard], screen: 12 s}
          - {id: slice, stage: prep, do: Slice the leek., uses: leek, screen: 12 s}
          - {id: simmer, stage: cook, do: Simmer., add: leek, vessel: stock pot, screen: 12 s}
"""


def test_what_was_accepted_as_not_filmed_is_told_with_the_number_that_the_method_counts(table: Table) -> None:
    files = publish_files(published(table.dish(UNFILMED)))[0]
    line = "Not in the picture: 20 g wholegrain mustard, in the pot at step 2."  # prep stands first in the method
    assert "2. Stir in the mustard." in files["description.txt"]
    assert f"NOT SHOWN\n{line}\n" in files["description.txt"]
    assert f"CORRECTIONS\n{line}\n" in files["pinned-comment.txt"]
    nothing = publish_files(published(table.dish(UNFILMED.replace("unfilmed: [mustard], ", ""))))[0]
    assert "NOT SHOWN" not in nothing["description.txt"]
    assert "CORRECTIONS" not in nothing["pinned-comment.txt"]


def test_a_figure_that_is_at_least_so_much_says_what_it_lacks(table: Table) -> None:
    text, _ = described(table, 'dish: D\nservings: 2\ningredients: {cream: {amount: 60 g, food: "coconut, creamed"}}\n')
    assert "≥ means at least, and unknown is not zero: a table lacks a figure of cream.\n" in text
    assert "≥" not in files_of(of_example("fennel-bisque.yaml").source)["description.txt"]
