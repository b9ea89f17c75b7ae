"""A dish as an ingredient of another: how it is weighed, what flows up out of it, and the folders that cannot be read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from scriptkit.problems import CannotDo
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.parts import MOST_DEEP, dishes_in, leaves
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table

STOCK = """
    dish: Fish stock
    servings: 5
    cooked_weight: 1.1 kg
    cooked_volume: 1.2 l
    ingredients:
      frames: {amount: 600 g, food: cod, strained_out: all}
      leek: {amount: 200 g, bought: whole, strained_out: all}
      celery: {amount: 80 g, strained_out: all}
      water: 1.2 l
    steps: [{stage: cook, do: Simmer gently., add: [frames, leek, celery, water], wait: 30 min}]
"""
SOUP = """
    dish: Chowder
    servings: 4
    ingredients:
      stock: {amount: STOCK, dish: stock.yaml}
      cod: 300 g
    steps: [{stage: cook, do: Poach the cod in the stock., add: [stock, cod], wait: 8 min}]
"""


def soup(table: Table, amount: str = "800 ml", stock: str = STOCK) -> Dish:
    table.write("stock.yaml", stock)
    return table.dish(SOUP.replace("STOCK", amount))


def one(name: str, *parts: str, more: str = "") -> str:
    lines = "".join(f"  p{n}: {{amount: 10 g, dish: {part}}}\n" for n, part in enumerate(parts))
    return f"dish: {name}\nservings: 1\ningredients:\n{lines or '  leek: 10 g'}\n{more}"


def told(table: Table, name: str) -> list[tuple[str, int, int, str]]:
    """File, line, column and code of what is wrong; reading must not raise anything but CannotDo."""
    try:
        problems = read_source(str(table.folder / name)).problems
    except CannotDo as wrong:
        problems = list(wrong.problems)
    assert all(p.message and p.hint for p in problems)
    return [(Path(p.place.file).name, p.place.line, p.place.column, p.code) for p in problems]


@pytest.mark.parametrize(
    ("amount", "grams"),
    [
        ("400 g", 400),
        ("1 l", 1000 * 1100 / 1200),  # by the batch in the measuring jug
        ("1 cup", 236.5882365 * 1100 / 1200),
        ("2 servings", 440),
        ("1 serving", 220),
        ("1 piece", 220),
        ("½ serving", 110),
    ],
)
def test_a_dish_is_weighed_as_a_food_is(table: Table, amount: str, grams: float) -> None:
    assert soup(table, amount).ingredients[0].grams == pytest.approx(grams)


@pytest.mark.parametrize(
    ("amount", "code"), [("1 medium", "no-weight"), ("2 mugs", "unit"), ("half", "amount"), ("-1 l", "amount")]
)
def test_an_amount_of_a_dish_that_cannot_be_told(table: Table, amount: str, code: str) -> None:
    table.write("stock.yaml", STOCK)
    table.write("soup.yaml", SOUP.replace("STOCK", amount))
    assert told(table, "soup.yaml") == [("soup.yaml", 5, 19, code)]


def test_a_volume_of_a_batch_that_nobody_measured_says_where_to_write_it(table: Table) -> None:
    table.write("stock.yaml", STOCK.replace("cooked_volume: 1.2 l", ""))
    problems = table.read(SOUP.replace("STOCK", "1 l")).problems
    assert [p.message for p in problems] == ["nothing says what 1 l of Fish stock weighs"]
    assert problems[0].hint.startswith("write grams or servings, or `cooked_volume:` in ")
    assert problems[0].hint.endswith("stock.yaml")


def test_allergens_of_what_is_strained_out_stay_in_the_pot(table: Table) -> None:
    stock = soup(table).ingredients[0].food
    assert set(stock.allergens) == {"fish", "celery"}
    table.write("soup.yaml", SOUP.replace("STOCK", "800 ml"))
    pie = table.dish(one("Pie", "soup.yaml"))
    assert set(pie.ingredients[0].food.allergens) == {"fish", "celery"}


RAW = """
    dish: Fishcake mix
    servings: 4
    ingredients: {cod: 400 g, pork mince: 100 g, egg: 1 large, potato: 300 g}
    steps: [{stage: STAGE, do: DO, add: [cod, pork mince, egg, potato]}]
