"""Short names for chapters: verb and food, from the step's own words."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.publish.chapter_names import LONGEST, finished_name, joined_name, step_name

DISH = """\
dish: {name}
{short}
servings: 2
ingredients: {{leek: 300 g, butter: {{amount: 30 g, food: "butter, unsalted"}}, salt: 3 g, water: 500 g, white wine: 100 g}}
steps:
  - {{stage: cook, do: {do}, add: [leek, butter, salt, water, white wine]}}
"""


def named(table: Table, do: str, name: str = "Harbour leek soup", short: str = "soup") -> str:
    import json

    text = DISH.format(name=name, short=f"short: {short}" if short else "", do=json.dumps(do, ensure_ascii=False))
    dish = table.dish(text)
    return step_name(dish.steps[0], dish)


@pytest.mark.parametrize(
    ("do", "name"),
    [
        ("Soften the leek in the butter without letting it colour.", "Soften the leek"),
        ("Peel the leek and cut it into rings.", "Peel the leek"),
        ("Add the leek and the water, and simmer until soft.", "Simmer the soup"),
        ("Return it to the pot and stir in the butter; season.", "Stir in the butter"),
        ("Ladle into warm bowls and plate with the leek.", "Ladle the soup"),
        ("Pat the leek dry and salt the skin.", "Pat the leek dry"),
        ("Simmer it gently and skim it.", "Simmer the soup"),
        ("Turn it out and leave it to cool.", "Cool the soup"),
        ("Mix everything that is dry.", "Mix everything that is dry"),
        ("Gently fold the leek through, then rest.", "Fold the leek"),
        ("Boil leek, butter and water for 10 minutes.", "Boil leek, butter and water"),
        ("Serve.", "Serve the soup"),
        ("Blend the soup in batches until it is completely smooth.", "Blend the soup"),
        ("2 minutes of rest", "2 minutes of rest"),
        ("Off the heat, stir in the butter and the leek.", "Stir in the butter and the leek"),
        ("In another pan, fry the leek.", "Fry the leek"),
        ("Meanwhile, boil the water.", "Boil the water"),
        ("Meanwhile fry the leek.", "Fry the leek"),
        ("So that it keeps, salt the leek.", "Salt the leek"),
        ("With a spoon, press the leek down.", "Press the leek down"),
        ("Roast until golden.", "Roast the soup"),
        ("Spoon into glasses and chill until set.", "Chill the soup"),
        ("Bake in the oven until golden.", "Bake the soup"),
        ("Cook under pressure, then let the pressure fall by itself.", "Cook the soup"),
        ("Drain on a rack and serve with the leek.", "Drain the soup"),
        ("Chill.", "Chill the soup"),
        ("Wash and halve the leek.", "Halve the leek"),
        ("Stir, and serve with the leek.", "Stir the soup"),
        ("Return it to the pot, and simmer.", "Simmer the soup"),
    ],
)
def test_the_verb_and_what_it_is_done_to(table: Table, do: str, name: str) -> None:
    assert named(table, do) == name


@pytest.mark.parametrize("do", ["Two on each plate.", "A spoon on each plate.", "Half on each plate."])
def test_a_number_is_no_verb(table: Table, do: str) -> None:
    text = f"dish: D\nservings: 2\ningredients: {{leek: 300 g}}\nsteps:\n  - {{stage: cook, do: Fry it., add: leek}}\n  - {{stage: cook, do: {do}}}\n"
    dish = table.dish(text)
    assert step_name(dish.steps[1], dish) == "Serve the d"


def test_a_dish_without_a_short_name_is_called_by_the_thing_that_its_name_names(table: Table) -> None:
    assert named(table, "Simmer it.", "Harbour leek soup with butter", "") == "Simmer the soup"
    assert named(table, "Simmer it.", "Fennel and celeriac bisque", "") == "Simmer the bisque"


def test_a_long_name_is_cut_between_words(table: Table) -> None:
    name = named(
        table, "Put frames and vegetables and wine and water and leaves and everything else there is in the pot."
    )
    assert len(name) <= LONGEST
    assert not name.endswith((" ", ","))


def test_prep_together_names_what_it_gets_ready_and_says_where_there_is_more(table: Table) -> None:
    dish = table.dish(
        """\
        dish: Soup
        servings: 2
        ingredients: {leek: 1 g, water: 2 g, white wine: 3 g, smoked haddock: {amount: 4 g, food: haddock}, lemon juice: 5 g}
        steps:
          - {stage: prep, do: Cut., uses: [leek]}
          - {stage: prep, do: Wash., uses: [leek, white wine, smoked haddock, lemon juice]}
          - {stage: prep, do: Warm the bowls.}
          - {stage: cook, do: Stir., add: [leek, water, white wine, smoked haddock, lemon juice]}
        """
    )
    one, other, nothing, _ = dish.steps
    assert joined_name([(one, dish)]) == "Prep: leek"
    assert joined_name([(one, dish), (other, dish)]) == "Prep: leek, white wine and more"
    assert joined_name([(nothing, dish)]) == "Warm the bowls"


@settings(max_examples=60)
@given(do=st.text(min_size=1, max_size=200))
def test_any_words_give_a_name_that_fits(do: str) -> None:
    import dataclasses

    from conftest import EXAMPLES

    from scriptkit.recipe.dish import Dish
    from scriptkit.recipe.reader import read_source

    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    assert isinstance(dish, Dish)
    name = step_name(dataclasses.replace(dish.steps[0], do=do), dish)
    assert name.strip()
    assert len(name) <= LONGEST + len(dish.short)


def test_the_finished_dish_has_a_name_that_fits(table: Table) -> None:
    text = DISH.format(name="{name}", short="", do="Stir.")
    long = table.dish(text.replace("{name}", "Toulouse sausage with romanesco and black pudding"))
    assert finished_name(long) == "Sausage, finished"
    assert finished_name(table.dish(text.replace("{name}", "Leek soup"))) == "Leek soup, finished"


def test_of_a_long_list_a_name_has_a_beginning_that_reads_as_a_list(table: Table) -> None:
    text = """
        dish: Loaf
        servings: 2
        ingredients: {leek: 100 g, celeriac: 100 g, lemon: {amount: 10 g, food: lemon juice}, salt: to taste}
        steps: [{id: mix, stage: cook, do: "Whisk the leek, the celeriac, the lemon and the salt together."}]
    """
    dish = table.dish(text)
    assert step_name(dish.steps[0], dish) == "Whisk the leek, celeriac and lemon"
    more = table.dish(text.replace("the salt", "the rest of the salt").replace("leek", "wholemeal flour"))
    assert step_name(more.steps[0], more) == "Whisk the wholemeal flour and celeriac"


SUPPER = """\
dish: {dish}
short: {short}
servings: 4
ingredients:
  duck legs: {{amount: 800 g, food: "duck leg, with skin"}}
  soy sauce: 60 ml
  orange juice: 120 ml
  water: 300 ml
  curry powder: 2 tbsp
  cherry tomatoes: {{amount: 250 g, food: tomatoes}}
  prawns: {{amount: 250 g, food: "prawns, raw"}}
  butter: {{amount: 80 g, food: "butter, unsalted"}}
  plain flour: {{amount: 120 g, food: "flour, plain"}}
  apples: {{amount: 500 g, food: apple}}
