"""Ingredients in metric and in US measures, in order of use; and the same for another number of eaters."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st
from publications import GOOD, of_example, published

from scriptkit.measure.amounts import Amount, Kind, parse_amount
from scriptkit.measure.unit_system import G_PER_OUNCE, measurable, ounces_text
from scriptkit.nutrition.macros import Macros
from scriptkit.publish.dual_units import lines_of
from scriptkit.publish.scaling import scaled
from scriptkit.publish.times import iso_duration, times_of
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

DISH = """\
dish: Soup
servings: 4
cooked_weight: 2 kg
cooked_volume: 2 l
ingredients:
  celeriac: {amount: 700 g, bought: whole, prep: "dice, 15 mm"}
  hake: 680 g
  stock: {amount: 1.2 l, food: "fish stock, homemade"}
  butter: {amount: 3 tbsp, food: "butter, unsalted"}
  egg: 3 large
  mustard: {amount: 20 g, food: "mustard, wholegrain"}
  salt: to taste
steps:
  - {stage: cook, do: Stir., add: {salt: to taste, butter: half, celeriac: all, hake: all}}
  - {stage: cook, do: Stir., add: {stock: all, butter: rest, egg: all, mustard: all}}
"""


def test_each_ingredient_once_in_the_order_of_its_first_use(table: Table) -> None:
    lines = [line.words for line in lines_of(table.dish(DISH))]
    assert lines == [
        "salt, to taste",
        "43 g (3 tbsp) unsalted butter",  # 14.2 g a tablespoon: USDA SR28, row 01145
        "602 g (about 3 ¾ cups) celeriac, dice, 15 mm; from 700 g whole",
        "680 g (1 lb 8 oz) hake",
        "1.2 l (about 5 cups) homemade fish stock",
        "150 g (3 large) eggs",  # 50 g a large egg: USDA SR28, row 01123
        "20 g (0.7 oz) wholegrain mustard",
    ]


def test_each_weight_stands_beside_its_own(table: Table) -> None:
    """Pounds that the cook weighed with the bones are none of what is eaten; twins: without bones, and in grams."""
    recipe = DISH.replace("celeriac: {amount: 700 g,", "celeriac: {amount: 2 1/2 lb,").replace("680 g", "1.5 lb")
    lines = {line.ingredient.key: line.words for line in lines_of(table.dish(recipe))}
    assert lines["celeriac"].startswith("975 g (2 lb 2 ½ oz) celeriac"), lines
    assert lines["celeriac"].endswith("; from 1.13 kg (2 ½ lb) whole")
    assert lines["hake"] == "680 g (1 ½ lb) hake"


@pytest.mark.parametrize(("servings", "whole"), [(4, "from 8 oz (227 g) whole"), (8, "from 1 lb (454 g) whole")])
def test_what_was_bought_whole_is_told_in_both_systems_where_ounces_lead(
    table: Table, servings: float, whole: str
) -> None:
    recipe = DISH.replace("servings: 4", "servings: 4\nunits: us").replace(
        "celeriac: {amount: 700 g,", "celeriac: {amount: 8 oz,"
    )
    dish, _ = scaled(table.dish(recipe), servings)
    assert isinstance(dish, Dish)
    assert next(line.more for line in lines_of(dish) if line.ingredient.key == "celeriac").endswith(f"; {whole}")


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_ingredient_of_every_example_is_listed(path: object) -> None:
    publication = published(read_source(str(path)).usable())
    for part in publication.parts:
        assert {line.ingredient.key for line in part.lines} == {i.key for i in part.dish.ingredients}
        for line in part.lines:
            assert bool(line.metric) is bool(line.us) is not line.ingredient.to_taste


@settings(max_examples=60)
@given(st.floats(1, 20_000))
def test_pounds_and_ounces_are_near(grams: float) -> None:
    """NIST Handbook 44: a pound is 453.59237 g."""
    words = ounces_text(grams)
    if words == "under 0.1 oz":
        assert grams < 0.05 * G_PER_OUNCE
        return
    pounds, _, rest = words.rpartition("lb") if "lb" in words else ("", "", words)
    ounces = (float(pounds) * 16 if pounds else 0) + (
        float(parse_amount(rest.strip() or "1 oz").value) if rest.strip() else 0
    )
    step = 0.1 if grams < 0.95 * G_PER_OUNCE else 0.25 if grams < 16 * G_PER_OUNCE else 0.5
    assert abs(ounces * G_PER_OUNCE - grams) <= step / 2 * G_PER_OUNCE + 1e-6


# --- for another number ----------------------------------------------------------------------------------------------


def test_amounts_grow_and_times_and_vessels_do_not(table: Table) -> None:
    dish = table.dish(DISH)
    twice, told = scaled(dish, 8)
    assert isinstance(twice, Dish)
    assert [(i.grams, j.grams) for i, j in zip(dish.ingredients, twice.ingredients, strict=True) if i.grams] == [
        (i.grams, i.grams * 2) for i in dish.ingredients if i.grams
    ]
    assert (twice.servings, twice.cooked_g, twice.cooked_ml, twice.serving_g) == (8, 4000, 4000, dish.serving_g)
    assert [s.wait_ms for s in twice.steps] == [s.wait_ms for s in dish.steps]
    assert [p.code for p in told] == ["scaled"]
    assert "times, heat and vessels are those of 4" in told[0].message
    line = next(line for line in lines_of(twice) if line.name == "unsalted butter")
    assert line.us == "6 tbsp"


def test_the_same_number_is_the_same_dish(table: Table) -> None:
    dish = table.dish(DISH)
    assert scaled(dish, 4) == (dish, [])
    with pytest.raises(ValueError, match="above zero"):
        scaled(dish, 0)


@settings(max_examples=40)
@given(st.floats(0.5, 200))
def test_scaling_scales_the_batch_and_leaves_the_serving(servings: float) -> None:
    of = of_example("seared-hake.yaml")
    other = of_example("seared-hake.yaml", servings)
    factor = float(Fraction(servings).limit_denominator(10**6) / 4)
    one, many = of.parts[0].macros, other.parts[0].macros
    assert close(many.batch, one.batch.times(factor))
    assert close(many.serving, one.serving)


def close(one: Macros, other: Macros) -> bool:
    return all(a == pytest.approx(b, rel=1e-9, abs=1e-9) for a, b in zip(one.known, other.known, strict=True))


def test_a_meal_for_more_plates_scales_its_dishes_and_not_the_plate() -> None:
    four, eight = of_example("harbour-supper.yaml"), of_example("harbour-supper.yaml", 8)
    assert four.of_meal is not None
    assert eight.of_meal is not None
    assert eight.serves == 8
    assert close(four.of_meal.plate, eight.of_meal.plate)
    assert [p.dish.servings for p in eight.parts] == [12, 8]
    assert eight.filmed_for == 4


def test_the_jug_is_filled_more_often() -> None:
    """1.9 l, less 0.16 l that goes in after the blending, in a jug of 1.75 l, a third full: 3 batches; twice as much: 6."""
    one = next(c for c in of_example("fennel-bisque.yaml").cautions if c.rule.id == "hot-blending-jug")
    two = next(c for c in of_example("fennel-bisque.yaml", 12).cautions if c.rule.id == "hot-blending-jug")
    assert "3 batches" in one.printed
    assert "6 batches" in two.printed


MUSSELS = """dish: Mussels
servings: 2
ingredients:
  mussels: 1 kg