"""


@pytest.mark.parametrize(
    ("stage", "do", "safety"),
    [
        ("prep", "Mix it all.", "ground-meat"),  # 71 °C, above the 63 °C of fish; egg dishes have 71 °C too
        ("cook", "Simmer it all until done.", ""),
        ("cook", "Mix it all in a warm bowl.", "ground-meat"),
    ],
)
def test_what_is_raw_in_a_dish_made_ahead_keeps_its_temperature_class(
    table: Table, stage: str, do: str, safety: str
) -> None:
    table.write("mix.yaml", RAW.replace("STAGE", stage).replace("DO", do))
    cakes = table.dish(one("Cakes", "mix.yaml"))
    assert cakes.ingredients[0].food.safety == safety


def test_raw_fish_of_a_dish_in_a_dish_gets_its_minimum_temperature(table: Table) -> None:
    from scriptkit.safety.rule_matching import cautions_of

    table.write("mix.yaml", RAW.replace("STAGE", "prep").replace("DO", "Mix it all."))
    steps = "steps: [{stage: cook, do: Fry the cakes., add: p0, core: 60 °C}]\n"
    cakes = table.dish(one("Cakes", "mix.yaml", more=steps))
    assert 71.0 in [round(c.rule.minimum_c or 0) for c in cautions_of(cakes)]


def test_what_must_be_bought_for_a_dish_in_a_dish(table: Table) -> None:
    chowder = soup(table, "550 g")  # half the stock
    bought = {leaf.ingredient.name: (leaf.through, leaf.grams, leaf.as_bought_g) for leaf in leaves(chowder)}
    assert bought["cod"] == ((), 300, 300)
    assert bought["frames"] == (("Fish stock",), pytest.approx(300), pytest.approx(300))
    assert bought["leek"] == (("Fish stock",), pytest.approx(44), pytest.approx(100))  # SR28 11246: 56 % refuse
    assert bought["water"][1] == pytest.approx(600, rel=1e-3)


# --- folders that cannot be read -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("first", ["a.yaml", "b.yaml"])
def test_a_circle_of_two(table: Table, first: str) -> None:
    table.write("a.yaml", one("A", "b.yaml"))
    table.write("b.yaml", one("B", "a.yaml"))
    closing = "b.yaml" if first == "a.yaml" else "a.yaml"
    assert told(table, first) == [(closing, 4, 28, "circle")]


def test_a_circle_of_three_below_the_first(table: Table) -> None:
    table.write("a.yaml", one("A", "b.yaml"))
    table.write("b.yaml", one("B", "c.yaml"))
    table.write("c.yaml", one("C", "b.yaml"))
    assert told(table, "a.yaml") == [("c.yaml", 4, 28, "circle")]


@pytest.mark.parametrize("name", ["a.yaml", "./a.yaml", "../here/a.yaml", "link.yaml", "'sub/../a.yaml'"])
def test_a_dish_of_itself_however_it_is_named(table: Table, name: str) -> None:
    here = table.folder / "here"
    (here / "sub").mkdir(parents=True)
    (here / "a.yaml").write_text(one("A", name), encoding="utf-8")
    (here / "link.yaml").symlink_to(here / "a.yaml")
    assert told(table, "here/a.yaml") == [("a.yaml", 4, 28, "circle")]


def test_a_meal_of_dishes_in_a_circle(table: Table) -> None:
    table.write("a.yaml", one("A", "b.yaml"))
    table.write("b.yaml", one("B", "a.yaml"))
    table.write("meal.yaml", "meal: M\ndishes: [{dish: a.yaml}, {dish: b.yaml}]\n")
    assert told(table, "meal.yaml") == [("b.yaml", 4, 28, "circle")]


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        (None, [("dish.yaml", 4, 28, "dish-file")]),
        ("", [("dish.yaml", 4, 28, "dish-file")]),
        ("meal: M\ndishes: [{dish: part.yaml}]\n", [("dish.yaml", 4, 28, "dish-file")]),
        ("dish: [\n", [("part.yaml", 1, 8, "yaml")]),
        ("dish: P\nservings: 1\ningredients: {leak: 30 g}\n", [("part.yaml", 3, 15, "unknown-food")]),
    ],
)
def test_a_part_that_cannot_be_used(table: Table, text: str | None, problems: list[tuple[str, int, int, str]]) -> None:
    if text is not None:
        table.write("part.yaml", text)
    table.write("dish.yaml", one("D", "part.yaml"))
    assert told(table, "dish.yaml") == problems
    table.write("twice.yaml", one("D", "part.yaml", "part.yaml"))  # what is wrong in a part is told once
    assert len({p for p in told(table, "twice.yaml") if p[0] == "part.yaml"}) == len(
        [p for p in told(table, "twice.yaml") if p[0] == "part.yaml"]
    )


def test_a_dish_used_twice_is_read_once(table: Table) -> None:
    table.write("stock.yaml", STOCK)
    (table.folder / "same.yaml").symlink_to(table.folder / "stock.yaml")
    dish = table.dish(one("D", "stock.yaml", "./stock.yaml", "same.yaml"))
    first, *others = (i.dish for i in dish.ingredients)
    assert all(other is first for other in others)
    assert dishes_in(dish) == 4


def test_dishes_in_one_another_are_bounded(table: Table) -> None:
    for n in range(40):
        table.write(f"d{n}.yaml", one(f"D{n}", f"d{n + 1}.yaml"))
    table.write("d40.yaml", one("D40"))
    assert told(table, "d0.yaml") == [(f"d{MOST_DEEP}.yaml", 4, 28, "too-deep")]
    assert told(table, f"d{40 - MOST_DEEP}.yaml") == []


def test_a_folder_that_multiplies_is_refused_before_it_is_worked_out(table: Table) -> None:
    for n in range(6):
        table.write(f"w{n}.yaml", one(f"W{n}", *[f"w{n + 1}.yaml"] * 60))  # 60⁶ dishes
    table.write("w6.yaml", one("W6"))
    assert [code for *_, code in told(table, "w0.yaml")] == ["too-large"]


@pytest.mark.parametrize("key", ["food: leek", "bought: whole"])
def test_a_key_that_says_nothing_beside_a_dish_is_told(table: Table, key: str) -> None:
    table.write("stock.yaml", STOCK)
    table.write("soup.yaml", SOUP.replace("STOCK", f"800 ml, {key}"))
    assert told(table, "soup.yaml") == [("soup.yaml", 5, 27, "food-or-dish")]


def test_a_dish_at_the_table_and_one_poured_over(table: Table) -> None:
    table.write("stock.yaml", STOCK)
    meal = table.meal("""
        meal: M
        dishes: [{dish: stock.yaml, portion: 200 g, poured_over: {more: {amount: 50 g, dish: stock.yaml}}}]
        at_table: {cup: {amount: 1 cup, dish: ./stock.yaml}}
        plates: 1
    """)
    assert [(e.ingredient.name, e.how) for e in meal.extras] == [("cup", "at the table"), ("more", "poured over")]
    assert all(e.ingredient.dish is meal.dishes[0] for e in meal.extras)
    table.write(
        "meal2.yaml",
        "meal: M\ndishes: [{dish: stock.yaml}]\nat_table: {sauce: {amount: 5 g, dish: no.yaml}}\nplates: 1\n",
    )
    assert told(table, "meal2.yaml") == [("meal2.yaml", 3, 39, "dish-file")]
