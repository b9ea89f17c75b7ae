"""Macros against figures that others published: nothing here is computed by the code it checks.

Expected values are products of figures written out below, each with the row or rule that it is from.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import pytest
from conftest import EXAMPLES

from scriptkit.nutrition.basis import EU_KCAL, eu_energy_kcal
from scriptkit.nutrition.dish_meal_macros import DishMacros, dish_macros
from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.pantry.food import Composition
from scriptkit.pantry.labels import from_label
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.sweeteners import MOST_KCAL_POLYOL, US_KCAL, US_KCAL_ALLULOSE
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table


class Row(NamedTuple):
    """A printed row, per 100 g of edible portion, and the grams of it that go in."""

    source: str
    grams: float
    kcal: float
    fat: float
    protein: float
    carbohydrate: float
    fibre: float


ML_PER_CUP = 236.5882365  # 231 cubic inches a gallon, 16 cups
ML_PER_FL_OZ = 29.5735295625

# Rows of USDA SR28 (NDB number) and Ciqual 2020 (food code); household weights are those of SR28's file WEIGHT.
BISQUE = {
    "celeriac": Row("USDA SR28 11141", 700 * 0.86, 42, 0.30, 1.50, 9.20, 1.8),  # refuse 14 %
    "fennel": Row("USDA SR28 11957", 2 * 234, 31, 0.20, 1.24, 7.30, 3.1),  # 1 bulb 234 g
    "butter": Row("USDA SR28 01145", 3 * 14.2, 717, 81.11, 0.85, 0.06, 0.0),  # 1 tbsp 14.2 g
    "stock": Row("USDA SR28 06174", 1200 / ML_PER_CUP * 233, 16, 0.81, 2.26, 0.00, 0.0),  # 1 cup 233 g
    "cream": Row("USDA SR28 01050", 120 / ML_PER_CUP * 240, 191, 19.10, 2.96, 2.82, 0.0),  # 1 cup 240 g
    "mustard": Row(
        "Ciqual 2020 11021", 20, 142, 9.90, 6.60, 2.20 + 4.50, 4.5
    ),  # carbohydrate 2.2, fibre 4.5 outside it
    "chives": Row("USDA SR28 11156", 3 * 3, 30, 0.73, 3.27, 4.35, 2.5),  # 1 tbsp chopped 3 g
}
HAKE_FAT_LOST = 1.35 * (1 - 0.780 * 1.62 / 1.34)
HAKE = {
    # Seared: as rockfish loses weight and fat (SR28 15070 and 15071: 0.780 × 1.62 ÷ 1.34 of the fat stay), of protein 3 % at most
    "hake": Row(
        "Ciqual 2020 26044",
        680,
        82.6 - 9.02 * HAKE_FAT_LOST - 4.27 * 0.03 * 17.6,
        1.35 - HAKE_FAT_LOST,
        0.97 * 17.6,
        0.0,
        0.0,
    ),
    "olive oil": Row("USDA SR28 04053", 2 * 13.5, 884, 100.0, 0.0, 0.0, 0.0),  # 1 tablespoon 13.5 g
    "butter": Row("USDA SR28 01145", 50, 717, 81.11, 0.85, 0.06, 0.0),
    "capers": Row("USDA SR28 02054", 30, 23, 0.86, 2.36, 4.89, 3.2),
    "lemon juice": Row("USDA SR28 09152", 30.5, 22, 0.24, 0.35, 6.90, 0.3),  # 1 fl oz 30.5 g; 2 tbsp are 1 fl oz
    "parsley": Row("USDA SR28 11297", 15, 36, 0.79, 2.97, 6.33, 3.3),
    "salt": Row("USDA SR28 02047", 6, 0, 0.0, 0.0, 0.0, 0.0),  # 1 tsp 6 g
}


def example(name: str) -> DishMacros:
    dish = read_source(str(EXAMPLES / name)).usable()
    assert isinstance(dish, Dish)
    return dish_macros(dish)


@pytest.mark.parametrize(
    ("file", "rows", "cooked_g", "serving_g"),
    [("fennel-bisque.yaml", BISQUE, 1920, 320), ("seared-hake.yaml", HAKE, 660, 165)],
)
def test_an_example_by_hand(file: str, rows: dict[str, Row], cooked_g: float, serving_g: float) -> None:
    macros = example(file)
    assert {i.name: i.food.source for i, _ in macros.ingredients} == {name: row.source for name, row in rows.items()}
    for ingredient, _ in macros.ingredients:
        assert ingredient.grams == pytest.approx(rows[ingredient.name].grams, rel=1e-6), ingredient.name

    def by_hand(column: str) -> float:
        return sum(row.grams * float(getattr(row, column)) / 100 for row in rows.values())

    batch = {
        "energy_kcal": by_hand("kcal"),
        "fat_g": by_hand("fat"),
        "protein_g": by_hand("protein"),
        "carbohydrate_g": by_hand("carbohydrate"),
        "fibre_g": by_hand("fibre"),
        "net_carbs_g": by_hand("carbohydrate") - by_hand("fibre"),
    }
    for nutrient, figure in batch.items():
        assert macros.batch.figure(nutrient) == pytest.approx(figure, rel=1e-6), nutrient
        # Greenfield & Southgate, FAO 2003: per 100 g cooked = raw total ÷ cooked weight × 100
        assert macros.per_100_g.figure(nutrient) == pytest.approx(figure / cooked_g * 100, rel=1e-6)
        assert macros.serving.figure(nutrient) == pytest.approx(figure / cooked_g * serving_g, rel=1e-6)


def test_parmesan() -> None:
    """USDA SR28 01032, Cheese, parmesan, grated."""
    food = Pantry().find("parmesan, grated")
    assert food.source == "USDA SR28 01032"
    c = food.composition
    assert (c.energy_kcal, c.fat_g, c.protein_g, c.carbohydrate_g) == (420, 27.84, 28.42, 13.91)


def test_cooked_weight_by_the_rule_of_the_fao(table: Table) -> None:
    """Raw 1000 g with 50 g of protein cooked down to 700 g: 50 ÷ 700 × 100 = 7.14 g per 100 g (Greenfield & Southgate 2003)."""
    dish = table.dish("""
        dish: Pulses, boiled down
        servings: 7
        cooked_weight: 700 g
        foods: {pulses: {basis: eu, energy_kcal: 100, fat_g: 1, protein_g: 5, carbohydrate_g: 15, fibre_g: 5}}
        ingredients: {pulses: 1 kg}
        steps: [{stage: cook, do: Boil down., add: pulses}]
    """)
    assert dish_macros(dish).per_100_g.figure("protein_g") == pytest.approx(50 / 700 * 100)
    assert dish_macros(dish).serving.figure("protein_g") == pytest.approx(50 / 7)


def test_energy_factors_of_the_regulation() -> None:
    """Reg. (EU) 1169/2011, Annex XIV, kcal/g: carbohydrate (except polyols) 4, polyols 2.4, protein 4, fat 9, alcohol 7,
    fibre 2, erythritol 0. Organic acids (3) and salatrim (6) are no figures of the house."""
    assert EU_KCAL == {
        "carbohydrate_g": 4, "polyols_g": 2.4, "erythritol_g": 0, "protein_g": 4, "fat_g": 9, "alcohol_g": 7, "fibre_g": 2,
    }  # fmt: skip


def test_energy_of_polyols_by_the_us_rule() -> None:
    """21 CFR 101.9(c)(1)(i)(F), kcal/g; allulose: FDA guidance for industry of October 2020."""
    assert US_KCAL == {
        "isomalt": 2.0, "lactitol": 2.0, "xylitol": 2.4, "maltitol": 2.1, "sorbitol": 2.6, "mannitol": 1.6, "erythritol": 0,
    }  # fmt: skip
    assert (US_KCAL_ALLULOSE, MOST_KCAL_POLYOL) == (0.4, 3.0)


@pytest.mark.parametrize(
    ("figures", "kcal"),
    [
        ({"carbohydrate_g": 1.0}, 4),
        ({"carbohydrate_g": 1.0, "polyols_g": 1.0}, 2.4),
        ({"protein_g": 1.0}, 4),
        ({"fat_g": 1.0}, 9),
        ({"alcohol_g": 1.0}, 7),
        ({"fibre_g": 1.0}, 2),
    ],
)
def test_a_gram_of_each_on_an_eu_label(figures: dict[str, float], kcal: float) -> None:
    none = dict.fromkeys(("carbohydrate_g", "protein_g", "fat_g", "fibre_g", "alcohol_g"), 0.0)
    assert eu_energy_kcal(macros_of(from_label(per_g=100, basis="eu", **(none | figures)), 100)) == pytest.approx(kcal)


def eaten(fat: float, protein: float, net: float) -> Macros:
    return macros_of(Composition(fat_g=fat, protein_g=protein, net_carbs_g=net), 100)


@pytest.mark.parametrize(("ratio", "percent_from_fat"), [(1, 69.2), (2, 81.8), (3, 87.1), (4, 90.0)])
def test_energy_from_fat_of_a_ketogenic_ratio(ratio: float, percent_from_fat: float) -> None:
    """Manual of Clinical Nutrition Management 2013, E-15: grams of fat to one gram of protein and carbohydrate together."""
    ratios = ratios_of(eaten(10 * ratio, 6, 4))
    assert ratios.fat_to_protein_and_net_carbs == pytest.approx(ratio)
    assert ratios.energy_shares is not None
    assert abs(ratios.energy_shares[0] - percent_from_fat) < 1
    assert sum(ratios.energy_shares) == 100


def test_a_worked_3_to_1_example() -> None:
    """ISRN Nutrition 2012, article 263139, Table 2: 1224 kcal in 39 units of 31 kcal; fat 117 g, protein 18 g, carbohydrate 21 g."""
    ratios = ratios_of(eaten(117, 18, 21))
    assert ratios.fat_to_protein_and_net_carbs == 3
    assert ratios.energy_shares == (87, 6, 7)  # 1053, 72 and 84 of 1209 kcal: 87.1, 6.0, 6.9


@pytest.mark.parametrize(
    ("basis", "carbohydrate", "fibre", "polyols", "net"), [("us", 15, 4, 0, 11), ("eu", 15, 4, 0, 15), ("us", 20, 5, 8, 11), ("eu", 20, 5, 8, 16)]
)  # fmt: skip
def test_net_carbs_of_a_dish_made_of_one_label(
    table: Table, basis: str, carbohydrate: float, fibre: float, polyols: float, net: float
) -> None:
    """21 CFR 101.9(c)(6) counts fibre into carbohydrate, Reg. (EU) 1169/2011, Annex I, does not; both count polyols into it. Half of polyols comes off (common practice, no source)."""
    dish = table.dish(f"""
        dish: One label
        servings: 1
        foods:
          bar: {{basis: {basis}, energy_kcal: 80, fat_g: 1, protein_g: 1, carbohydrate_g: {carbohydrate}, fibre_g: {fibre}, polyols_g: {polyols}}}
        ingredients: {{bar: 100 g}}
        steps: [{{stage: cook, do: Slice it., add: bar}}]
    """)
    assert dish_macros(dish).batch.figure("net_carbs_g") == pytest.approx(net)


# Net carbs per 100 g by the two tables: SR28 carbohydrate − fibre, and Ciqual 2020 available carbohydrate (with its code).
# None: Ciqual prints no such food, or its row is the first table's too.
BOTH_TABLES: dict[str, dict[str, tuple[float, float | None, str]]] = {
    "fennel-bisque.yaml": {
        "celeriac": (9.20 - 1.8, 3.98, "20055"),
        "fennel": (7.30 - 3.1, 2.63, "20028"),
        "butter": (0.06, 0.90, "16400"),
        "stock": (0.0, None, ""),
        "cream": (2.82, None, ""),
        "mustard": (2.20, None, ""),
        "chives": (4.35 - 2.5, 2.10, "11003"),
    },
    "seared-hake.yaml": {
        "hake": (0.0, None, ""),
        "olive oil": (0.0, 0.0, "17270"),
        "butter": (0.06, 0.90, "16400"),
        "capers": (4.89 - 3.2, None, ""),
        "lemon juice": (6.90 - 0.3, 2.41, "2007"),
        "parsley": (6.33 - 3.3, 3.48, "11014"),
        "salt": (0.0, 0.0, "11017"),
    },
}


@pytest.mark.parametrize(
    ("file", "rows", "cooked_g", "serving_g"),
    [("fennel-bisque.yaml", BISQUE, 1920, 320), ("seared-hake.yaml", HAKE, 660, 165)],
)
def test_an_example_by_both_tables_side_by_side(
    file: str, rows: dict[str, Row], cooked_g: float, serving_g: float
) -> None:
    """Net carbs of a serving all by SR28 (Ciqual where SR28 has no row), all by Ciqual where it has one, and the bounds."""
    nets, share = BOTH_TABLES[file], serving_g / cooked_g
    first = sum(rows[name].grams * one / 100 for name, (one, _, _) in nets.items() if name in rows) * share
    second = sum(rows[name].grams * (one if two is None else two) / 100 for name, (one, two, _) in nets.items() if name in rows) * share  # fmt: skip
    pairs = [
        (rows[name].grams, one, one if two is None else two) for name, (one, two, _) in nets.items() if name in rows
    ]
    low = sum(grams * min(one, two) / 100 for grams, one, two in pairs) * share
    high = sum(grams * max(one, two) / 100 for grams, one, two in pairs) * share
    macros = example(file)
    print(f"{file}: net carbs of a serving {first:.2f} g by SR28, {second:.2f} g by Ciqual 2020")
    for ingredient, _ in macros.ingredients:
        if ingredient.name in nets:
            assert ingredient.food.second_source.removeprefix("Ciqual 2020 ") == nets[ingredient.name][2]
    assert macros.serving.figure("net_carbs_g") == pytest.approx(first, rel=1e-6)
    assert (macros.serving.net_low_g, macros.serving.net_high_g) == pytest.approx((low, high), rel=1e-6)
    assert low <= min(first, second) <= max(first, second) <= high


def test_a_quay_dinner_by_hand() -> None:
    """A raw chop by weight with its drippings poured over, and a chowder made with a stock: from literal rows.

    USDA SR28: pork loin chop 10036 (170 kcal, fat 9.03, protein 20.71), fennel 11957, olive oil 04053, lard 04002 (fat 100),
    white wine 14106 (carbohydrate 2.60, alcohol 10.3), leek 11246 (14.15 − 1.8), butter 01145, mussels 15164 (3.69),
    cream 01050 (2.82), lemon juice 09152 (1 fl oz 30.5 g).
    """
    from scriptkit.nutrition.dish_meal_macros import meal_macros
    from scriptkit.recipe.dish import Meal

    meal = read_source(str(EXAMPLES / "quay-dinner.yaml")).usable()
    assert isinstance(meal, Meal)
    plate = meal_macros(meal)
    (chowder, chops) = (m for _, _, m in plate.portions)
    wine_g = 150 / ML_PER_FL_OZ * 29.4
    # strained out, leek tops and fennel are taken to leave 30 % of their net carbs (common practice, no source)
    strained_net = 0.3 * (1.20 * 12.35 + 0.80 * 4.20)
    stock_net = (wine_g * 2.60 / 100 + strained_net) * 800 / 1200
    net = stock_net + 3.50 * 12.35 + 0.40 * 0.06 + 4.00 * 3.69 + 100 / ML_PER_CUP * 240 * 2.82 / 100
    assert chowder.figure("net_carbs_g") == pytest.approx(net * 240 / 1400, rel=1e-4)
    # 30 min in the stock, 15 min more in the chowder: the factor of 30 min (USDA Release 6)
    assert chowder.figure("alcohol_g") == pytest.approx(wine_g * 10.3 / 100 * 0.35 * 800 / 1200 * 240 / 1400, rel=1e-3)
    fat = (4.40 * 9.03 + 1.50 * 0.20 + 13.5 / 2 * 1.0 - 16) / 2  # half of what is in the pan
    assert chops.figure("fat_g") == pytest.approx(fat, rel=1e-4)
    assert chops.figure("protein_g") == pytest.approx((4.40 * 20.71 + 1.50 * 1.24) / 2, rel=1e-3)
    assert plate.plate.figure("fat_g") == pytest.approx(
        (chowder.figure("fat_g") or 0) + fat + 8 + 30.5 / 6 * 0.24 / 100, rel=1e-3
    )  # 1 tsp is a sixth of a fluid ounce
