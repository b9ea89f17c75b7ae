"""The embedded table: names that lead to one food, figures that can be true, and words that must stay a question."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from importlib import resources

import pytest

from scriptkit.pantry import table
from scriptkit.pantry.lookup import Pantry, UnknownFood
from scriptkit.pantry.names import fold
from scriptkit.pantry.spreads import spread_of

CATEGORIES = {
    "vegetable", "herb", "mushroom", "seaweed", "pulse", "soya and plant", "fruit", "nut or seed", "spice", "grain",
    "starch", "baking", "sweetener", "bread", "pasta", "egg", "dairy", "cheese", "fat or oil", "beef", "veal", "lamb",
    "pork", "poultry", "game", "offal", "cured meat", "fish", "shellfish", "stock", "condiment", "sauce", "drink",
    "wine or spirit",
}  # fmt: skip
# The fourteen of Reg. (EU) 1169/2011, Annex II, with wheat told apart from the other gluten cereals as in 21 USC 321(qq).
# Classes of the FoodSafety.gov chart of safe minimum internal temperatures.
SAFETY = {"", "whole-cut", "ground-meat", "poultry", "fish", "shellfish", "egg", "ham-cooked"}

# Words that mean two foods a cook would tell apart: the tool asks, it does not choose.
AMBIGUOUS = [
    "cream", "flour", "corn flour", "butter", "milk", "mustard", "pepper", "vinegar", "cheese", "oil",
    "stock", "broth", "rice", "beans", "chilli", "chili", "chilli powder", "coriander", "mince", "minced beef",
    "ground beef", "sirloin", "sirloin steak", "treacle", "tomato puree", "tomato sauce", "endive", "chicory", "thyme",
    "basil", "mint", "rosemary", "sage", "dill", "oregano", "tarragon", "ginger", "lentils", "chickpeas", "black beans",
    "canned black beans", "kidney beans", "lettuce", "squash", "melon", "tuna", "sole", "mozzarella", "sausage",
    "bread", "breadcrumbs", "noodles", "pasta", "tofu", "yoghurt", "chocolate", "dark chocolate", "olives", "cider",
    "syrup", "wine", "chicken", "beef", "lamb", "pork", "chicken thigh", "chicken stock", "black pudding", "digestive",
]  # fmt: skip

# The same food under a British, an American or an Australian name.
SAME_FOOD = [
    ("courgette", "zucchini"), ("aubergine", "eggplant"), ("rocket", "arugula"), ("swede", "rutabaga"),
    ("spring onion", "scallion"), ("spring onion", "green onion"), ("coriander leaves", "cilantro"),
    ("beetroot", "beets"), ("celeriac", "celery root"), ("mangetout", "snow peas"), ("broad beans, dried", "dried fava beans"),
    ("pepper, red", "red capsicum"), ("pepper, green", "green bell pepper"), ("chinese leaf", "napa cabbage"),
    ("pak choi", "bok choy"), ("spring greens", "collard greens"), ("chestnut mushroom", "cremini mushroom"),
    ("haricot beans, dried", "navy beans, dried"), ("gram flour", "besan"), ("cornflour", "cornstarch"),
    ("plain flour", "all-purpose flour"), ("strong white flour", "bread flour"), ("self-raising flour", "self-rising flour"),
    ("wholemeal flour", "whole wheat flour"), ("bicarbonate of soda", "baking soda"), ("icing sugar", "confectioners' sugar"),
    ("icing sugar", "powdered sugar"), ("caster sugar", "superfine sugar"), ("demerara sugar", "turbinado sugar"),
    ("black treacle", "molasses"), ("sultanas", "golden raisins"), ("desiccated coconut", "unsweetened shredded coconut"),
    ("linseed", "flaxseed"), ("ground almonds", "almond flour"), ("single cream", "light cream"),
    ("whipping cream", "heavy cream"), ("soured cream", "sour cream"), ("semi-skimmed milk", "2% milk"),
    ("skimmed milk", "nonfat milk"), ("rapeseed oil", "canola oil"), ("groundnut oil", "peanut oil"),
    ("beef mince, 20% fat", "ground beef, 80% lean"), ("pork mince", "ground pork"), ("turkey mince", "ground turkey"),
    ("rump steak", "top sirloin steak"), ("british sirloin steak", "new york strip steak"), ("silverside", "bottom round"),
    ("topside", "top round"), ("fillet steak", "filet mignon"), ("pork fillet", "pork tenderloin"),
    ("prawns", "shrimp"), ("coley", "atlantic pollock"), ("tomato ketchup", "catsup"), ("gelatine", "gelatin"),
    ("tinned tomatoes", "canned tomatoes"), ("double concentrate tomato puree", "tomato paste"),
    ("yoghurt, greek", "greek yogurt"), ("soya milk, unsweetened", "unsweetened soy milk"), ("porridge oats", "rolled oats"),
    ("whisky", "bourbon"), ("filo pastry", "phyllo dough"), ("dark soft brown sugar", "dark brown sugar"),
]  # fmt: skip

DIFFERENT_FOOD = [
    ("cornflour", "maize flour"), ("chili powder", "hot chilli powder"), ("american sirloin steak", "british sirloin steak"),
    ("parmesan, grated", "parmesan"), ("coriander leaves", "ground coriander"), ("single cream", "whipping cream"),
    ("tomato puree, american", "tomato puree, british"), ("sour cream", "creme fraiche"), ("swede", "turnip"),
    ("golden syrup", "black treacle"), ("coconut milk", "coconut cream"), ("spring onion", "onion"),
    ("chickpeas, canned", "chickpeas, dried"), ("cherry tomato", "tinned tomatoes"), ("fresh mozzarella", "pizza mozzarella"),
    ("rolled oats", "oat groats"), ("table salt", "kosher salt"), ("plaice", "lemon sole"),
]  # fmt: skip

# What a British or American kitchen holds; each must be found without a question.
EVERYDAY = [
    "bread flour", "plain flour", "caster sugar", "baking powder", "single cream", "whole milk", "boneless chicken thigh",
    "beef mince, 10% fat", "streaky bacon", "tinned tomatoes", "coconut milk", "soy sauce", "fish sauce", "white wine",
    "red wine", "gin", "cornflour", "gelatine", "garlic", "onions", "shallots", "carrots", "celery", "leeks", "potatoes",
    "sweet potato", "tomatoes", "cherry tomatoes", "cucumber", "spinach", "kale", "broccoli", "cauliflower", "cabbage",
    "mushrooms", "asparagus", "green beans", "peas", "avocado", "lemon", "lime", "lemon juice", "parsley", "chives",
    "fresh basil", "fresh mint", "fresh thyme", "bay leaves", "black pepper", "salt", "cumin", "paprika", "turmeric",
    "cinnamon", "nutmeg", "cloves", "eggs", "egg yolks", "egg whites", "unsalted butter", "olive oil", "honey", "sugar",
    "brown sugar", "parmesan", "cheddar", "feta", "mascarpone", "ricotta", "salmon", "cod", "prawns", "chicken breast",
    "almonds", "walnuts", "oats", "quinoa", "couscous", "basmati rice", "spaghetti", "maple syrup", "water", "mayonnaise",
    "dijon mustard", "worcestershire sauce", "tahini", "miso", "sesame oil", "white wine vinegar", "cider vinegar",
]  # fmt: skip

# USDA fibre may exceed the carbohydrate by difference of a row of nearly none; beyond 0.6 g a row is named here.
FIBRE_ABOVE_CARBOHYDRATE: dict[str, str] = {}

# Energy that 4/4/9/7 does not give. USDA and Ciqual count these foods by factors of their own.
_SPICE = "a spice rich in fibre: USDA counts its carbohydrate at less than 4 kcal/g"
_BRAN = "mostly fibre, which USDA counts at little or nothing"
_CITRUS = "citric acid at 2.47 kcal/g and fibre stand in the carbohydrate"
_ACETIC = "acetic acid gives energy and is no carbohydrate"
_SEAWEED = "Ciqual counts its fibre at 2 kcal/g, which stands outside the carbohydrate"
ENERGY_OF_ITS_OWN = {
    "thyme, fresh": "a woody herb: over half of its carbohydrate is fibre",
    "kombu, dried": _SEAWEED,
    "wakame, dried": _SEAWEED,
    "nori, dried": _SEAWEED,
    "stevia extract": "USDA counts its glycosides as carbohydrate by difference, without energy",
    "spirulina, dried": "USDA counts protein of vegetables at 2.44 kcal/g",
    "lemon": _CITRUS,
    "lemon zest": _CITRUS,
    "lime": _CITRUS,
    "oat bran": _BRAN,
    "wheat bran": _BRAN,
    "baking powder": "its carbohydrate by difference is partly carbonate, which gives no energy",
    "carob powder": _BRAN,
    "cocoa powder": "over half fibre; USDA counts cocoa protein at 1.83 and carbohydrate at 1.33 kcal/g",
    "cocoa powder, dutch-process": "over half fibre; USDA counts cocoa protein at 1.83 and carbohydrate at 1.33 kcal/g",
    "cider vinegar": _ACETIC,
    "distilled vinegar": _ACETIC,
    "wine vinegar": _ACETIC,
} | dict.fromkeys(
    (
        "allspice", "basil, dried", "bay leaf", "cayenne pepper", "chervil, dried", "chili powder, american blend",
        "cinnamon", "cloves", "coriander seeds", "curry powder", "dill seeds", "dill, dried", "marjoram, dried",
        "oregano, dried", "paprika", "pepper, black", "peppercorns, black", "sage, dried", "savory, dried", "thyme, dried",
    ),
    _SPICE,
)  # fmt: skip

ROWS = list(table.food_rows().values())


def _figure(row: dict[str, str], column: str) -> float | None:
    text = row[column]
    return float(text[1:]) / 2 if text.startswith(table.BELOW) else float(text) if text else None


def _energy_by_factors(row: dict[str, str]) -> float | None:
    fat, protein, carbohydrate = (_figure(row, c) for c in ("fat_g", "protein_g", "carbohydrate_g"))
    if fat is None or protein is None or carbohydrate is None:
        return None
    return 9 * fat + 4 * protein + 4 * carbohydrate + 7 * (_figure(row, "alcohol_g") or 0.0)


def _lines(name: str) -> list[dict[str, str]]:
    text = resources.files("scriptkit.pantry").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(io.StringIO(text)))


def _unit_names() -> set[str]:
    """The first name of every unit that units.txt defines."""
    text = resources.files("scriptkit.measure").joinpath("units.txt").read_text(encoding="utf-8")
    return {line.split("=")[0].strip() for line in text.splitlines() if "=" in line and not line.startswith("#")}


def test_at_least_600_foods() -> None:
    assert len(ROWS) >= 600


def test_a_name_stands_on_one_line_only() -> None:
    assert [row["name"] for row in _lines("foods.csv")] == list(table.food_rows())


def test_every_name_and_synonym_leads_to_one_food() -> None:
    owners = defaultdict(list)
    for row in ROWS:
        for word in (row["name"], *filter(None, row["synonyms"].split(";"))):
            owners[fold(word)].append(f"{word} ({row['name']})")
    assert [words for words in owners.values() if len(words) > 1] == []
    assert set(owners) == set(table.index())


def test_rows_use_only_the_words_the_tool_knows() -> None:
    for row in ROWS:
        name = row["name"]
        assert name == name.strip().casefold(), name
        assert name.isascii(), name
        assert row["category"] in CATEGORIES, name
        assert row["safety"] in SAFETY, name
        assert row["table"] in table.TABLES, name


def test_rows_stand_by_category_then_name() -> None:
    categories = list(dict.fromkeys(row["category"] for row in ROWS))
    assert [row["name"] for row in ROWS] == [
        row["name"] for row in sorted(ROWS, key=lambda row: (categories.index(row["category"]), row["name"]))
    ]


def test_every_weight_has_a_food_a_known_unit_and_something_to_weigh() -> None:
    known = _unit_names()
    for weight in _lines("weights.csv"):
        assert weight["food"] in table.food_rows(), weight
        assert weight["unit"] in known, weight
        assert float(weight["amount"]) > 0, weight
        assert float(weight["grams"]) > 0, weight
        assert weight["printed"].strip(), weight
        assert weight["state"] == weight["state"].strip(), weight


def test_one_measure_of_one_food_has_one_weight() -> None:
    each = defaultdict(set)
    for weight in _lines("weights.csv"):
        key = weight["food"], weight["unit"], weight["state"]
        each[key].add(float(weight["grams"]) / float(weight["amount"]))
    # 6 %: SR28 prints one spoon and ten sprigs of the same food, rounded apart
    assert [key for key, grams in each.items() if max(grams) > 1.06 * min(grams)] == []


@pytest.mark.parametrize("category", ["stock", "drink", "wine or spirit"])
def test_liquids_measured_in_sr28_have_a_volume_without_a_state(category: str) -> None:
    unmeasured = [
        row["name"]
        for row in ROWS
        if row["category"] == category
        and row["table"] == "sr28"
        and not any(
            w.unit in ("cup", "tablespoon", "teaspoon", "fluid_ounce") and not w.state
            for w in table.food(row["name"]).weights
        )
    ]
    # Cubes and the powder are counted; SR28 prints no spoon of them.
    assert unmeasured == (["beef stock cube", "beef stock powder", "chicken stock cube"] if category == "stock" else [])


@pytest.mark.parametrize("words", AMBIGUOUS)
def test_a_word_for_two_foods_stays_a_question(words: str) -> None:
    with pytest.raises(UnknownFood):
        Pantry().find(words)


@pytest.mark.parametrize(("british", "elsewhere"), SAME_FOOD)
def test_one_food_under_two_names(british: str, elsewhere: str) -> None:
    assert Pantry().find(british) == Pantry().find(elsewhere)


@pytest.mark.parametrize(("one", "other"), DIFFERENT_FOOD)
def test_two_foods_that_are_easily_taken_for_one(one: str, other: str) -> None:
    assert Pantry().find(one).name != Pantry().find(other).name


@pytest.mark.parametrize("words", EVERYDAY)
def test_everyday_foods_are_found(words: str) -> None:
    assert Pantry().find(words).composition.energy_kcal is not None or words == "mascarpone"  # Ciqual prints none


@pytest.mark.parametrize(
    ("words", "safety"),
    [  # FoodSafety.gov: 145 °F whole cuts and fish, 160 °F ground meat, rabbit and venison, 165 °F poultry
        ("beef, rib-eye steak", "whole-cut"), ("pork tenderloin", "whole-cut"), ("lamb leg, bone-in", "whole-cut"),
        ("veal escalope", "whole-cut"), ("bison", "whole-cut"), ("goat", "whole-cut"), ("beef mince, 20% fat", "ground-meat"),
        ("pork mince", "ground-meat"), ("rabbit", "ground-meat"), ("venison", "ground-meat"), ("wild boar", "ground-meat"),
        ("elk", "ground-meat"), ("reindeer", "ground-meat"), ("chicken breast", "poultry"), ("turkey mince", "poultry"),
        ("duck, whole", "poultry"), ("pheasant", "poultry"), ("chicken liver", "poultry"), ("cod", "fish"),
        ("salmon", "fish"), ("mussels", "shellfish"), ("prawns", "shellfish"), ("egg", "egg"), ("ham", "ham-cooked"),
        ("salmon, smoked", ""), ("parma ham", ""), ("carrot", ""),
    ],
)  # fmt: skip
def test_temperature_class(words: str, safety: str) -> None:
    assert Pantry().find(words).safety == safety


def test_100_g_of_a_food_hold_no_more_than_100_g() -> None:
    for row in ROWS:
        columns = ["fat_g", "protein_g", "carbohydrate_g", "alcohol_g"]
        if row["table"] != "sr28":  # fibre stands outside its carbohydrate
            columns.append("fibre_g")
        held = sum(_figure(row, c) or 0.0 for c in columns)
        assert held <= 101, (row["name"], held)  # rounding, and protein by nitrogen factors


def test_no_figure_is_below_nothing() -> None:
    figures = ("energy_kcal", "saturated_g", "sugars_g", "sodium_mg", "fat_g", "protein_g", "carbohydrate_g", "fibre_g")
    assert [row["name"] for row in ROWS if any((_figure(row, c) or 0.0) < 0 for c in figures)] == []


def test_fibre_is_part_of_the_carbohydrate_of_sr28() -> None:
    above = {
        row["name"]
        for row in ROWS
        if row["table"] == "sr28" and (_figure(row, "fibre_g") or 0.0) > (_figure(row, "carbohydrate_g") or 0.0) + 0.6
    }
    assert above == set(FIBRE_ABOVE_CARBOHYDRATE)


def test_energy_is_that_of_the_macros_or_the_reason_is_known() -> None:
    odd = set()
    for row in ROWS:
        if row["table"] == "label":
            continue  # by its own factors: test_physics.py
        printed, counted = _figure(row, "energy_kcal"), _energy_by_factors(row)
        if printed is not None and counted is not None and abs(printed - counted) > max(15.0, 0.25 * printed):
            odd.add(row["name"])
    assert odd == set(ENERGY_OF_ITS_OWN)


@pytest.mark.parametrize(
    ("name", "nutrient", "figure", "ends"),
    [
        # Ciqual 2020 prints these as less than so much
        ("oat drink", "fibre_g", 0.25, (0.0, 0.5)),
        ("oat drink", "protein_g", 0.23, (0.0, 0.46)),
        ("artichoke hearts, canned", "fat_g", 0.25, (0.0, 0.5)),
        ("creme fraiche", "fibre_g", 0.0, (0.0, 3.0)),  # there is none in milk, however coarse the method
    ],
)
def test_what_lies_below_a_limit_is_half_of_it_and_may_be_anything_below(
    name: str, nutrient: str, figure: float, ends: tuple[float, float]
) -> None:
    food = table.food(name)
    assert getattr(food.composition, nutrient) == pytest.approx(figure)
    assert spread_of(food, nutrient) == ends
