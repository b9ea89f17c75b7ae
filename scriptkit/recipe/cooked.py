"""What the batch weighs cooked where nobody weighed it: published yields where there are any, else as it went in."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from scriptkit.pantry.yields import Yield, yield_of
from scriptkit.recipe.dish import Dish, Ingredient, Step


def estimated_weight(ingredients: Sequence[Ingredient], steps: Sequence[Step]) -> tuple[float, tuple[Yield, ...]]:
    """Grams of the batch less what is left in the pan or strained out, and the yields used.

    Water contents of tables are no way to a cooked weight, so nothing is taken to boil away but what a yield says.
    """
    grams = 0.0
    used: list[Yield] = []
    for ingredient in ingredients:
        if ingredient.grams is None:
            continue
        found = published_yield(ingredient, steps)
        grams += ingredient.grams * (1 - ingredient.lost_share) * (found.share if found else 1.0)
        if found:
            used.append(found)
    return grams, tuple(used)


def published_yield(ingredient: Ingredient, steps: Sequence[Step]) -> Yield | None:
    """The yield for the longest of the steps that it goes through from where it goes in, that has one."""
    at = [n for n, s in enumerate(steps) if any(a.ingredient is ingredient for a in s.additions) and s.stage != "prep"]
    at = at or [n for n, s in enumerate(steps) if ingredient in s.uses and s.stage != "prep"]
    after = sorted(steps[at[0] :], key=lambda s: -s.length_ms) if at else []
    return next((y for s in after if (y := yield_of(ingredient.food.name, s.reading.method))), None)


_LIQUID = ("stock", "drink", "wine or spirit")


def the_piece(dish: Dish) -> Ingredient | None:
    """What a cook means by the piece of a dish: the heaviest meat, poultry or fish, else the heaviest that is no liquid."""
    eaten = [i for i in dish.ingredients if i.grams and i.lost_share < 1]
    meat = [i for i in eaten if i.food.safety]
    solid = [i for i in eaten if i.food.category not in _LIQUID]
    return max(meat or solid, key=lambda i: i.grams or 0.0, default=None)


def with_yield(dish: Dish, piece: Ingredient, share: float) -> Dish:
    """The dish, which nobody weighed, with another estimate of its cooked weight: so much of the piece is left, and the rest
    is as it was taken to be."""
    grams, _ = estimated_weight([i for i in dish.ingredients if i is not piece], dish.steps)
    grams += (piece.grams or 0.0) * (1 - piece.lost_share) * share - sum(i.grams or 0.0 for i in dish.taken_out)
    grams = max(grams, 0.0)
    yields = [y for i in dish.ingredients if i is not piece and i.grams and (y := published_yield(i, dish.steps))]
    words = (f"{piece.name} {share:g} of its raw weight, as the meal says", *map(str, yields))
    serving = dish.serving_g if dish.serving_stated else grams / dish.servings
    return dataclasses.replace(dish, cooked_g=grams, cooked_by=words, serving_g=serving)
