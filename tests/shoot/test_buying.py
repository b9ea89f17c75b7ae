"""The purchase list: as often as it is cooked, as it is bought, rounded up to what is sold."""

from __future__ import annotations

import csv
import io
import math
from fractions import Fraction

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.papers.buying import COLUMNS, write_purchases
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.buying import (
    STEPS,
    Purchase,
    amount_text,
    bought_text,
    buying_problems,
    purchases_of,
    wants_of,
)
from scriptkit.shoot.day.swap_outs import swap_outs_of
from scriptkit.shoot.plan import dishes_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

DISH = """
    dish: Stew
    short: stew
    servings: 2
    ingredients:
      celeriac: {amount: 700 g, bought: whole}
      fennel: {amount: 1 bulb, food: fennel bulb}
      butter: {amount: 60 g, food: "butter, unsalted", pack: 250 g}
      stock: {amount: 400 ml, food: "fish stock, homemade", pack: 1 l}
      cream: {amount: 120 ml, food: "cream, single"}
      egg: {amount: 3 large, pack: 6 large}
      walnuts: {amount: 30 g, food: walnuts}
      salt: to taste
    steps:
      - {id: simmer, stage: cook, do: Simmer., add: [celeriac, fennel, butter, stock], vessel: pot, hands: 1 min, wait: 20 min}
      - {id: finish, stage: cook, do: Finish., add: [cream, egg, walnuts, salt], vessel: pot, hands: 1 min}
    film: {%s}
"""


def list_of(table: Table, film: str = "") -> dict[str, str]:
    return {p.food.name: bought_text(p) for p in purchases_of(table.dish(DISH % film))}


def test_each_as_often_as_it_is_cooked_rounded_up_to_what_is_sold(table: Table) -> None:
    assert list_of(table, "swap_out_over: 15 min") == {  # live, and a twin of the simmer with what is in it by then
        "celeriac": "1.4 kg",
        "fennel bulb": "2 bulbs",
        "butter, unsalted": "1 × 250 g",
        "fish stock, homemade": "1 × 1 l",
        "cream, single": "150 ml",
        "egg": "6 large",
        "walnuts": "30 g",
        "salt": "",
    }
    assert list_of(table, "swap_out_over: 15 min, heroes: 1, safety_takes: 2") == {  # three more of each
        "celeriac": "3.5 kg",
        "fennel bulb": "5 bulbs",
        "butter, unsalted": "2 × 250 g",
        "fish stock, homemade": "2 × 1 l",
        "cream, single": "500 ml",
        "egg": "2 × 6 large",
        "walnuts": "150 g",
        "salt": "",
    }


def test_a_long_wait_doubles_nothing_where_nobody_asks_for_a_second_one(table: Table) -> None:
    listed = list_of(table)
    assert (listed["celeriac"], listed["fennel bulb"]) == ("700 g", "1 bulb")
    assert swap_outs_of(table.dish(DISH % "")) == ()
    asked = table.dish((DISH % "").replace("wait: 20 min", "wait: 20 min, swap_out: true"))
    assert {p.food.name: bought_text(p) for p in purchases_of(asked)}["celeriac"] == "1.4 kg"


def test_what_is_thrown_away_is_bought_too(table: Table) -> None:
    by_name = {p.food.name: p for p in purchases_of(table.dish(DISH % "swap_out_over: 1 h"))}
    assert (by_name["celeriac"].recipe_g, by_name["celeriac"].bought_g) == (pytest.approx(602), pytest.approx(700))
    assert by_name["fennel bulb"].bought_g == pytest.approx(234 / 0.72)
    assert by_name["walnuts"].bought_g == 30  # sold shelled


def test_the_purchases_say_how_they_are_rounded(table: Table) -> None:
    by_name = {p.food.name: p.rounded for p in purchases_of(table.dish(DISH % "swap_out_over: 1 h"))}
    assert by_name == {
        "celeriac": "up to the next 50 g",
        "fennel bulb": "up to the next whole one",
        "butter, unsalted": "1 pack of 250 g",
        "fish stock, homemade": "1 pack of 1 l",
        "cream, single": "up to the next 50 ml",
        "egg": "1 pack of 6 large",
        "walnuts": "up to the next 10 g",
        "salt": "to taste: have enough",
    }


