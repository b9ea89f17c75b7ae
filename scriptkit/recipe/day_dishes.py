"""Which dishes are cooked on the day: what is served, and before it what goes into it, unless it was made ahead."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.recipe.dish import Dish, Ingredient, Meal


def served_dishes(source: Dish | Meal) -> tuple[Dish, ...]:
    """The dishes on the plate: one that a meal serves twice once."""
    if not isinstance(source, Meal):
        return (source,)
    return tuple(dish for n, dish in enumerate(source.dishes) if dish not in source.dishes[:n])


def dishes_of_the_day(source: Dish | Meal) -> tuple[Dish, ...]:
    """The dishes whose steps are done on the day, each once, and each after those that go into it. What is `made_ahead:` is not
    among them, nor what it is made of; a dish that is asked for by itself always is."""
    served = served_dishes(source)
    ahead = (
        {p.dish.file for p in source.portions if p.made_ahead or p.dish.made_ahead}
        if isinstance(source, Meal)
        else set()
    )
    roots = [dish for dish in served if dish.file not in ahead]
    extras = [extra.ingredient for extra in source.extras] if isinstance(source, Meal) else []
    inside = [one for dish in roots for i in dish.ingredients for one in _parts_of(i, {dish.file})]
    inside += [one for ingredient in extras for one in _parts_of(ingredient, set())]
    if not inside:
        return tuple(roots)
    files = {dish.file: dish for dish in roots}
    found: dict[str, Dish] = {}
    for dish in roots:
        for one in _with_parts(dish, set()):
            found.setdefault(one.file, files.get(one.file, one))
    for one in inside:
        found.setdefault(one.file, files.get(one.file, one))
    return tuple(found.values())


def _with_parts(dish: Dish, inside: set[str]) -> Iterator[Dish]:
    for ingredient in dish.ingredients:
        yield from _parts_of(ingredient, inside | {dish.file})
    yield dish


def _parts_of(ingredient: Ingredient, inside: set[str]) -> Iterator[Dish]:
    part = ingredient.dish
    if (
        part is not None
        and part.steps
        and not ingredient.made_ahead
        and not part.made_ahead
        and part.file not in inside
    ):
        yield from _with_parts(part, inside)
