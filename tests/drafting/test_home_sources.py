"""Recipes as home cooks and their sites have them (our own, in tests/drafting/pages): a letter, Markdown, a table, pages in three markups."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from scriptkit.confirming import Asked
from scriptkit.drafting.draft import DraftFile, draft
from scriptkit.drafting.food_matching import usual_matcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.plain_recipe import recipe_in_text
from scriptkit.drafting.source import recipe_of

PAGES = Path(__file__).parent / "pages"
READER = LineReader(usual_matcher())


def drafted(name: str) -> DraftFile:
    return draft(recipe_of((PAGES / name).read_bytes(), name))


def read(line: str) -> DraftIngredient:
    (found,) = READER.read(line)
    return found


@pytest.mark.parametrize(
    ("name", "title", "ingredients", "steps", "questions"),
    [
        ("chowder.html", "Smoked Haddock & Sweetcorn Chowder", 15, 5, []),
        ("brownies.html", "Pier-head Almond Brownies", 11, 5, []),
        ("mussels.html", "Steamed mussels with cider", 5, 3, ["amount:mussels"]),
        ("lamb.txt", "Lamb shoulder with white beans", 12, 4, []),
        ("pie.txt", "Fish pie for a crowd", 14, 4, []),
        ("curry.md", "Monkfish & coconut curry", 7, 4, []),
        ("traybake.txt", "Harbour Chicken Traybake", 12, 5, []),
        ("pancakes.txt", "pancakes", 6, 4, ["size:eggs"]),
        ("slaw.md", "Mooring-line slaw", 11, 2, []),
        ("fishcakes.csv", "Fishcakes", 9, 0, ["servings", "step:where-does-it-go-in"]),
    ],
)
def test_what_is_found_and_what_is_asked(
    name: str, title: str, ingredients: int, steps: int, questions: list[str]
) -> None:
    made = drafted(name)
    assert (made.name, made.ingredients, made.steps) == (title, ingredients, steps)
    asked = Asked(made.text, "draft.yaml", effects=False)
    assert [p.message for p in asked.production.problems if p.severity == "error"] == []
    assert [q.id for q in asked.questions()] == questions


@pytest.mark.parametrize(
    ("name", "text", "lines"),
    [
        ("a.csv", "Quay soup;;;\n;;;\nZutat/Ingredient;Menge/Amount;;\nCod;400 g;;\n", ("400 g Cod",)),
        ("b.csv", '"Quantity","Ingredient"\n"1,5 kg","Potatoes"\n"to taste","Salt"\n', ("1,5 kg Potatoes", "Salt, to taste")),
        ("c.tsv", "Item\tQty\tUnit\tPrep\tCost\nLeeks\t3\t\tsliced\t1.20\nNutmeg\tpinch\t\t\t\n", ("3 Leeks, sliced", "pinch Nutmeg")),
        ("d.csv", "step,ingredient,amount (g)\n1,Hake,600\n2,Fennel,300\n", ("600 g Hake", "300 g Fennel")),
        ("e.csv", "Leeks,300 g\nButter,30 g\n", ("300 g Leeks", "30 g Butter")),
        ("f.md", "# Soup\n\n| Food | Amount |\n|---|---:|\n| Leeks | 300 g |\n| Salt | to taste |\n\nBoil the leeks.\n", ("300 g Leeks", "Salt, to taste")),
    ],
)  # fmt: skip
def test_tables_as_people_keep_them(name: str, text: str, lines: tuple[str, ...]) -> None:
    assert recipe_of(text.encode(), name).ingredients == lines


def test_a_letter_loses_its_greeting_and_its_goodbye_and_each_line_is_a_step() -> None:
    dish = yaml.safe_load(drafted("lamb.txt").text)
    assert dish["servings"] == 6
    assert [step.get("wait") for step in dish["steps"]] == ["10 min", "8 min", "4 h", "10 min"]
    assert not any("Mo" in step["do"].split() for step in dish["steps"])


def test_a_copied_page_keeps_its_figures_and_loses_its_buttons() -> None:
    found = recipe_of((PAGES / "traybake.txt").read_bytes(), "traybake.txt")
    assert (found.promise, found.serves, found.prep_ms, len(found.steps)) == ("", "Servings: 4 people", 600_000, 5)
    assert dict(found.nutrition) == {
        "energy_kcal": 612,
        "carbohydrate_g": 32,
        "protein_g": 38,
        "fat_g": 37,
        "fibre_g": 5,
    }
    rubbed = yaml.safe_load(drafted("traybake.txt").text)["steps"][2]["add"]
    assert {"dried thyme", "dried oregano"} <= set(rubbed)


def test_butter_for_the_pan_is_no_pan_and_what_is_left_out_is_said() -> None:
    assert read("50g butter melted plus extra for the pan").amount == "50 g"
    made = draft(recipe_in_text("Pots\n\nIngredients\n4 (8-ounce) ramekins\n200 ml cream\n\nMethod\nChill it.\n"))
    assert (made.ingredients, made.remarks) == (1, ("left out, as no food: 4 (8-ounce) ramekins",))


def test_the_subject_of_a_letter_names_a_recipe_without_a_name() -> None:
    letter = "From: mo@example.org\nSubject: Re: Fwd: Kelp broth\nDate: Monday\n\nHello you,\n\nIngredients\n20 g kelp\n1 l water\n\nMethod\nSimmer it.\n"
    found = recipe_in_text(
        letter.replace(
            "Ingredients", "Take a pot that is large enough for all of it and find these things first.\nIngredients"
        )
    )
    assert (found.name, found.ingredients, found.steps) == ("Kelp broth", ("20 g kelp", "1 l water"), ("Simmer it.",))


@pytest.mark.parametrize(
    ("line", "name", "amount"),
    [
        ("2-3 medium floury potatoes (about 500g/1lb 2oz), peeled", "floury potatoes", "500 g"),
        ("½ small white cabbage (about 400 g), finely shredded", "white cabbage", "400 g"),
        ("1 cup (2 sticks/225g) unsalted butter", "unsalted butter", "225 g"),
        ("1 onion (150 g)", "onion", "150 g"),
        ("a good handful of flat-leaf parsley", "flat-leaf parsley", "30 g"),
        ("olive oil, a good glug", "olive oil", "1 tbsp"),
        ("a squeeze of lemon", "lemon juice", "1 tsp"),
        ("1 whole head of garlic, cloves separated", "garlic", "1 head"),
        ("half a bottle of white wine", "white wine", "375 ml"),
        ("2 tins of cannellini beans, drained", "cannellini beans", "480 g"),
        ("350-400ml/12-14fl oz buttermilk (or milk soured with lemon juice)", "buttermilk", "350 ml"),
        ("Butter - 50 g", "butter", "50 g"),
        ("Plain flour 200g", "plain flour", "200 g"),
        ("Leeks (2)", "leeks", "2"),
        ("1.5kg spuds, peeled", "spuds", "1 1/2 kg"),
        ("2 ½ cups coconut milk– preferably two boxes (8.5 oz) of any make", "coconut milk", "2 1/2 cups"),
        ("2 cups (240 g) plain flour", "plain flour", "240 g"),
        ("thumb-sized piece of ginger, grated", "ginger", "15 g"),
        ("1 glass (150 ml) dry white wine", "dry white wine", "150 ml"),
        ("1.5kg floury potatoes such as Maris Piper", "floury potatoes", "1 1/2 kg"),
        ("½ a cucumber", "cucumber", "1/2"),
        ("1 fat red chilli, deseeded", "red chilli", "1"),
        ("5-6 cups fresh spinach (chopped (about 8 ounces))", "fresh spinach", "8 oz"),
    ],
)
def test_amounts_as_people_say_them(line: str, name: str, amount: str) -> None:
    found = read(line)
    assert (found.name, found.amount, found.to_confirm) == (name, amount, False)


@pytest.mark.parametrize(
    ("line", "with_bones"),
    [
        ("2kg shoulder of lamb, bone in", True), ("2 kg boneless lamb shoulder", False), ("2 lb chicken wings", True), ("8 chicken wings", False),
        ("4 chicken thighs, bone-in", False), ("500 g pork belly", False), ("1 kg spare ribs", True),
    ],
)  # fmt: skip
def test_a_weight_is_of_meat_with_its_bones(line: str, with_bones: bool) -> None:
    assert read(line).with_bones is with_bones


@pytest.mark.parametrize(
    ("line", "sure"),
    [
        ("1 kg mussels, scrubbed", 0.3), ("200 g cooked mussel meat", 1.0), ("1 whole sea bream (600 g), gutted", 0.3), ("600 g sea bream fillets", 1.0),
    ],
)  # fmt: skip
def test_shells_are_a_question(line: str, sure: float) -> None:
    assert read(line).amount_sure == sure


@pytest.mark.parametrize(
    ("line", "two"),
    [
        ("2 eggs, plus 1 egg yolk", [("eggs", "2"), ("egg yolk", "1")]), ("knob of butter + splash of milk", [("butter", "15 g"), ("milk", "1 tbsp")]),
        ("1 tsp salt and 1/2 tsp pepper", [("salt", "1 tsp"), ("pepper", "1/2 tsp")]), ("2 cups plus 2 tbsp flour", [("flour", "2 1/8 cups")]),
        ("1 cup butter, plus 1 tbsp for greasing", [("butter", "17 tbsp")]),
    ],
)  # fmt: skip
def test_two_amounts_of_two_foods_are_two_ingredients(line: str, two: list[tuple[str, str]]) -> None:
    assert [(d.name, d.amount) for d in READER.read(line)] == two


@pytest.mark.parametrize(
    ("line", "prep"),
    [
        ("4 cloves garlic (roughly chopped)", "roughly chopped"), ("1 red bell pepper, (seeds removed and chopped)", "seeds removed and chopped"),
    ],
)  # fmt: skip
def test_the_cutting_is_kept(line: str, prep: str) -> None:
    assert read(line).prep == prep


def test_an_unknown_food_by_the_piece_is_asked() -> None:
    assert read("Flatbreads, ~6").to_confirm


@pytest.mark.parametrize(
    ("name", "heats"),
    [
        ("lamb.txt", ["", "", "oven 150 °C", ""]),
        ("brownies.html", ["oven 350 °F", "", "", "", "oven 350 °F"]),
    ],
)
def test_what_goes_into_the_oven_has_the_degrees_that_were_told_before(name: str, heats: list[str]) -> None:
    assert [step.get("heat", "") for step in yaml.safe_load(drafted(name).text)["steps"]] == heats


def test_both_flours_go_in_together() -> None:
    steps = yaml.safe_load(drafted("brownies.html").text)["steps"]
    assert {"all-purpose flour", "almond flour"} <= set(steps[3]["add"])
