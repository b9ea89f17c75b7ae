"""From the filled form to the weighed dish."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.problems import CannotDo
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.portions import portion_of


def one(table: Table, ingredient: str, top: str = "") -> Ingredient:
    dish = table.dish(f"dish: D\nservings: 2\n{top}ingredients:\n  x: {ingredient}\n")
    return dish.ingredients[0]


# Grams are the amount × the household weight of USDA SR28 (its row beside each), or the exact measure.
@pytest.mark.parametrize(
    ("ingredient", "grams"),
    [
        ("{amount: 30 g, food: leek}", 30),
        ("{amount: 320 g, food: 'puff pastry, all-butter'}", 320),  # for baking, and no seasoning
        ("{amount: 300 g, food: 'chocolate, dark, 70%'}", 300),
        ("{amount: 1 lb, food: leek}", 453.59237),
        ("{amount: 1/2 oz, food: leek}", 14.174762),
        ("{amount: 2 tbsp, food: 'butter, unsalted'}", 28.4),  # 01145: 1 tbsp = 14.2 g
        ("{amount: 1 cup, food: onion, prep: chopped}", 160),  # 11282: 1 cup, chopped = 160 g
        ("{amount: 1 cup, food: onion, prep: 'sliced, 5 mm'}", 115),  # 11282: 1 cup, sliced = 115 g
        ("{amount: 1 cup, food: onion, prep: rings, measured_as: chopped}", 160),
        ("{amount: 2 tbsp, food: onion, prep: chopped}", 20),  # 11282: 1 tbsp chopped = 10 g
        ("{amount: 2 medium, food: carrot}", 122),  # 11124: 1 medium = 61 g
        ("{amount: 3, food: leek}", 267),  # 11246: 1 leek = 89 g
        ("{amount: 1 tsp, food: salt}", 6),  # 02047: 1 tsp = 6 g
        ("{amount: 700 g, food: celeriac, bought: whole}", 602),  # 11141: refuse 14%
        ("{amount: 2 medium, food: carrot, bought: whole}", 122),  # a household weight is edible already
    ],
)
def test_grams(table: Table, ingredient: str, grams: float) -> None:
    assert one(table, ingredient).grams == pytest.approx(grams)


@pytest.mark.parametrize(("cups", "ml"), [("us", 236.5882365), ("metric", 250), ("australian", 250)])
def test_the_files_cups(table: Table, cups: str, ml: float) -> None:
    """A cup of water (USDA SR28 14411: 1 fl oz = 29.6 g): only the size of the cup differs."""
    us = one(table, "{amount: 1 cup, food: water}").grams
    assert us is not None
    assert one(table, "{amount: 1 cup, food: water}", f"cups: {cups}\n").grams == pytest.approx(us * ml / 236.5882365)


def test_as_bought_where_refuse_is_known(table: Table) -> None:
    leek = one(table, "{amount: 100 g, food: leek}")  # SR28 11246: refuse 56%
    assert leek.grams == 100
    assert leek.as_bought_g == pytest.approx(100 / 0.44)


def test_to_taste_is_counted_in_nothing(table: Table) -> None:
    salt = one(table, "{amount: To Taste, food: salt}")
    assert salt.to_taste
    assert salt.readable
    assert (salt.amount, salt.grams, salt.as_bought_g) == (None, None, None)


def test_what_could_not_be_read_is_not_to_taste(table: Table) -> None:
    dish = table.read("dish: D\nservings: 2\ningredients:\n  leek: 2-3\n  butter: 3 g\n  salt: [1]\n").source
    assert isinstance(dish, Dish)
    assert [(i.key, i.readable, i.to_taste) for i in dish.ingredients] == [
        ("leek", False, False), ("butter", False, False), ("salt", False, False),
    ]  # fmt: skip


def test_places_names_and_cuts(table: Table) -> None:
    dish = table.dish(
        'dish: D\nservings: 2\ningredients:\n  spring_onion-tops: {amount: 3 g, food: leek, prep: "rings, 1 cm"}\n'
    )
    tops = dish.ingredients[0]
    assert (tops.name, tops.mm, tops.place.line, tops.place.column) == ("spring onion-tops", 10.0, 4, 3)


def test_cooked_weight_measured_or_estimated(table: Table) -> None:
    text = "dish: D\nservings: 3\ningredients: {leek: 300 g, salt: to taste}\n"
    estimated = table.dish(text)
    assert (estimated.cooked_g, estimated.cooked_estimated, estimated.serving_g) == (300, True, 100)
    measured = table.dish(text + "cooked_weight: 0.27 kg\nserving: 90 g\n")
    assert (measured.cooked_g, measured.cooked_estimated, measured.serving_g) == (270, False, 90)
    assert measured.serving_stated


def test_a_serving_by_volume(table: Table) -> None:
    text = "dish: D\nservings: 2\nserving: 250 ml\ncooked_weight: 520 g\ncooked_volume: 500 ml\ningredients: {leek: 500 g}\n"
    assert table.dish(text).serving_g == pytest.approx(260)


@given(st.integers(1, 40), st.integers(1, 3000))
@settings(max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_servings_make_the_batch(table: Table, servings: int, grams: int) -> None:
    dish = table.dish(f"dish: D\nservings: {servings}\ningredients: {{leek: {grams} g}}\n")
    assert dish.serving_g * dish.servings == pytest.approx(dish.cooked_g)


def test_kitchen_and_film(table: Table) -> None:
    text = "dish: D\nservings: 2\ningredients: {leek: 1 g}\n"
    plain = table.dish(text)
    assert (plain.kitchen.jug_ml, plain.kitchen.jug_fill) == (1500, pytest.approx(1 / 3))
    assert (plain.film.opening_ms, plain.film.closing_ms) == (10_000, 26_000)
    own = table.dish(text + "kitchen: {jug: 2 l, jug_fill: 0.5}\nfilm: {opening: 5 s, closing: 1/2 min}\n")
    assert (own.kitchen.jug_ml, own.kitchen.jug_fill) == (2000, 0.5)
    assert (own.film.opening_ms, own.film.closing_ms) == (5_000, 30_000)


@pytest.mark.parametrize(
    ("words", "grams"), [("1 serving", 150), ("serving", 150), ("½ servings", 75), ("2 servings", 300), ("180 g", 180)]
)
def test_portions(table: Table, words: str, grams: float) -> None:
    dish = table.dish("dish: D\nservings: 2\ningredients: {leek: 300 g}\n")
    assert portion_of(words, dish, "--portion") == (pytest.approx(grams), [])


@pytest.mark.parametrize("words", ["", "2-3 servings", "1 cup", "-1 g", "nan g", "0 servings", "all of it"])
def test_what_is_no_portion_is_told(table: Table, words: str) -> None:
    dish = table.dish("dish: D\nservings: 2\ningredients: {leek: 300 g}\n")
    grams, problems = portion_of(words, dish, "--portion")
    assert grams is None
    assert [p.place.file for p in problems] == ["--portion"]
    assert problems[0].hint


# --- own foods --------------------------------------------------------------------------------------------------------

OWN = """\
dish: D
servings: 1
{cups}ingredients:
  bar: {{amount: {amount}}}
