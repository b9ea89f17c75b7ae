"""Promises such as *dairy-free*, held against what is in the dish."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.problems import Problem, Severity
from scriptkit.safety.free_from import free_from, free_from_problems

FOODS = {
    "butter": "butter, unsalted", "flour": "flour, plain", "oats": "oats", "wine": "white wine", "stock": "chicken stock, homemade",
    "cube": "vegetable stock, ready-made", "honey": "honey", "pine": "pine nuts", "coconut": "coconut, creamed", "cheese": "parmesan, hard",
    "mussels": "mussels", "egg": "egg", "leek": "leek", "tofu": "tofu, firm", "tahini": "tahini", "celeriac": "celeriac",
    "mustard": "mustard seeds", "lupin": "lupin beans, cooked", "cod": "cod", "peanuts": "peanuts", "gelatine": "gelatine", "rye": "rye flour, dark",
}  # fmt: skip


def problems(
    table: Table, said: str, foods: str, where: str = "say", name: str = "Supper", more: str = ""
) -> list[Problem]:
    ingredients = ", ".join(f'{f}: {{amount: 50 g, food: "{FOODS[f]}"}}' for f in foods.split())
    step = (
        f"{{stage: cook, do: Bake it., add: [{', '.join(foods.split())}]"
        + (f', say: "{said}"' if where == "say" else "")
        + "}"
    )
    promise = f'promise: "{said}"' if where == "promise" else "promise: Good."
    title = said if where == "dish" else name
    return free_from_problems(
        table.dish(
            f'dish: "{title}"\n{promise}\nservings: 2\n{more}\ningredients: {{{ingredients}}}\nsteps: [{step}]\n'
        )
    )


@pytest.mark.parametrize(
    ("said", "foods", "brings"),
    [
        ("It is dairy-free.", "butter leek", "butter (milk)"),
        ("A milk free supper.", "butter", "butter (milk)"),
        ("There is no dairy in it.", "butter", "butter (milk)"),
        ("Free of gluten.", "flour", "flour (wheat)"),
        ("Gluten-free, all of it.", "rye", "rye"),
        ("Nut-free.", "peanuts", "peanuts"),
        ("Nut free.", "pine", "pine (pine nuts)"),
        ("Without nuts.", "pine", "pine (pine nuts)"),
        ("Egg-free.", "egg", "egg (eggs)"),
        ("Eggless.", "egg", "egg (eggs)"),
        ("Soy-free.", "tofu", "tofu (soya)"),
        ("Fish-free.", "cod", "cod (fish)"),
        ("Shellfish-free.", "mussels", "mussels (molluscs)"),
        ("Sesame-free.", "tahini", "tahini (sesame)"),
        ("Celery-free.", "celeriac", "celeriac (celery)"),
        ("Mustard-free.", "mustard", "mustard"),
        ("Lupin-free.", "lupin", "lupin"),
        ("Sulphite-free.", "wine", "wine (sulphites)"),
        ("Wheat-free.", "flour", "flour (wheat)"),
        ("Alcohol-free.", "wine", "wine (white wine)"),
        ("It is vegan.", "honey leek", "honey"),
        ("A dairy-free version of the classic.", "butter", "butter (milk)"),
        ("Plant-based.", "butter", "butter (milk)"),
        ("A vegan supper.", "stock", "stock (chicken stock, homemade)"),
        ("A vegetarian supper.", "stock", "stock (chicken stock, homemade)"),
        ("Vegetarian.", "gelatine", "gelatine"),
        ("Meat-free.", "cod", "cod (fish)"),
        ("A veggie supper.", "cod", "cod (fish)"),
        ("It isn't vegan, but it is dairy-free.", "butter", "butter (milk)"),
    ],
)
@pytest.mark.parametrize("where", ["say", "promise", "dish"])
def test_a_promise_that_the_ingredients_contradict_is_an_error(
    table: Table, said: str, foods: str, brings: str, where: str
) -> None:
    found = [p for p in problems(table, said, foods, where) if p.severity is Severity.ERROR]
    assert [p.code for p in found] == ["free-from"]
    assert found[0].message.endswith(f"it holds {brings}")
    assert found[0].place.line == {"dish": 1, "promise": 2, "say": 6}[where]
    assert found[0].hint


@pytest.mark.parametrize(
    ("said", "foods"),
    [
        ("It is not gluten-free.", "flour"),
        ("This isn’t dairy-free.", "butter"),
        ("This isn't dairy-free.", "butter"),
        ("Never vegan.", "butter"),
        ("Is it vegan?", "butter"),
        ("Leave the butter out to make it dairy-free.", "butter"),
        ("It can be made vegan with oil instead.", "butter"),
        ("For a gluten-free version use buckwheat.", "flour"),
        ("It would be vegan without the butter.", "butter"),
        ("Vegan if you leave the honey out.", "honey"),
        ("A vegan version is on the channel.", "butter"),
        ("No egg wash is needed.", "egg"),
        ("No fish sauce goes in.", "cod"),
        ("Soften it without letting it colour.", "butter"),
        ("Dairy-free.", "leek honey"),
        ("Vegan.", "leek tofu"),
        ("Vegetarian.", "butter egg honey leek"),
        ("Nut-free.", "coconut leek"),
        ("Peanut-free.", "pine leek"),
        ("Gluten-free.", "leek"),
        ("Fish-free.", "mussels"),
        ("A carefree, sugar-free supper.", "butter"),
        ("Cod and veggie stew.", "cod leek"),
        ("Veggie and cod bake.", "cod leek"),
        ("A veggie-packed supper.", "cod leek"),
        ("Cod with veggies.", "cod leek"),
    ],
)
def test_what_is_no_promise_or_is_kept_is_no_problem(table: Table, said: str, foods: str) -> None:
    assert problems(table, said, foods) == []


@pytest.mark.parametrize(
    ("said", "foods", "unsure"),
    [("Gluten-free.", "oats", "oats"), ("Gluten-free.", "cube", "cube"), ("Vegan.", "wine", "wine"), ("Vegetarian.", "cheese", "cheese"),
     ("Dairy-free.", "cube", "cube")],
)  # fmt: skip
def test_what_depends_on_the_make_is_a_warning(table: Table, said: str, foods: str, unsure: str) -> None:
    (found,) = problems(table, said, foods)
    assert (found.severity, found.code) == (Severity.WARNING, "free-from-unsure")
    assert found.message.endswith(f"depends on the make of {unsure}")


def test_a_food_off_a_label_that_says_nothing_is_a_warning(table: Table) -> None:
    text = "dish: Vegan husk\nservings: 1\nfoods: {husk: {basis: us%s}}\ningredients: {husk: 10 g}\n"
    (found,) = free_from_problems(table.dish(text % ""))
    assert found.code == "free-from-unsure"
    assert free_from_problems(table.dish(text % ", allergens: none")) == []


def test_a_promise_about_an_ingredient_is_held_against_that_alone(table: Table) -> None:
    assert problems(table, "In go the gluten-free oats.", "flour oats")[0].message.endswith(
        "depends on the make of oats"
    )
    (found,) = problems(table, "In goes the gluten-free flour.", "flour oats")
    assert found.message.endswith("it holds flour (wheat)")
    named = table.dish(
        "dish: Bread\nservings: 1\nfoods: {gluten-free oats: {basis: us, allergens: oats}}\ningredients: {gluten-free oats: 50 g}\n"
        "steps: [{stage: cook, do: Bake it., say: It is gluten-free.}]"
    )
    assert free_from_problems(named) == []


def test_a_name_is_said_of_the_whole_dish(table: Table) -> None:
    (error, warning) = problems(table, "Gluten-free oat bread", "flour oats", "dish")
    assert (error.severity, warning.severity) == (Severity.ERROR, Severity.WARNING)


def test_a_meal_is_held_against_its_whole_plate(table: Table) -> None:
    table.write("one.yaml", "dish: One\nservings: 1\ningredients: {leek: 100 g}")
    meal = table.meal(
        'meal: Dairy-free supper\ndishes: [{dish: one.yaml}]\nat_table: {butter: {amount: 5 g, food: "butter, unsalted"}}'
    )
    (found,) = free_from_problems(meal)
    assert found.message == "“Dairy-free” is said, and it holds butter (milk)"


def test_ids_are_unique_and_words_are_the_tables() -> None:
    from scriptkit.pantry.allergens import allergens
    from scriptkit.pantry.table import food_rows

    ids = [one.id for one in free_from()]
    known = {*food_rows(), *(row["category"] for row in food_rows().values())}
    assert len(set(ids)) == len(ids)
    for one in free_from():
        assert one.allergens <= set(allergens())
        assert one.foods | one.maybe <= known


def test_check_tells_it_and_leaves_with_1(table: Table, run) -> None:  # type: ignore[no-untyped-def]
    path = table.write(
        "d.yaml",
        'dish: Vegan leeks\nservings: 1\ningredients: {leek: 100 g, butter: {amount: 10 g, food: "butter, unsalted"}}\n'
        "steps: [{stage: cook, do: Bake it., add: [leek, butter], screen: 20 s, say: In it goes.}]",
    )
    done = run("check", path)
    assert done.returncode == 1
    assert ":1:7: error: “Vegan” is said, and it holds butter (milk) [free-from]" in done.stderr
