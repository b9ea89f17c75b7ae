"""The draft dish file: it reads, every guess is data in it, and no text of the source gets out of its place."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.source import recipe_of
from scriptkit.drafting.step_mentions import Named
from scriptkit.drafting.steps import draft_steps, steps_of
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from scriptkit.recipe.tray import TRAY

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
    assert made.guesses == 0
    assert "unsure: {" not in made.text, "what is sure carries no mark"


def test_what_is_not_certain_is_a_doubt_with_its_words_and_candidates(table: Table) -> None:
    found = RawRecipe(
        name="X", serves="4", ingredients=("1 lb ground beef", "30 g butter", "1 bunch sorrel"), steps=("Fry it all.",)
    )
    made = draft(found)
    assert made.guesses == made.text.count("unsure: {") == 3
    beef, butter, sorrel = table.dish(made.text).ingredients
    assert butter.doubt is None
    assert beef.doubt is not None
    assert (beef.doubt.food, beef.doubt.amount, beef.doubt.read_from) == (0.75, None, "1 lb ground beef")
    assert beef.food.name == "beef mince, 20% fat"
    assert 0 < len(beef.doubt.candidates) <= 3
    assert sorrel.doubt is not None
    assert sorrel.doubt.food is None
    assert sorrel.doubt.amount is not None
    assert dish_macros(table.dish(made.text)).unconfirmed == ("ground beef", "sorrel")


def test_how_a_line_was_read_stands_beside_it() -> None:
    text = draft(RawRecipe(name="X", ingredients=("1 cup butter or margarine",), steps=("Stir.",))).text
    assert "  # the recipe also allows margarine" in text


def test_a_food_that_the_pantry_lacks_is_unknown_and_not_zero(table: Table) -> None:
    dish = table.dish(draft(RawRecipe(name="X", ingredients=("5 g rennet",), steps=("Stir it in.",))).text)
    assert dish.ingredients[0].food.composition.energy_kcal is None
    assert dish.ingredients[0].grams == 5


@pytest.mark.parametrize(
    ("serves", "servings", "sure"),
    [
        ("Serves 4", 4, True), ("4 servings", 4, True), ("4", 4, True), ("Makes 2 dozen biscuits", 24, False), ("12 slices", 12, True),
        ("Makes 14 pancakes", 14, True), ("4 people (as a side)", 4, True), ("Makes 2 loaves", 2, False), ("2 cups", 2, False), ("4-6", 4, False),
        ("", 1, False), ("Sufficient for seven persons", 7, True), ("a large tin", 1, False), ("0", 1, False),
        ("1/0", 1, False),
    ],
)  # fmt: skip
def test_how_many_it_serves(serves: str, servings: float, sure: bool, table: Table) -> None:
    text = draft(RawRecipe(name="X", serves=serves, ingredients=("30 g leek",), steps=("Boil it.",))).text
    assert table.dish(text).servings == servings
    assert ("\nunsure: {servings: " in text) is not sure
    assert (table.dish(text).doubt is None) is sure


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
    (tray,) = table.dish(made.text).steps
    assert tray.doubt is not None and tray.doubt.in_tray and "gives no method" in tray.doubt.read_from
    assert (made.steps, made.guesses) == (0, 2) and "# check:" not in made.text


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
    assert [s.id for s in reading.source.steps] == ["where-does-it-go-in", "step-1", "step-2"]
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
    assert "nothing to confirm" in done.stdout
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


def test_a_draft_with_something_to_confirm_is_exit_1(run: Run, table: Table) -> None:
    done = run(
        "new",
        "--from",
        table.write("r.txt", "X\nServes 2\n1 bunch sorrel\n30 g butter\n\nChop the sorrel into the butter.\n"),
    )
    assert done.returncode == 1
    assert kinds(done.stderr) == ["warning unsure"]
    assert "wrote x.yaml: 2 ingredients, 1 steps; 1 guess to confirm, marked `unsure:`" in done.stdout


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
    (*_, step), _ = draft_steps([do], [Named("roots")])
    assert step.heat == heat


def test_that_more_recipes_stood_in_the_file_is_said() -> None:
    text = draft(
        RawRecipe(name="X", ingredients=("30 g leek",), steps=("Boil it.",), others=("Quay pie", "Salad"))
    ).text
    assert "# Also in the same file: Quay pie; Salad. `new --from FILE --recipe NAME` drafts another." in text


TWO = json.dumps([
    {"@type": "Recipe", "name": "Quay pie", "recipeIngredient": ["300 g leeks"]},
    {"@type": "recipe", "name": "Harbour salad", "recipeIngredient": ["1 cucumber"]},
])  # fmt: skip


@pytest.mark.parametrize(
    ("which", "name"),
    [("", "Quay pie"), ("2", "Harbour salad"), ("harbour salad", "Harbour salad"), ("salad", "Harbour salad")],
)
def test_of_several_recipes_one_is_chosen(which: str, name: str) -> None:
    assert recipe_of(TWO.encode(), "two.json", which).name == name


@pytest.mark.parametrize("which", ["3", "soup"])
def test_a_recipe_that_is_not_there_is_told_with_those_that_are(which: str, run: Run, table: Table) -> None:
    done = run("new", "--from", table.write("two.json", TWO), "--recipe", which)
    assert done.returncode == 2
    assert "1 Quay pie; 2 Harbour salad" in done.stderr


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


def added(steps: Sequence[str], *names: str) -> list[list[tuple[str, str]]]:
    """What goes in at each step; spices and the like by their categories."""
    kinds_of = {
        "salt": "spice",
        "flour": "grain",
        "sugar": "sweetener",
        "egg": "egg",
        "milk": "dairy",
        "gouda": "cheese",
    }
    made, _ = draft_steps(list(steps), [Named(n, kinds_of.get(n, "")) for n in names])
    return [list(step.add) for step in made]


def test_an_ingredient_that_no_step_names_waits_in_a_tray() -> None:
    steps, unnamed = draft_steps(
        ["Preheat the oven to 180 °C.", "Roast the leeks."], [Named("leeks"), Named("walnuts")]
    )
    assert unnamed == ("walnuts",)
    assert (steps[0].id, steps[0].stage, steps[0].uses) == (TRAY, "prep", ("walnuts",))
    assert [s.add for s in steps] == [(), (), (("leeks", "all"),)]


def test_groups_are_read_as_their_members() -> None:
    assert added(["Whisk the dry ingredients.", "Beat in the wet ingredients."], "flour", "sugar", "egg", "milk") == [
        [("flour", "all"), ("sugar", "all")],
        [("egg", "all"), ("milk", "all")],
    ]
    assert added(["Fry the leek.", "Stir in the remaining ingredients."], "leek", "thyme") == [
        [("leek", "all")],
        [("thyme", "all")],
    ]
    assert added(["Fry the leek.", "Add the cheese and season."], "leek", "gouda", "salt")[1] == [
        ("gouda", "all"),
        ("salt", "all"),
    ]


def test_the_rest_of_it_is_a_second_addition() -> None:
    assert added(["Fry the leek in 10 g of the butter.", "Stir in the remaining butter."], "leek", "butter") == [
        [("leek", "all"), ("butter", "half")],
        [("butter", "rest")],
    ]


def test_two_of_one_name_go_in_by_their_amounts_or_one_after_the_other() -> None:
    named = [Named("butter", "", "2 tbsp"), Named("butter 2", "", "1 cup")]
    steps, _ = draft_steps(["Melt 1 cup butter.", "Fry the leek in butter."], named)
    assert [s.add for s in steps] == [(("butter 2", "all"),), (("butter", "all"),)]
    steps, _ = draft_steps(["Melt the butter.", "Fry the leek in butter."], [Named("butter"), Named("butter 2")])
    assert [s.add for s in steps] == [(("butter", "all"),), (("butter 2", "all"),)]


def test_prep_that_is_told_after_it_went_in_is_no_error(table: Table) -> None:
    found = RawRecipe(
        name="X",
        serves="2",
        ingredients=("300 g leeks", "1 lemon"),
        steps=("Fry the leeks.", "Slice the leeks and the lemon."),
    )
    assert not [p for p in table.read(draft(found).text).problems if p.severity == "error"]


def test_tips_storage_and_headings_are_no_steps() -> None:
    said = [
        "For the sauce:",
        "1. Fry the leek.",
        "Tip: buy fresh leeks.",
        "Store in the fridge for 3 days.",
        "NOTES",
        "Step 2: Serve it.",
        "Enjoy!",
    ]
    assert steps_of(said) == ["Fry the leek.", "Serve it."]
