"""How a dish is filmed where it is a part of a meal."""

from __future__ import annotations

import dataclasses

from scriptkit.recipe.dish import Dish, Film, Meal


def film_of(source: Dish | Meal, dish: Dish) -> Film:
    """How the dish is filmed as a part of ``source``: as the meal says, and where it says nothing, as the dish does."""
    if not isinstance(source, Meal):
        return source.film
    usual = Film()
    said = {f.name: getattr(source.film, f.name) for f in dataclasses.fields(Film)}
    return dataclasses.replace(dish.film, **{name: v for name, v in said.items() if v != getattr(usual, name)})
