"""What of a dish or meal is a guess that nobody has confirmed (`unsure:`)."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Dish, Ingredient, Meal
from scriptkit.recipe.doubt import SERVINGS, Doubt, step_title


def unconfirmed(source: Dish | Meal) -> list[tuple[str, Doubt]]:
    """Every doubt of every dish and of the plate, with the name of the ingredient as the cook calls it, *servings* or the step; what
    the file writes once stands here once."""
    dishes = {dish.file: dish for dish in (*dishes_of_the_day(source), *served_dishes(source))}.values()
    found = [(SERVINGS, dish.doubt) for dish in dishes if dish.doubt is not None]
    listed = [i for dish in dishes for i in (*dish.ingredients, *dish.taken_out)]
    listed += [extra.ingredient for extra in source.extras] if isinstance(source, Meal) else []
    found += [(i.name, i.doubt) for i in listed if i.doubt is not None]
    found += [(step_title(s.id), s.doubt) for dish in dishes for s in dish.steps if s.doubt is not None]
    return list({doubt.place: (name, doubt) for name, doubt in found}.values())


def unconfirmed_names(source: Dish | Meal) -> tuple[str, ...]:
    """Their names; of a dish in the dish, ``beef of ragout``. Nothing of such an ingredient is counted, and where the
    servings are a guess, no serving is."""
    if isinstance(source, Dish):
        own = [SERVINGS] if source.doubt is not None else []
        return (*own, *(name for i in (*source.ingredients, *source.taken_out) for name in _names(i)))
    of_dishes = [name for dish in source.dishes for name in unconfirmed_names(dish)]
    return tuple(dict.fromkeys([*of_dishes, *(name for extra in source.extras for name in _names(extra.ingredient))]))


def unconfirmed_steps(source: Dish | Meal) -> tuple[str, ...]:
    """The steps of which nobody has confirmed what is done. Figures do not ask them; publishing does."""
    return tuple(name for name, doubt in unconfirmed(source) if doubt.do is not None)


def _names(ingredient: Ingredient) -> Iterator[str]:
    if ingredient.doubt is not None:
        yield ingredient.name
    if ingredient.dish is not None:
        yield from (f"{name} of {ingredient.name}" for name in unconfirmed_names(ingredient.dish))