STOCK = """
    dish: Leek stock
    short: stock
    servings: 1
    cooked_weight: 1 kg
    ingredients: {leek: 400 g, salt: 8 g}
    steps: [{stage: cook, do: Simmer., add: [leek, salt]}]
"""


def test_a_part_that_is_a_dish_flows_through_to_its_ingredients(table: Table) -> None:
    table.write("stock.yaml", STOCK)
    dish = table.dish("""
        dish: Soup
        short: soup
        servings: 2
        ingredients: {leek stock: {amount: 500 g, dish: stock.yaml}, leek: 100 g}
        steps: [{stage: cook, do: Simmer., add: [leek stock, leek]}]
        film: {safety_takes: 1}
    """)
    wants = [(w.ingredient.name, w.used_in, float(w.times)) for w in wants_of(dish)]
    assert wants == [("leek", "stock, in soup", 1), ("salt", "stock, in soup", 1), ("leek", "soup", 2)]
    leek, salt = purchases_of(dish)
    assert leek.recipe_g == pytest.approx(400 * 0.5 * 2 + 100 * 2)
    assert salt.recipe_g == pytest.approx(8)
    assert leek.bought_g > leek.recipe_g


def test_water_comes_from_the_tap(table: Table) -> None:
    dish = table.dish(
        "dish: D\nservings: 1\ningredients: {water: 200 ml, leek: 90 g}\nsteps: [{stage: cook, do: Boil., add: [water, leek]}]"
    )
    assert [p.food.name for p in purchases_of(dish)] == ["leek"]


def test_one_line_for_a_food_of_several_dishes_and_of_the_table(table: Table) -> None:
    table.write(
        "a.yaml",
        "dish: A\nservings: 2\ningredients: {lemon juice: 20 g}\nsteps: [{stage: cook, do: Add., add: lemon juice}]",
    )
    table.write(
        "b.yaml",
        "dish: B\nservings: 2\ningredients: {lemon juice: 30 g}\nsteps: [{stage: cook, do: Add., add: lemon juice}]",
    )
    meal = table.meal("""
        meal: M
        plates: 4
        dishes: [{dish: a.yaml, portion: 5 g}, {dish: b.yaml, portion: 5 g}]
        at_table: {lemon juice: 5 g}
    """)
    (line,) = purchases_of(meal)
    assert [(w.used_in, w.cooks) for w in line.wants] == [("A", 1), ("B", 1), ("each plate", 4)]
    assert line.recipe_g == 70


@pytest.mark.parametrize(
    ("ingredient", "bought"),
    [
        ("{amount: 30 g, food: parsley, pack: 1 bunch}", "30 g"),  # nothing says what a bunch of it weighs
        ("{amount: 100 ml, food: olive oil, pack: 500 ml}", "1 × 500 ml"),
        ("{amount: 30 g, food: olive oil, pack: 250 ml}", "1 × 250 ml"),
        ("{amount: 600 g, food: egg, pack: 6 large}", "2 × 6 large"),
        ("{amount: to taste, food: salt, pack: 500 g}", "1 × 500 g"),
        ("{amount: 250 g, food: salt, pack: 250 g}", "1 × 250 g"),
        ("{amount: 250.1 g, food: salt, pack: 250 g}", "2 × 250 g"),
    ],
)  # fmt: skip
def test_packs(table: Table, ingredient: str, bought: str) -> None:
    dish = table.dish(
        f"dish: D\nservings: 12\ningredients: {{one: {ingredient}}}\nsteps: [{{stage: cook, do: Add., add: one}}]"
    )
    (line,) = purchases_of(dish)
    assert bought_text(line) == bought or (line.food.name == "parsley" and line.pack is None)
    assert [p.code for p in buying_problems(purchases_of(dish))] == (
        ["pack"] if "bunch" in ingredient and line.pack is None else []
    )


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(1250, "gram", "1.25 kg"), (30, "gram", "30 g"), (2400, "millilitre", "2.4 l"), (150, "millilitre", "150 ml"), (4, "bulb", "4 bulbs")],
)  # fmt: skip
def test_amounts_as_a_shop_says_them(value: int, unit: str, text: str) -> None:
    assert amount_text(Amount(Fraction(value), unit)) == text