foods:
  bar: {label}
"""


def own(table: Table, label: str, amount: str = "100 g", cups: str = "") -> Ingredient:
    return table.dish(OWN.format(label=label, amount=amount, cups=cups)).ingredients[0]


# Net carbs: US total 15 − fibre 4 = 11; EU 15 (fibre apart) = 15; polyols 8, half of them: US 20 − 5 − 4 = 11, EU 20 − 4 = 16 (from the
# definitions in 21 CFR 101.9(c)(6) and Reg. (EU) 1169/2011, Annex I).
@pytest.mark.parametrize(
    ("label", "total", "net"),
    [
        ("{basis: us, carbohydrate_g: 15, fibre_g: 4}", 15, 11),
        ("{basis: eu, carbohydrate_g: 15, fibre_g: 4}", 19, 15),
        ("{basis: us, carbohydrate_g: 20, fibre_g: 5, polyols_g: 8}", 20, 11),
        ("{basis: eu, carbohydrate_g: 20, polyols_g: 8}", None, 16),
        ("{basis: us, carbohydrate_g: 20}", 20, None),
        ("{basis: us, per: 25 g, carbohydrate_g: 5, fibre_g: 1}", 20, 16),
        ("{basis: us, per: 1 oz, carbohydrate_g: 28.349523125, fibre_g: 0}", 100, 100),
    ],
)
def test_labels(table: Table, label: str, total: float | None, net: float | None) -> None:
    composition = own(table, label).food.composition
    assert composition.carbohydrate_g == (None if total is None else pytest.approx(total))
    assert composition.net_carbs_g == (None if net is None else pytest.approx(net))
    assert composition.fat_g is None


def test_a_european_label_prints_salt(table: Table) -> None:
    """Salt = sodium × 2.5: Reg. (EU) 1169/2011, Annex I."""
    assert own(table, "{basis: eu, salt_g: 1}").food.composition.sodium_mg == pytest.approx(400)
    assert own(table, "{basis: eu, salt_g: 1, sodium_mg: 390}").food.composition.sodium_mg == 390


@pytest.mark.parametrize(
    ("household", "amount", "cups", "grams"),
    [
        ("{cup: 120 g}", "2 cups", "", 240),
        ("{cup: 120 g}", "2 cups", "cups: metric\n", 240),
        ("{tbsp: 20 g}", "1 tbsp", "cups: australian\n", 20),
        ("{2 tbsp: 30 g}", "1 tbsp", "", 15),
        ("{½ cup: 30 g}", "1 cup", "", 60),
        ("{bar: 40 g, piece: 35 g}", "2", "", None),
        ("{piece: 35 g}", "2", "", 70),
        ("{slice: 1 oz}", "2 slices", "", 56.69904625),
    ],
)
def test_household_weights_of_own_foods(
    table: Table, household: str, amount: str, cups: str, grams: float | None
) -> None:
    if grams is None:
        with pytest.raises(CannotDo, match="“bar” in “1 bar” is not a unit"):
            own(table, f"{{basis: us, household: {household}}}", amount, cups)
    else:
        assert own(table, f"{{basis: us, household: {household}}}", amount, cups).grams == pytest.approx(grams)


def test_own_foods_have_refuse_synonyms_and_allergens(table: Table) -> None:
    text = "dish: D\nservings: 1\ningredients: {rinds: {amount: 100 g, bought: whole}}\nfoods:\n"
    text += "  cheese: {basis: us, refuse_percent: 20, synonyms: [rind], allergens: [milk], safety: ''}\n"
    cheese = table.dish(text).ingredients[0]
    assert cheese.grams == pytest.approx(80)
    assert (cheese.food.name, cheese.food.allergens) == ("cheese", ("milk",))


def test_an_own_food_hides_the_pantrys(table: Table) -> None:
    text = "dish: D\nservings: 1\ningredients: {leek: 100 g}\nfoods: {leek: {basis: us, fat_g: 3}}\n"
    assert table.dish(text).ingredients[0].food.composition.fat_g == 3


def test_the_pantry_beside_the_dish(table: Table) -> None:
    table.write(
        "pantry.yaml",
        "cups: metric\nfoods:\n  rind: {basis: eu, fat_g: 5, household: {cup: 125 g}}\n  bar: {basis: us}\n",
    )
    text = "dish: D\nservings: 1\ningredients: {rind: 1 cup, bar: 3 g}\ncups: metric\nfoods: {bar: {basis: us, fat_g: 9}}\n"
    rind, bar = table.dish(text).ingredients
    assert rind.grams == pytest.approx(125)
    assert rind.food.source.endswith("pantry.yaml")
    assert bar.food.composition.fat_g == 9  # the dish's own comes first


def test_what_is_wrong_in_the_pantry_is_told_of_the_pantry(table: Table) -> None:
    table.write("pantry.yaml", "foods:\n  rind: {basis: uk, fat: 5}\n  bar: {basis: us, fat_g: 200}\n")
    reading = table.read("dish: D\nservings: 1\ningredients: {rind: 30 g}\n")
    assert [(p.place.file.rpartition("/")[2], p.place.line, p.place.column, p.code) for p in reading.problems] == [
        ("pantry.yaml", 2, 17, "wrong-value"), ("pantry.yaml", 2, 21, "unknown-key"), ("pantry.yaml", 3, 3, "label"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "code"), [("", "empty"), ("- a\n", "wrong-value"), ("foods: [\n", "yaml"), ("a: b: c", "yaml")]
)
def test_a_pantry_that_cannot_be_read(table: Table, text: str, code: str) -> None:
    table.write("pantry.yaml", text)
    try:
        problems = table.read("dish: D\nservings: 1\ningredients: {leek: 30 g}\n").problems
    except CannotDo as wrong:
        problems = list(wrong.problems)
    assert [p.code for p in problems] == [code]
    assert problems[0].place.file.endswith("pantry.yaml")
