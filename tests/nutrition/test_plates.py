"""Macros of a dish, by weight; of a meal, as plated; and whether the plate keeps what was promised."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.dish_meal_macros import DishMacros, dish_macros, meal_macros
from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.macros import PRINTED
from scriptkit.problems import Problem
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table

STEW = """
    dish: Harbour bean stew
    servings: 4
    serving: 250 g
    {cooked}
    foods:
      beans: {{basis: eu, energy_kcal: 80, fat_g: 0.5, protein_g: 6, carbohydrate_g: 9, fibre_g: 5}}
      brown stock: {{basis: eu, energy_kcal: 4, fat_g: 0.1, protein_g: 0.5, carbohydrate_g: 0.2{fibre}}}
      dripping: {{basis: us, energy_kcal: 900, fat_g: 100, protein_g: 0, carbohydrate_g: 0, fibre_g: 0, household: {{tbsp: 12 g, tsp: 4 g}}}}
    ingredients:
      beans: 500 g
      brown stock: 600 g
      dripping: 2 tbsp
      {more}
    steps: [{{stage: cook, do: Simmer it all., add: [beans, brown stock, dripping]}}]
"""


def stew(cooked: str = "cooked_weight: 1 kg", more: str = "", fibre: str = ", fibre_g: 0") -> str:
    return STEW.format(cooked=cooked, more=more, fibre=fibre)


def of(table: Table, text: str) -> DishMacros:
    source = table.read(text).source
    assert isinstance(source, Dish)
    return dish_macros(source)


def test_batch_serving_and_100_g_by_weight(table: Table) -> None:
    macros = of(table, stew())
    # 500 g beans at 80 kcal, 600 g stock at 4, 24 g dripping at 900
    assert macros.batch.figure("energy_kcal") == pytest.approx(400 + 24 + 216)
    assert macros.batch.figure("fat_g") == pytest.approx(2.5 + 0.6 + 24)
    assert macros.batch.figure("net_carbs_g") == pytest.approx(45 + 1.2)
    assert macros.batch.figure("carbohydrate_g") == pytest.approx(70 + 1.2)
    assert macros.batch.weight_g == 1000
    assert macros.serving.weight_g == 250
    assert macros.serving.figure("energy_kcal") == pytest.approx(160)
    assert macros.per_100_g.figure("energy_kcal") == pytest.approx(64)
    assert macros.portion(125).figure("energy_kcal") == pytest.approx(80)


def test_the_cooked_weight_only_dilutes(table: Table) -> None:
    thick, thin = of(table, stew("cooked_weight: 800 g")), of(table, stew("cooked_weight: 1.6 kg"))
    assert thick.batch.known == thin.batch.known
    assert thick.per_100_g.figure("fat_g") == pytest.approx(2 * thin.per_100_g.figure("fat_g"))  # type: ignore[operator]


def test_an_estimated_weight_is_the_sum_of_what_went_in_and_is_marked(table: Table) -> None:
    macros = of(table, stew(""))
    assert macros.batch.weight_g == pytest.approx(1124)
    assert macros.estimated == ("cooked weight: the sum of what went in, as if nothing boiled away",)
    assert of(table, stew()).estimated == ()


def test_to_taste_is_counted_in_nothing_and_named(table: Table) -> None:
    plain, salted = of(table, stew()), of(table, stew(more="salt: to taste"))
    assert salted.batch == plain.batch
    assert [i.name for i, _ in salted.ingredients] == ["beans", "brown stock", "dripping"]
    assert (salted.to_taste, salted.unknown) == (("salt",), ("salt",))
    assert plain.unknown == ()


def test_a_pinch_is_counted_and_marked_as_an_estimate(table: Table) -> None:
    macros = of(table, stew(more="nutmeg: 1 pinch"))
    assert macros.estimated == ("nutmeg: a pinch taken as 1/16 tsp",)
    assert macros.unknown == ()


def test_an_ingredient_that_lacks_a_figure_is_named_and_makes_it_unknown(table: Table) -> None:
    macros = of(table, stew(fibre=""))
    assert macros.unknown == ("brown stock",)
    assert macros.batch.figure("fibre_g") is None
    assert macros.batch.at_least("fibre_g") == pytest.approx(25)
    assert macros.batch.figure("net_carbs_g") == pytest.approx(46.2)
    assert macros.unknown_figures["fibre_g"] == ("brown stock",)
    assert macros.unknown_figures["alcohol_g"] == ("beans", "brown stock", "dripping")


SCALED = """
dish: Harbour bean stew
servings: {servings}
cooked_weight: {cooked} g
foods:
  beans: {{basis: eu, energy_kcal: 80, fat_g: 0.5, protein_g: 6, carbohydrate_g: 9, fibre_g: 5}}
  dripping: {{basis: us, energy_kcal: 900, fat_g: 100, protein_g: 0, carbohydrate_g: 0, fibre_g: 0}}
