"""Allergens of dishes and meals: by list, with what brings them, and never *none* of what is not known."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.pack import make_pack
from scriptkit.problems import CannotDo
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.safety.allergens import Allergens, FoundAllergen, allergens_of


def of(table: Table, ingredients: str, more: str = "") -> Allergens:
    return allergens_of(table.dish(f"dish: D\nservings: 4\n{more}\ningredients: {{{ingredients}}}\n"))


def names(found: tuple[FoundAllergen, ...]) -> dict[str, tuple[str, ...]]:
    return {f.name: f.by for f in found}


@pytest.mark.parametrize(
    ("food", "us", "eu"),
    [
        ("milk, whole", ["milk"], ["milk"]),
        ("egg", ["egg"], ["eggs"]),
        ("cod", ["fish"], ["fish"]),
        ("prawns, raw", ["crustacean shellfish"], ["crustaceans"]),
        ("mussels", [], ["molluscs"]),
        ("squid", [], ["molluscs"]),
        ("almonds", ["tree nuts"], ["nuts"]),
        ("pine nuts", ["tree nuts"], []),
        ("coconut, fresh", [], []),
        ("chestnuts, raw", [], []),
        ("peanuts", ["peanuts"], ["peanuts"]),
        ("flour, plain", ["wheat"], ["cereals containing gluten"]),
        ("spelt flour", ["wheat"], ["cereals containing gluten"]),
        ("rye flour, dark", [], ["cereals containing gluten"]),
        ("barley, pearl", [], ["cereals containing gluten"]),
        ("oats", [], ["cereals containing gluten"]),
        ("tofu, firm", ["soybeans"], ["soybeans"]),
        ("tahini", ["sesame"], ["sesame"]),
        ("celeriac", [], ["celery"]),
        ("mustard seeds", [], ["mustard"]),
        ("lupin beans, cooked", [], ["lupin"]),
        ("white wine", [], ["sulphites"]),
        ("carrot", [], []),
    ],
)
def test_the_two_lists_differ(table: Table, food: str, us: list[str], eu: list[str]) -> None:
    found = of(table, f'it: {{amount: 100 g, food: "{food}"}}')
    assert [f.name for f in found.us.contains] == us
    assert [f.name for f in found.eu.contains] == eu
    assert found.unknown == ()


def test_what_brings_them_is_named_as_the_cook_calls_it_and_kinds_of_nut_and_cereal_are(table: Table) -> None:
    found = of(
        table,
        'fat: {amount: 30 g, food: "butter, unsalted"}, cream: {amount: 100 g, food: "cream, single"}, '
        'meal: {amount: 50 g, food: "almonds, ground"}, walnuts: 20 g, bread: {amount: 60 g, food: "bread, rye"}',
    )
    assert names(found.us.contains) == {
        "milk": ("fat", "cream"), "tree nuts": ("meal", "walnuts"), "wheat": ("bread",),
    }  # fmt: skip
    assert [str(f) for f in found.eu.contains] == [
        "milk (fat, cream)",
        "nuts: almonds, walnuts (meal, walnuts)",
        "cereals containing gluten: wheat, rye (bread)",
    ]


def test_a_compound_food_may_contain_and_says_check_the_label(table: Table) -> None:
    found = of(table, 'cube: {amount: 10 g, food: "chicken stock cube"}')
    assert found.us.contains == found.eu.contains == ()
    assert {"milk", "egg", "wheat", "soybeans"} == set(names(found.us.may_contain))
    assert {"celery", "mustard", "cereals containing gluten"} < set(names(found.eu.may_contain))
    assert any(
        line.startswith("May contain, check the label (EU list): ") and "celery (cube)" in line
        for line in found.lines()
    )


def test_what_it_contains_in_any_case_is_not_a_maybe_too(table: Table) -> None:
    found = of(table, 'cube: {amount: 10 g, food: "chicken stock cube"}, milk: {amount: 100 g, food: "milk, whole"}')
    assert "milk" in names(found.us.contains)
    assert "milk" not in names(found.us.may_contain)
    nuts = of(table, 'spread: {amount: 10 g, food: "almond butter"}')  # other nuts, too: the kind is another
    assert [str(f) for f in nuts.eu.may_contain] == ["peanuts (spread)", "nuts: nuts (spread)", "sesame (spread)"]


def test_a_food_whose_make_decides_everything_is_to_be_checked(table: Table) -> None:
    found = of(table, 'cola: {amount: 100 g, food: "cola"}')
    assert found.check_label == ("cola",)
    assert "Check the label, its make decides: cola" in found.lines()


@pytest.mark.parametrize(
    ("label", "contains", "unknown"),
    [
        ("{basis: us}", [], ("husk",)),
        ("{basis: us, allergens: none}", [], ()),
        ("{basis: us, allergens: []}", [], ()),
        ("{basis: us, allergens: [Soy, sesame seeds]}", ["soybeans", "sesame"], ()),
        ("{basis: us, allergens: gluten}", ["cereals containing gluten"], ()),
    ],
)
def test_a_label_that_says_nothing_is_unknown_and_never_none(
    table: Table, label: str, contains: list[str], unknown: tuple[str, ...]
) -> None:
    found = of(table, "husk: {amount: 20 g, food: packet}", f"foods: {{packet: {label}}}")
    assert [f.name for f in found.eu.contains] == contains
    assert found.unknown == unknown
    assert any("not known" in line for line in found.lines()) is bool(unknown)


def test_gluten_of_an_unnamed_cereal_may_be_wheat_in_the_us(table: Table) -> None:
    found = of(table, "bar: {amount: 20 g, food: packet}", "foods: {packet: {basis: us, allergens: gluten}}")
    assert names(found.us.contains) == {}
    assert names(found.us.may_contain) == {"wheat": ("bar",)}


@pytest.mark.parametrize(
    ("foods", "line", "meant"),
    [("{packet: {basis: us, allergens: [milkk]}}", 3, "did you mean “milk”"), ("{packet: {basis: us, may_contain: shellfish}}", 3, "crustaceans")],
)  # fmt: skip
def test_a_word_that_is_no_allergen_is_a_problem_at_its_place(table: Table, foods: str, line: int, meant: str) -> None:
    (problem,) = table.read(f"dish: D\nservings: 1\nfoods: {foods}\ningredients: {{packet: 10 g}}\n").problems
    assert (problem.code, problem.place.line) == ("allergen", line)
    assert meant in problem.hint


def test_bread_of_wheat_and_other_cereals_does_not_maybe_contain_wheat_too(table: Table) -> None:
    found = of(table, 'bread: {amount: 60 g, food: "bread, multigrain"}')
    assert "wheat" in names(found.us.contains)
    assert "wheat" not in names(found.us.may_contain)


def test_the_pages_of_the_kitchen_and_the_report_print_them(table: Table) -> None:
    text = 'dish: D\nservings: 1\ningredients: {"<i>cod": {amount: 100 g, food: cod}}\nsteps: [{stage: cook, do: Bake it., add: "<i>cod"}]'
    files = make_pack(Production(table.read(text))).files
    for name in ("shoot-list.html", "mise-en-place.html", "buying.html"):
        assert "Allergens, EU list: fish (&lt;i&gt;cod)" in files[name]
    assert "Allergens, US list: fish (<i>cod)" in files["report.txt"]


def test_a_label_that_was_checked_is_no_longer_a_matter_of_the_make(table: Table) -> None:
    one = 'mustard: {amount: 10 g, food: "mustard, wholegrain"%s}'
    assert names(of(table, one % "").eu.may_contain) == {
        "cereals containing gluten": ("mustard",),
        "sulphites": ("mustard",),
    }
    checked = of(table, one % ", allergens: [mustard, sulphites]")
    assert names(checked.eu.contains) == {"mustard": ("mustard",), "sulphites": ("mustard",)}
    assert checked.eu.may_contain == ()
    none = of(table, one % ", allergens: none")  # what it is made of it is made of
    assert names(none.eu.contains) == {"mustard": ("mustard",)}


STOCK = """
    dish: Stock
    servings: 4
    cooked_weight: 1 kg
    ingredients: {frames: {amount: 500 g, food: cod, strained_out: all}, celery: {amount: 80 g, strained_out: all}, wine: {amount: to taste, food: white wine}}
    steps: [{stage: cook, do: Simmer., add: [frames, celery, wine]}]
