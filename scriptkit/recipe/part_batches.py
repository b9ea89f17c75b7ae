"""Whether one batch of a dish that goes into others is enough for all that they take of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scriptkit.measure.amounts import format_grams
from scriptkit.problems import Problem, warning
from scriptkit.recipe.dish import Dish, Ingredient, Meal

ENOUGH = 1.02
"""Times the batch: a scale is no finer (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Taken:
    """So many grams of the ingredient's dish go into what is called ``into``."""

    ingredient: Ingredient
    grams: float
    into: str


def part_batch_problems(source: Dish | Meal) -> Iterator[Problem]:
    """A warning for each dish of which others take more than its batch weighs. Each dish is cooked once, however many use it."""
    for parts in _taken(source).values():
        part = parts[0].ingredient.dish
        whole = sum(one.grams for one in parts)
        if part is None or not part.cooked_g or whole <= part.cooked_g * ENOUGH:
            continue
        each = ", ".join(f"{format_grams(one.grams)} in {one.into}" for one in parts)
        times = whole / part.cooked_g
        yield warning(
            parts[-1].ingredient.place,
            "part-batch",
            f"{part.name} makes {format_grams(part.cooked_g)}, and {format_grams(whole)} of it is taken ({each})",
            f"cook {times:.3g} times as much in {part.file}, or take less of it",
        )


def _taken(source: Dish | Meal) -> dict[str, list[Taken]]:
    """By the file of each dish that goes into another: what is taken of it."""
    found: dict[str, list[Taken]] = {}
    seen: set[str] = set()

    def look(dish: Dish) -> None:
        if dish.file in seen:
            return
        seen.add(dish.file)
        for one in dish.ingredients:
            add(one, one.grams, dish.name)

    def add(one: Ingredient, grams: float | None, into: str) -> None:
        if one.dish is not None:
            if grams:
                found.setdefault(one.dish.file, []).append(Taken(one, grams, into))
            look(one.dish)

    for dish in source.dishes if isinstance(source, Meal) else (source,):
        look(dish)
    if isinstance(source, Meal):
        for extra in source.extras:
            add(extra.ingredient, (extra.ingredient.grams or 0.0) * source.plates, f"what is {extra.how}")
    return found