steps:
  - {stage: cook, do: Steam the mussels., add: {mussels: all}, vessel: pot}
"""


def test_spoons_and_cups_as_they_come() -> None:
    def printed(words: str) -> str:
        return str(measurable(parse_amount(words)))

    assert printed("12 tbsp") == "¾ cup"
    assert printed("16 tbsp") == "1 cup"
    assert printed("6 tsp") == "2 tbsp"
    assert printed("0.3 tsp") == "¼ tsp"
    assert printed("5 1/10 cups") == "5 cups"
    assert printed("133.3 g") == "133.3 g"
    assert printed("2.4 cloves") == "2 ½ cloves"
    assert printed("0.01 clove") == "¼ clove"
    assert printed("13 1/2 tbsp") == printed("14 tbsp") == "⅞ cup"


@given(st.integers(38, 4000))
def test_nobody_counts_out_more_than_ten_spoons(quarters: int) -> None:
    near = measurable(Amount(Fraction(quarters, 4), "tablespoon"))
    assert near.unit == "cup" or near.value <= 10


def test_what_goes_in_in_its_shell_is_weighed_and_not_measured_in_cups(table: Table) -> None:
    """A cup of mussels is of their meat."""
    whole = MUSSELS.replace("1 kg", "{amount: 1 kg, bought: whole}")
    for text, us in (
        (whole, "2 lb 3 ½ oz"),
        (MUSSELS.replace("mussels: 1 kg", "mussels: {amount: 300 g, bought: ready}"), "about 2 cups"),
    ):
        dish = table.dish(text)
        assert lines_of(dish)[0].us == us
        assert dish.steps[0].additions[0].household == (us if "about" in us else "")


@settings(max_examples=60)
@given(st.integers(1, 4000), st.sampled_from(["teaspoon", "tablespoon", "cup", "metric_cup", "australian_tablespoon"]))
def test_a_measure_is_never_off_by_more_than_a_level_spoon_shows(quarters: int, unit: str) -> None:
    exact = Amount(Fraction(quarters, 4), unit)
    near = measurable(exact)
    assert near.kind is Kind.VOLUME
    off = abs(near.millilitres / exact.millilitres - 1)
    assert (
        off <= 0.145 or abs(near.millilitres - exact.millilitres) <= 0.7
    )  # a quarter of two tablespoons; half of the smallest spoon


# --- times -----------------------------------------------------------------------------------------------------------


def test_times_of_a_dish_and_of_a_meal() -> None:
    bisque = times_of(read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable())
    assert (bisque.prep_ms, bisque.cook_ms, bisque.total_ms) == (
        12 * 60_000,
        37 * 60_000,
        49 * 60_000,
    )  # 5 min of it the soup cools before it is blended
    supper = times_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable())
    assert (supper.prep_ms, supper.cook_ms) == (None, None)
    assert supper.total_ms is not None
    assert supper.total_ms > 49 * 60_000


def test_a_step_without_a_time_leaves_the_whole_unknown(table: Table) -> None:
    assert times_of(table.dish(DISH)).total_ms is None


@pytest.mark.parametrize(
    ("ms", "iso"),
    [(600_000, "PT10M"), (3_630_000, "PT1H0M30S"), (0, "PT0S"), (90_000, "PT1M30S"), (7_200_000, "PT2H"), (499, "PT0S")],
)  # fmt: skip
def test_durations_are_iso_8601_with_every_unit_between(ms: int, iso: str) -> None:
    """ISO 8601, 4.4.3.2: ten minutes is PT10M; P10M is ten months."""
    assert iso_duration(ms) == iso


def test_one_cook_and_no_camera(table: Table) -> None:
    text = """\
        dish: D
        servings: 1
        ingredients: {salt: 3 g}
        kitchen: {cooks: 2, filming: 10 min}
        steps:
          - {stage: prep, do: Wash., hands: 5 min}
          - {stage: cook, do: Stir., add: salt, hands: 4 min}
        """
    times = times_of(table.dish(text))
    assert times.total_ms == 9 * 60_000
    assert dataclasses.astuple(times) == (300_000, 240_000, 540_000)


@pytest.mark.parametrize(
    ("amount", "metric"), [("2.5 ml", "2.5 ml"), ("9 ml", "9 ml"), ("120 ml", "120 ml"), ("1.2 l", "1.2 l")]
)
def test_what_was_measured_in_litres_stays_so(table: Table, amount: str, metric: str) -> None:
    dish = table.dish(
        f"dish: D\nservings: 1\ningredients: {{water: {amount}}}\nsteps: [{{stage: cook, do: Warm it., add: water}}]\n"
    )
    assert [line.metric for line in lines_of(dish)] == [metric]
