"""What is strained out leaves something in the pot: an estimate with wide bounds, never nothing.

Bones, wings and frames: as an ordinary home-made stock, scaled by what went in. Vegetables: a share of their sugars and protein.
"""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.nutrition.intervals import BOUNDED, Uncertainty
from scriptkit.nutrition.macros import Macros
from scriptkit.pantry.food import NUTRIENTS
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.time_on_heat import heat_of

STOCKS = {"fish": "fish stock, homemade", "shellfish": "fish stock, homemade", "poultry": "chicken stock, homemade"}
OTHER_STOCK = "beef stock, homemade"
STOCK_OF_A_GRAM = 1.5
"""Grams of stock that a gram of bones and meat makes (common practice, no source: a kilogram to a litre and a half)."""
PLANT_SUGARS, PLANT_PROTEIN = 0.3, 0.2
"""What of a vegetable's net carbs and protein is in the pot when it is strained out (common practice, no source)."""
_SEASONINGS = ("spice", "herb", "herb, dried")
LEAST, MOST = 0.3, 2.5
"""Times the estimate: its 90 % interval (common practice, no source: stocks are thin or set to a jelly)."""


def leached(dish: Dish, ingredient: Ingredient) -> Macros | None:
    """What the strained-out share of a food leaves in the dish: grams that weigh nothing, as their weight is the liquid's. None
    where it leaves nothing that is known: it is never heated, or is a spice."""
    grams = (ingredient.grams or 0.0) * ingredient.strained_share
    if not grams or ingredient.food.category in _SEASONINGS or ingredient.dish is not None:
        return None
    if all(minutes == 0 for _, minutes in heat_of(dish, ingredient)):
        return None
    figures = dict(_figures(ingredient, grams))
    if not any(figures.values()):
        return None
    net = figures["net_carbs_g"]
    return Macros(0.0, tuple(figures.get(n, 0.0) for n in NUTRIENTS), frozenset(), net, net)


def _figures(ingredient: Ingredient, grams: float) -> Iterator[tuple[str, float]]:
    from scriptkit.pantry import table

    food = ingredient.food.composition
    if ingredient.food.safety:
        stock = table.food(stock_of(ingredient)).composition
        fat, protein = (
            min((getattr(stock, n) or 0.0) * STOCK_OF_A_GRAM, getattr(food, n) or 0.0) * grams / 100
            for n in ("fat_g", "protein_g")
        )
        net = 0.0
    else:
        fat, protein = 0.0, (food.protein_g or 0.0) * PLANT_PROTEIN * grams / 100
        net = (food.net_carbs_g or 0.0) * PLANT_SUGARS * grams / 100
    yield from (("energy_kcal", 9 * fat + 4 * (protein + net)), ("fat_g", fat), ("protein_g", protein))
    yield from (("carbohydrate_g", net), ("net_carbs_g", net))


def stock_of(ingredient: Ingredient) -> str:
    """The pantry's stock that what is strained out is taken to make."""
    return STOCKS.get(ingredient.food.safety, OTHER_STOCK)


def leached_words(ingredient: Ingredient) -> str:
    """What stands in the papers of it."""
    whole = "" if ingredient.strained_share > 0.999 else f"{ingredient.strained_share:.0%} of it "
    if ingredient.food.safety:
        return f"{ingredient.name}: {whole}strained out; what it leaves in the dish is taken as in an ordinary {stock_of(ingredient)} ({LEAST:g} to {MOST:g} times that)"
    return f"{ingredient.name}: {whole}strained out; taken to leave {PLANT_SUGARS:.0%} of its net carbs in the dish ({LEAST:g} to {MOST:g} times that)"


def leached_doubt(ingredient: Ingredient, macros: Macros) -> list[Uncertainty]:
    """It may be far less or more."""
    shifts = {
        n: (macros.at_least(n) * (LEAST - 1), macros.at_least(n) * (MOST - 1)) for n in BOUNDED if macros.at_least(n)
    }
    kind = "bones and meat" if ingredient.food.safety else "vegetables"
    return [Uncertainty(f"stock {kind}", f"what strained-out {kind} leave in the dish", shifts)]
