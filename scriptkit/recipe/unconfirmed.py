"""Which ingredients of a dish or meal are a guess that nobody has confirmed (`unsure:`)."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Dish, Ingredient, Meal


def unconfirmed(source: Dish | Meal) -> list[Ingredient]:
    """Every ingredient of every dish, and of the plate, that has a doubt; what the file writes once stands here once."""
    dishes = {dish.file: dish for dish in (*dishes_of_the_day(source), *served_dishes(source))}.values()
    found = [i for dish in dishes for i in (*dish.ingredients, *dish.taken_out)]
    found += [extra.ingredient for extra in source.extras] if isinstance(source, Meal) else []
    return list({i.doubt.place: i for i in found if i.doubt is not None}.values())


def unconfirmed_names(source: Dish | Meal) -> tuple[str, ...]:
    """Their names as the cook calls them; of a dish in the dish, ``beef of ragout``. Nothing of them is counted."""
    if isinstance(source, Dish):
        return tuple(name for i in (*source.ingredients, *source.taken_out) for name in _names(i))
    own = [name for dish in source.dishes for name in unconfirmed_names(dish)]
    return tuple(dict.fromkeys([*own, *(name for extra in source.extras for name in _names(extra.ingredient))]))


def _names(ingredient: Ingredient) -> Iterator[str]:
    if ingredient.doubt is not None:
        yield ingredient.name
    if ingredient.dish is not None:
        yield from (f"{name} of {ingredient.name}" for name in unconfirmed_names(ingredient.dish))
