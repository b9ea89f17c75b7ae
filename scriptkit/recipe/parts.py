"""Dishes as ingredients of dishes: what a cook weighs of them, what flows up out of them, and what must be bought for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scriptkit.pantry.food import Composition, Food, HouseholdWeight
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.time_on_heat import goes_in_raw

MOST_DEEP = 8
"""Dishes inside one another: a stock in a sauce in a filling in a pie is four."""
MOST_PARTS = 200
"""Dishes in a dish, each counted as often as it is used. It also bounds the work that a hostile folder can ask for."""

# FoodSafety.gov chart (USDA FSIS, 2019): poultry 74 °C, ground meat and egg dishes 71 °C, whole cuts and fish 63 °C; the ham
# and the shellfish of the chart have no figure that is higher.
_STRICTEST = ("poultry", "ground-meat", "egg", "whole-cut", "fish", "shellfish", "ham-cooked")


def unread_food(name: str) -> Food:
    """Stands for a food or a dish that could not be read, which has been told."""
    return Food(name=name, category="unknown", source="", composition=Composition(), allergens_stated=False)


def food_of_dish(part: Dish) -> Food:
    """A dish as something to weigh: by its measured volume, and by the serving. Its macros are worked out by nutrition."""
    weights = []
    if part.serving_g > 0:
        weights.append(HouseholdWeight(1.0, "piece", "", part.serving_g, "serving"))
    if part.cooked_ml and part.cooked_g > 0:
        weights.append(HouseholdWeight(part.cooked_ml, "millilitre", "", part.cooked_g, "ml of the batch"))
    foods = [i.food for i in part.ingredients]
    return Food(
        name=part.name,
        category="dish",
        source=f"dish {part.file}",
        composition=Composition(),
        weights=tuple(weights),
        # what is strained out leaves its allergens in the pot
        allergens=tuple(dict.fromkeys(a for food in foods for a in food.allergens)),
        may_contain=tuple(dict.fromkeys(a for food in foods for a in food.may_contain)),
        allergens_stated=all(food.allergens_stated for food in foods),
        safety=raw_class(part),
    )


def raw_class(part: Dish) -> str:
    """The strictest temperature class of what is still raw in the dish; empty where its steps heat everything that has one."""
    raw = {i.food.safety for i in part.ingredients if i.food.safety and i.lost_share < 1 and goes_in_raw(part, i)}
    return next((name for name in _STRICTEST if name in raw), "")


def dishes_in(dish: Dish) -> int:
    """The dish itself, and every dish in it as often as it is used."""
    return 1 + sum(dishes_in(i.dish) for i in dish.ingredients if i.dish is not None)


@dataclass(frozen=True, slots=True)
class Leaf:
    """An ingredient that is no dish, with the share of its amount that goes into the dish asked about. ``through`` names the
    dishes that it is a part of, outermost first."""

    ingredient: Ingredient
    share: float
    through: tuple[str, ...] = ()

    @property
    def grams(self) -> float | None:
        """Edible grams; None to taste."""
        return None if self.ingredient.grams is None else self.ingredient.grams * self.share

    @property
    def as_bought_g(self) -> float | None:
        """Grams to buy, with what is trimmed off, strained out or left in the pan; None to taste."""
        bought = self.ingredient.as_bought_g
        return self.grams if bought is None else bought * self.share


def leaves(dish: Dish, share: float = 1.0, through: tuple[str, ...] = ()) -> Iterator[Leaf]:
    """Everything from the pantry that goes into ``share`` of the batch, through all the dishes that it is made of."""
    for ingredient in dish.ingredients:
        part = ingredient.dish
        if part is None:
            yield Leaf(ingredient, share, through)
        elif ingredient.grams and part.cooked_g > 0:
            yield from leaves(part, share * ingredient.grams / part.cooked_g, (*through, part.name))
