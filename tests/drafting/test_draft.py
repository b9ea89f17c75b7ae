"""The draft dish file: it reads, every guess is marked, and no text of the source gets out of its place."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

Run = Callable[..., CompletedProcess[str]]

FOUND = RawRecipe(
    name="Harbour pâté",
    promise="A coarse one.",
    serves="Serves 6",
    ingredients=(
        "500 g chicken livers, trimmed",
        "1 onion, finely chopped",
        "100 g butter",
        "60 ml brandy",
        "Salt and pepper",
    ),
    steps=(
        "Chop the onion.",
        "Soften the onion in half the butter in a frying pan over a medium heat for 8 minutes.",
        "Add the livers and fry for 4-5 minutes until 75 °C inside, then pour in the brandy.",
        "Blend with the rest of the butter, then season.",
    ),
    prep_ms=1_200_000,
    author="The kitchen",
)


def test_the_draft_reads_and_says_what_was_guessed(table: Table) -> None:
    made = draft(FOUND, file="page.html")
    dish = table.dish(made.text)
    assert (dish.name, dish.promise, dish.servings) == ("Harbour pâté", "A coarse one.", 6)
    assert [s.stage for s in dish.steps] == ["prep", "cook", "cook", "cook"]
    soften, fry, blend = dish.steps[1:]
    assert (soften.vessel, soften.heat, soften.wait_ms) == ("frying pan", "medium", 480_000)
    assert [(a.ingredient.name, a.words) for a in soften.additions] == [("onion", "all"), ("butter", "half")]
    assert [a.ingredient.name for a in fry.additions] == ["chicken livers", "brandy"]
    assert fry.core_c == 75
    assert [(a.ingredient.name, a.words) for a in blend.additions] == [
        ("butter", "rest"),
        ("salt", "all"),
        ("pepper", "all"),
    ]
    assert "# It says: prep 20 min." in made.text
    assert "The kitchen" in made.text
    assert made.guesses == made.text.count("# check:") >= 6


def test_every_food_that_is_not_certain_has_its_confidence() -> None:
    text = draft(FOUND).text
    butter = next(n for n, line in enumerate(text.split("\n")) if line.startswith("  butter:"))
    assert "# check: food matched with a confidence of 75%   [100 g butter]" in text.split("\n")[butter - 1]


def test_a_food_that_the_pantry_lacks_is_unknown_and_not_zero(table: Table) -> None:
    dish = table.dish(draft(RawRecipe(name="X", ingredients=("5 g rennet",), steps=("Stir it in.",))).text)
    assert dish.ingredients[0].food.composition.energy_kcal is None
    assert dish.ingredients[0].grams == 5


@pytest.mark.parametrize(
    ("serves", "servings", "sure"),
    [
        ("Serves 4", 4, True), ("4 servings", 4, True), ("4", 4, True), ("Makes 2 dozen biscuits", 24, False), ("4-6", 4, False),
        ("", 1, False), ("Sufficient for seven persons", 7, False), ("a large tin", 1, False), ("0", 1, False),
        ("1/0", 1, False),
    ],
)  # fmt: skip
def test_how_many_it_serves(serves: str, servings: float, sure: bool, table: Table) -> None:
    text = draft(RawRecipe(name="X", serves=serves, ingredients=("30 g leek",), steps=("Boil it.",))).text
    assert table.dish(text).servings == servings
    line = next(line for line in text.split("\n") if line.startswith("servings:"))
    assert ("# check:" in line) is not sure


def test_the_same_ingredient_twice_is_two_keys(table: Table) -> None:
    dish = table.dish(
        draft(
            RawRecipe(
                name="X", ingredients=("30 g butter", "20 g butter", "1 tsp salt"), steps=("Mix all the ingredients.",)
            )
        ).text
    )
    assert [(i.key, i.food.name) for i in dish.ingredients][:2] == [
        ("butter", "butter, unsalted"),
        ("butter 2", "butter, unsalted"),
    ]
    assert len(dish.steps[0].additions) == 3


def test_a_recipe_without_a_method(table: Table) -> None:
    made = draft(RawRecipe(name="X", ingredients=("30 g leek",)))
    assert table.dish(made.text).steps == ()
    assert "# check: it gives no method" in made.text


def test_headings_alone_are_no_recipe() -> None:
    with pytest.raises(NoRecipe):
        draft(RawRecipe(name="X", ingredients=("For the dressing:", "***")))


EVIL = "x\n# forged: 1\n  salt: 1 g\n\"}{[]&*!|>'%@` - ? : \t\u2028\u202e\x00</script> yes"


def test_hostile_text_stays_text(table: Table) -> None:
    made = draft(
        RawRecipe(name=EVIL, promise=EVIL, serves=EVIL, ingredients=(EVIL, f"2 cups {EVIL}", "no", "30 g leek, yes", "null"), steps=(EVIL, "~"), author=EVIL, address=EVIL, energy=EVIL),
        file=EVIL,
    )  # fmt: skip
    reading = table.read(made.text)
    assert isinstance(reading.source, Dish)
    assert not [p for p in reading.problems if p.code in ("yaml", "unknown-key", "duplicate-key", "type")]
    assert "forged" not in [i.key for i in reading.source.ingredients]
    assert reading.source.name.startswith("x # forged: 1 salt: 1 g")
    assert len(reading.source.steps) == 2
    assert all(c.isprintable() or c == "\n" for c in made.text)


@settings(max_examples=20)
@given(
    st.text(max_size=60),
    st.lists(
        st.text(min_size=1, max_size=60) | st.sampled_from(["2 eggs", "1 cup flour", "salt"]), min_size=1, max_size=6
    ),
    st.lists(st.text(max_size=120), max_size=4),
)
def test_any_recipe_becomes_a_file_that_is_a_dish(name: str, ingredients: list[str], steps: list[str]) -> None:
    import tempfile

    made = draft(RawRecipe(name=name, ingredients=("1 egg", *ingredients), steps=tuple(steps)))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "dish.yaml"
        path.write_text(made.text, encoding="utf-8", errors="replace")
        reading = read_source(str(path))
    assert isinstance(reading.source, Dish)
    allowed = {"no-weight", "which-weight", "absurd-amount", "amount", "unit"}
    assert {p.code for p in reading.problems if p.severity == "error"} <= allowed


# --- the command -----------------------------------------------------------------------------------------------------


def saved_page(recipe: dict[str, object]) -> str:
    return f'<html><head><script type="application/ld+json">{json.dumps(recipe)}</script></head></html>'


PAGE = saved_page(
    {"@type": "Recipe", "name": "Harbour leeks", "recipeYield": "4", "recipeIngredient": ["300 g leeks", "30 g butter"], "recipeInstructions": ["Soften the leeks in the butter."]}
)  # fmt: skip


def test_new_from_a_page(run: Run, table: Table) -> None:
    done = run("new", "--from", table.write("page.html", PAGE))
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("wrote harbour-leeks.yaml: 2 ingredients, 1 steps; ")
    assert "guesses to confirm" in done.stdout
    assert run("check", "harbour-leeks.yaml").returncode in (0, 1)
    assert run("macros", "harbour-leeks.yaml").returncode == 0
    assert run("pack", "harbour-leeks.yaml", "-o", "pack").returncode in (0, 1)


def test_a_name_and_a_file_of_ones_own(run: Run, table: Table, tmp_path: Path) -> None:
    assert run("new", "Quay leeks", "--from", table.write("page.html", PAGE), "-o", "mine.yaml").returncode == 0
    assert "dish: Quay leeks\n" in (tmp_path / "mine.yaml").read_text(encoding="utf-8")


def test_never_over_another_file(run: Run, table: Table, tmp_path: Path) -> None:
    table.write("harbour-leeks.yaml", "mine")
    done = run("new", "--from", table.write("page.html", PAGE))
    assert done.returncode == 2
    assert "exists already" in done.stderr
    assert (tmp_path / "harbour-leeks.yaml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("page.html", "<html><body>Nothing</body></html>"),
        ("recipe.json", '{"@type": "Recipe", '),
        ("recipe.txt", ""),
        ("recipe.txt", "A letter, and no list."),
    ],
)
def test_what_is_no_recipe_is_exit_2_and_nothing_is_written(
    name: str, text: str, run: Run, table: Table, tmp_path: Path
) -> None:
    done = run("new", "--from", table.write(name, text))
    assert done.returncode == 2
    assert "error no-recipe" in kinds(done.stderr)
    assert "fix:" in done.stderr
    assert "Traceback" not in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_no_name_and_no_file_that_is_not_there(run: Run, tmp_path: Path) -> None:
    assert run("new").returncode == 2
    assert run("new", "--from", "none.html").returncode == 2
    assert run("new", "--from", ".").returncode == 2
    assert list(tmp_path.iterdir()) == []


def test_a_draft_with_something_that_cannot_be_weighed_is_exit_1(run: Run, table: Table) -> None:
    done = run("new", "--from", table.write("r.txt", "X\n1 bunch watercress\n30 g butter\n\nChop it.\n"))
    assert done.returncode == 1
    assert "error no-weight" in kinds(done.stderr)
    assert "wrote x.yaml" in done.stdout


@pytest.mark.parametrize(
    ("do", "heat"),
    [
        ("Bake at 200C for 25 minutes.", "oven 200 °C"),
        ("Roast the roots on 400 °F until brown.", "oven 400 °F"),
        ("Bake in the oven at 180 °C.", "oven 180 °C"),
        ("Roast it until the middle reads 63 °C inside.", ""),  # of the food, not of the oven
    ],
)
def test_the_oven_is_read_where_only_baking_names_it(do: str, heat: str) -> None:
    from scriptkit.drafting.steps import draft_steps

    (step,), _ = draft_steps([do], ["roots"])
    assert step.heat == heat


@pytest.mark.parametrize(("others", "told"), [(1, "1 more recipe stood"), (3, "3 more recipes stood")])
def test_that_more_recipes_stood_in_the_file_is_said(others: int, told: str) -> None:
    text = draft(RawRecipe(name="X", ingredients=("30 g leek",), steps=("Boil it.",), others=others)).text
    assert f"# check: {told} in the same file; this is the first." in text


def test_a_time_that_is_none_is_no_wait() -> None:
    text = draft(
        RawRecipe(name="X", ingredients=("30 g leek",), steps=("Simmer for 1/0 minutes, then 5 minutes.",))
    ).text
    assert "wait: 5 min" in text


def test_a_file_far_too_large_for_a_recipe(run: Run, table: Table, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("scriptkit.cli.new.LARGEST_PAGE", 100)
    done = run("new", "--from", table.write("page.html", PAGE))
    assert done.returncode == 2
    assert "error too-large" in kinds(done.stderr)