def enough(line: Purchase) -> bool:
    """Whether what is bought is no less than what is needed, in the unit of the purchase."""
    return line.need is None or (line.buy is not None and line.buy.value * (1 + Fraction(1, 10**5)) >= line.need.value)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_an_example_buys_no_less_than_is_cooked(path: object) -> None:
    source = read_source(str(path)).usable()
    lines = purchases_of(source)
    assert all(enough(line) and line.bought_g >= line.recipe_g - 1e-9 for line in lines)
    foods = {line.food.name for line in lines}
    assert foods >= {i.food.name for dish in dishes_of(source) for i in dish.ingredients if i.dish is None} - {"water"}


AMOUNTS = ["1 g", "7.3 g", "99.9 g", "100 g", "333 g", "2 kg", "5 oz"]
PACKS = ["", "3 g", "250 g", "1 kg", "100 ml", "1 bunch"]


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["leek", "olive oil", "salt", "celeriac", "hake"]), st.sampled_from(AMOUNTS),
                       st.sampled_from(PACKS)), min_size=1, max_size=5, unique_by=lambda x: x[0]),
    st.integers(0, 4), st.integers(0, 4), st.sampled_from(["", ", wait: 1 h, swap_out: true", ", swap_out: true"]),
)  # fmt: skip
def test_what_is_bought_is_never_less_than_recipe_times_cooks(
    tmp_path_factory: pytest.TempPathFactory, foods: list[tuple[str, str, str]], heroes: int, safety: int, twin: str
) -> None:
    listed = "\n".join(f"  {n}: {{amount: {a}{f', pack: {p}' if p else ''}}}" for n, a, p in foods)
    names = ", ".join(n for n, _, _ in foods)
    text = (
        f"dish: D\nservings: 100\ningredients:\n{listed}\n"
        f"steps: [{{stage: cook, do: Add., add: [{names}]{twin}}}]\nfilm: {{heroes: {heroes}, safety_takes: {safety}}}"
    )
    dish = Table(tmp_path_factory.mktemp("buy")).dish(text)
    cooks = 1 + heroes + safety + bool(twin)
    lines = {line.food.name: line for line in purchases_of(dish)}
    for ingredient in dish.ingredients:
        line = lines[ingredient.food.name]
        assert ingredient.grams is not None
        assert line.recipe_g == pytest.approx(ingredient.grams * cooks)
        assert line.bought_g >= ingredient.grams * cooks * (1 - 1e-9)
        assert enough(line)
        if line.pack is not None and line.packs is not None and line.need is not None:
            assert line.packs - 1 < float(line.need.value / line.pack.value) + 1e-6  # and not a pack too many
        elif line.buy is not None and line.buy.kind is not Kind.COUNT and line.need is not None:
            step = next(s for most, s in STEPS if line.need.value <= most)
            assert line.buy.value - line.need.value < step
            assert line.buy.value % step == 0


def test_the_steps_grow_with_the_amount() -> None:
    assert [most for most, _ in STEPS] == sorted(most for most, _ in STEPS)
    assert STEPS[-1][0] == math.inf


def test_the_csv_of_a_hostile_dish_is_neutral_and_reads_back(table: Table) -> None:
    dish = table.dish("""
        dish: "=HYPERLINK(1)"
        short: "=1+1"
        servings: 1
        ingredients: {"@salt": {amount: 3 g, food: salt}, leek: {amount: 100 g, pack: 1 kg}}
        steps: [{id: s, stage: cook, do: Stir., add: ["@salt", leek], screen: 9 s}]
    """)
    text = write_purchases(purchases_of(dish))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert tuple(rows[0]) == tuple(c.name for c in COLUMNS if c.name)
    assert not [cell for row in rows for cell in row.values() if cell[:1] in ("=", "+", "-", "@")]
    assert [(r["food"], r["recipe_g"], r["buy"], r["packs"], r["pack"]) for r in rows] == [
        ("salt", "3.0", "5 g", "", ""),
        ("leek", "100.0", "1 × 1 kg", "1", "1 kg"),
    ]
    assert text.count("\r\n") == text.count("\n")