"""


def test_through_a_dish_in_a_dish_and_what_is_strained_out_counts(table: Table) -> None:
    table.write("stock.yaml", STOCK)
    found = of(table, "base: {amount: 500 g, dish: stock.yaml}, leek: 100 g")
    assert names(found.eu.contains) == {
        "fish": ("frames of base",),
        "celery": ("celery of base",),
        "sulphites": ("wine of base",),
    }
    table.write("sauce.yaml", "dish: Sauce\nservings: 2\ningredients: {base: {amount: 500 g, dish: stock.yaml}}")
    assert names(of(table, "sauce: {amount: to taste, dish: sauce.yaml}").us.contains) == {
        "fish": ("frames of base of sauce",)
    }


def test_a_meal_has_all_of_its_plate(table: Table) -> None:
    table.write("one.yaml", "dish: One\nservings: 1\ningredients: {cod: 100 g, drops: {amount: 1 g, food: sesame oil}}")
    meal = table.meal('meal: M\ndishes: [{dish: one.yaml}]\nat_table: {nuts: {amount: 5 g, food: "walnuts"}}')
    assert names(allergens_of(meal).us.contains) == {"fish": ("cod",), "tree nuts": ("nuts",), "sesame": ("drops",)}


def test_coconut_is_on_no_list_and_is_still_told(table: Table) -> None:
    found = of(table, 'cream: {amount: 100 g, food: "coconut, creamed"}')
    assert [str(f) for f in found.beside] == ["coconut (cream)"]
    assert found.lines()[-1] == "On neither list, and still avoided by some: coconut (cream)"


def test_a_dish_without_any_says_so_of_what_is_known(table: Table) -> None:
    assert of(table, "carrot: 100 g").lines() == [
        "Allergens, US list: none of the US list in what is known",
        "Allergens, EU list: none of the EU list in what is known",
    ]


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda p: p.stem)
def test_every_example_has_them(path: object) -> None:
    try:
        source = read_source(str(path)).usable()
    except CannotDo:
        return
    lines = allergens_of(source).lines()
    assert lines[0].startswith("Allergens, US list: ")
    assert all("  " not in line and "()" not in line for line in lines)