ingredients: {{beans: {beans} g, red wine: {stock} g, dripping: {fat} g}}
steps: [{{stage: cook, do: Simmer it all., add: [beans, red wine, dripping]}}]
"""


@settings(max_examples=40, deadline=None)
@given(factor=st.integers(2, 40), parts=st.lists(st.integers(1, 900), min_size=3, max_size=3))
def test_scaling_a_recipe_scales_its_batch_and_leaves_100_g(
    factor: int, parts: list[int], tmp_path_factory: pytest.TempPathFactory
) -> None:
    def dish(times: int) -> DishMacros:
        beans, stock, fat = (p * times for p in parts)
        text = SCALED.format(cooked=beans + stock + fat, servings=4 * times, beans=beans, stock=stock, fat=fat)
        path = tmp_path_factory.mktemp("scale") / "dish.yaml"
        path.write_text(text, encoding="utf-8")
        source = read_source(str(path)).source
        assert isinstance(source, Dish)
        return dish_macros(source)

    one, many = dish(1), dish(factor)
    for nutrient in PRINTED:
        assert many.batch.at_least(nutrient) == pytest.approx(factor * one.batch.at_least(nutrient))
        assert many.per_100_g.at_least(nutrient) == pytest.approx(one.per_100_g.at_least(nutrient))
        assert many.serving.at_least(nutrient) == pytest.approx(one.serving.at_least(nutrient))
    assert many.serving.weight_g == pytest.approx(one.serving.weight_g)


def of_meal(table: Table, limits: str = "", fibre: str = ", fibre_g: 0") -> tuple[list[Problem], float]:
    """Problems of the limits, and the plate's net carbs."""
    table.write("stew.yaml", stew(fibre=fibre))
    table.write("thin.yaml", stew("cooked_weight: 2 kg", fibre=fibre).replace("serving: 250 g", "serving: 500 g"))
    meal = table.meal(f"""
        meal: Two stews
        plates: 3
        dishes:
          - {{dish: stew.yaml, portion: 200 g}}
          - {{dish: thin.yaml, portion: 1/2 serving}}
        {limits}
    """)
    macros = meal_macros(meal)
    by_hand = [46.2 * 200 / 1000, 46.2 * 250 / 2000]
    assert [m.figure("net_carbs_g") for _, _, m in macros.portions] == pytest.approx(by_hand)
    assert macros.plate.figure("net_carbs_g") == pytest.approx(sum(by_hand))
    assert macros.plate.weight_g == pytest.approx(450)
    assert macros.party.figure("net_carbs_g") == pytest.approx(3 * sum(by_hand))
    return limit_problems(macros.meal.limits, macros.plate), sum(by_hand)


def test_a_plate_is_the_sum_of_its_portions(table: Table) -> None:
    problems, net = of_meal(table)
    assert problems == []
    assert net == pytest.approx(15.015)


@pytest.mark.parametrize(
    ("limits", "message"),
    [
        ("at_most: {net_carbs_g: 15}", None),  # 15.015 is printed 15.0: the viewer sees the promise kept
        (
            "at_most: {net_carbs_g: 14.5}",
            "the plate has 15.0 g net carbs, 0.5 g more than was promised (at most 14.5 g)",
        ),
        ("at_least: {protein_g: 10.7}", None),
        ("at_least: {protein_g: 20}", "the plate has 10.7 g protein, 9.3 g less than was promised (at least 20 g)"),
        (
            "at_most: {energy_kcal: 200}",
            "the plate has 208 kcal energy, 8 kcal more than was promised (at most 200 kcal)",
        ),
    ],
)
def test_a_broken_promise_says_by_how_much(table: Table, limits: str, message: str | None) -> None:
    problems, _ = of_meal(table, limits)
    assert [p.message for p in problems] == ([] if message is None else [message])
    assert all(p.place.line == 7 and p.code == "limit" and p.hint for p in problems)


@pytest.mark.parametrize(
    ("limits", "code"),
    [
        ("at_most: {fibre_g: 30}", "limit-unknown"),  # 8.1 g and what is not known
        ("at_most: {fibre_g: 8}", "limit"),  # what is known breaks it already
        ("at_least: {fibre_g: 8}", None),  # what is known keeps it already
        ("at_least: {fibre_g: 30}", "limit-unknown"),
    ],
)
def test_a_promise_on_a_figure_that_is_not_wholly_known(table: Table, limits: str, code: str | None) -> None:
    problems, _ = of_meal(table, limits, fibre="")
    assert [p.code for p in problems] == ([] if code is None else [code])