steps:
  - {{id: one, stage: {stage}, do: {do}{more}}}
"""


@pytest.mark.parametrize(
    ("do", "more", "name"),
    [
        # the food by its whole name
        ("Stir in the soy, the orange juice and the water, and bring to a simmer.", "add: [soy sauce, orange juice, water]", "Stir in the soy sauce and orange juice"),
        ("Lay the legs skin side down in a cold pan and brown them slowly.", "add: duck legs", "Brown the duck legs"),
        ("Halve the tomatoes.", "uses: cherry tomatoes", "Halve the cherry tomatoes"),
        ("Rub the butter into the flour, then add the water.", "add: [butter, plain flour]", "Rub the butter into the plain flour"),
        # serving is serving
        ("Put a leg on each plate and spoon the sauce over.", "vessel: plates", "Plate the supper"),
        ("Spoon into bowls.", "vessel: bowls", "Serve the supper"),
        ("Spoon alongside.", "vessel: plates", "Plate the supper"),
        # the verb that says most, wherever it stands
        ("Get a heavy pot very hot, add the butter and brown the prawns in batches.", "add: [butter, prawns]", "Brown the prawns"),
        ("Heat the butter and fry the prawns until pink and firm.", "add: [butter, prawns]", "Fry the prawns"),
        ("Cover and braise until the meat comes off the bone.", "vessel: pot, heat: low", "Braise the supper"),
        ("Tip in the tomatoes and the water; simmer 15 minutes.", "add: [cherry tomatoes, water], heat: low", "Simmer the supper"),
        ("Add the spice and toast it for a minute.", "add: curry powder", "Toast the spice"),
        ("Add the tomatoes and the spice and simmer them.", "add: [cherry tomatoes, curry powder]", "Simmer the supper"),
        ("Peel, core and dice the apples.", "uses: apples", "Peel the apples"),
        ("Wipe and slice the apples.", "uses: apples", "Slice the apples"),
        ("Off the heat, rest for 5 minutes, then fluff with a fork.", "vessel: pot", "Fluff the supper"),
        ("Using tongs, lift the prawns out and toss them with the butter.", "add: butter", "Toss the prawns with the butter"),
        # what food is left to do
        ("Leave it to stand for 10 minutes.", "wait: 10 min", "Rest the supper"),
        ("Let it cool on a rack.", "vessel: rack", "Cool the supper"),
        ("Pour into two glasses and leave to set in the fridge for 3 hours.", "vessel: glasses, wait: 3 h", "Chill the supper"),
        ("Bring the soy and the water slowly to the boil and bubble for 3 minutes.", "add: [soy sauce, water]", "Boil the soy sauce and the water"),
        # where the words say little
        ("Return everything to the pot with the apples and the water.", "add: [apples, water]", "Add the apples and water"),
        ("Put the apples in a pot with the water.", "add: [apples, water]", "Add the apples and water"),
        ("Turn down and let it tick over for 2 hours.", "vessel: pot, heat: low, wait: 2 h", "Cook the supper"),
        ("Mash or leave chunky, as you like.", "vessel: pot", "Mash the supper"),
    ],
)  # fmt: skip
def test_a_chapter_has_the_name_that_a_viewer_searches_for(do: str, more: str, name: str, table: Table) -> None:
    import json

    text = SUPPER.format(dish="Harbour supper", short="supper", stage="cook", do=json.dumps(do), more=f", {more}")
    dish = table.dish(text)
    assert step_name(dish.steps[0], dish) == name


def test_a_dish_that_is_called_by_an_ingredient_is_not_meant_before_that_goes_in(table: Table) -> None:
    text = SUPPER.format(
        dish="Prawns in sauce", short="prawns", stage="cook", do="Let it bubble.", more=", add: cherry tomatoes"
    )
    without = table.dish(text)
    assert step_name(without.steps[0], without) == "Simmer the cherry tomatoes"
    there = table.dish(text.replace("add: cherry tomatoes", "add: [cherry tomatoes, prawns]"))
    assert step_name(there.steps[0], there) == "Simmer the prawns"


@pytest.mark.parametrize(
    ("do", "name"),
    [
        ("Wipe the marinade off the salmon, brush it with the butter and grill it, turning once.", "Grill the salmon"),
        ("Stir the marinade of wine and salt, and turn the salmon in it. Chill it.", "Marinate the salmon"),
        ("Marinate the salmon in the wine.", "Marinate the salmon"),
        ("Brush the salmon with the butter and chill it.", "Brush the salmon with the butter"),
        ("Scrape the marinade off each fillet.", "Scrape the salmon"),
    ],
)
def test_what_comes_off_is_not_what_is_cooked(table: Table, do: str, name: str) -> None:
    text = f"dish: Salmon\nservings: 2\ningredients: {{salmon: 300 g, butter: {{amount: 10 g, food: 'butter, unsalted'}}, salt: 3 g, white wine: 100 g}}\nsteps:\n  - {{stage: cook, do: '{do}', add: [salmon, butter, salt, white wine]}}\n"
    dish = table.dish(text)
    assert step_name(dish.steps[0], dish) == name
