"""How much of what a caution is about is eaten: grams a serving, or in a kilogram of the rest of the dish."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from scriptkit.pantry.kinds_by_name import category_of
from scriptkit.recipe.dish import Dish, Ingredient


def dose_g(dish: Dish, asked: Mapping[str, Any]) -> float:
    """Grams of what the pattern ``named`` names, a serving or in a kilogram of the rest of the dish (``per``)."""
    pattern = re.compile(str(asked["named"]), re.IGNORECASE)
    of = [i for i in dish.ingredients if pattern.search(f"{i.name} , {i.food.name}")]
    grams = sum(i.grams or 0.0 for i in of)
    if asked["per"] == "serving":
        return grams / dish.servings
    rest = sum(i.grams or 0.0 for i in dish.ingredients if i not in of)
    return 1000 * grams / rest if rest else 0.0


def polyols_g(dish: Dish) -> float:
    """Grams of polyols a serving: as labels declare them, else of foods that are called by one."""
    found = 0.0
    for i in dish.ingredients:
        declared = i.food.composition.polyols_g
        if declared is None and _POLYOL.search(f"{i.name} , {i.food.name}"):
            declared = 100.0
        found += (i.grams or 0.0) * (declared or 0.0) / 100
    return found / dish.servings


_POLYOL = re.compile(r"\b(?:erythritol|xylitol|maltitol|sorbitol|isomalt|lactitol|mannitol)\b", re.IGNORECASE)


_DRINK = re.compile(
    r"\b(?:rum|brandy|whiske?y|bourbon|vodka|gin|cognac|armagnac|calvados|liqueur|amaretto|schnapps|tequila|mezcal|kirsch|grappa|ouzo|pastis|absinthe|limoncello|"
    r"port|sherry|marsala|madeira|vermouth|wine|prosecco|champagne|cava|beer|stout|ale|lager|cider|sake|mirin)\b"
    r"(?! (?:vinegar|essence|extract|flavou?r\w*|sauce|jelly|batter|cake|butter|gums?))",
    re.IGNORECASE,
)
_WITHOUT = re.compile(
    r"\b(?:alcohol[- ]free|non[- ]alcoholic|0 ?%|ginger (?:ale|beer)|root beer|vinegar|soft)\b", re.IGNORECASE
)


def is_drink(ingredient: Ingredient) -> bool:
    """Whether it is a drink with alcohol: by its category, else, where its label has no figure for alcohol, by its name."""
    if category_of(ingredient.food) == "wine or spirit":
        return True
    name = ingredient.food.name
    return ingredient.food.composition.alcohol_g is None and bool(_DRINK.search(name)) and not _WITHOUT.search(name)


def alcohol_left_g(dish: Dish) -> float | None:
    """Grams of alcohol a serving as the dish is served, less what simmering takes by its published share; None where a drink in it
    does not say how much it has."""
    if any(i.food.composition.alcohol_g is None for i in _drinks(dish)):
        return None
    from scriptkit.nutrition.dish_meal_macros import dish_macros

    return dish_macros(dish).batch.at_least("alcohol_g") / dish.servings


def _drinks(dish: Dish) -> Iterator[Ingredient]:
    for i in dish.ingredients:
        if i.dish is not None:
            yield from _drinks(i.dish)
        elif is_drink(i):
            yield i
