"""The same dish for another number of eaters: grams exactly, household amounts as spoons and cups come, times as they were."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

from scriptkit.measure.unit_system import measurable
from scriptkit.problems import Problem, note
from scriptkit.recipe.day_dishes import served_dishes
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Meal, Portion, Step


def scaled(source: Dish | Meal, servings: float) -> tuple[Dish | Meal, list[Problem]]:
    """The dish for so many servings, or the meal for so many plates; and what does not grow with it, as notes. Raises
    ValueError where ``servings`` is not above zero."""
    if servings <= 0:
        raise ValueError("servings must be above zero")
    now = source.plates if isinstance(source, Meal) else source.servings
    factor = Fraction(servings).limit_denominator(10**6) / Fraction(now).limit_denominator(10**6)
    if factor == 1:
        return source, []
    what = "plates" if isinstance(source, Meal) else "servings"
    problems = [
        note(source.place, "scaled", f"amounts are for {servings:g} {what}; times, heat and vessels are those of {now:g}",
             "a larger batch takes longer to heat and to brown: go by colour and temperature, not by the clock; `prep:` stays as you wrote it, and the video shows the amounts for "
             f"{now:g}")
    ]  # fmt: skip
    if not isinstance(source, Meal):
        return _dish(source, factor), problems
    by_file = {dish.file: _dish(dish, factor) for dish in served_dishes(source)}
    portions = tuple(_portion(p, by_file[p.dish.file]) for p in source.portions)
    return dataclasses.replace(source, plates=max(1, round(servings)), portions=portions), problems


def _portion(portion: Portion, dish: Dish) -> Portion:
    return dataclasses.replace(portion, dish=dish)


def _dish(dish: Dish, factor: Fraction) -> Dish:
    """Every ingredient stays one object, as the steps and the cautions know it."""
    by_key = {i.key: _ingredient(i, factor) for i in dish.ingredients}
    share = float(factor)
    return dataclasses.replace(
        dish,
        servings=dish.servings * share,
        cooked_g=dish.cooked_g * share,
        cooked_ml=None if dish.cooked_ml is None else dish.cooked_ml * share,
        ingredients=tuple(by_key.values()),
        taken_out=tuple(_ingredient(i, factor) for i in dish.taken_out),
        steps=tuple(_step(step, by_key, factor) for step in dish.steps),
    )


def _ingredient(ingredient: Ingredient, factor: Fraction) -> Ingredient:
    def times(grams: float | None) -> float | None:
        return None if grams is None else grams * float(factor)

    return dataclasses.replace(
        ingredient,
        amount=None if ingredient.amount is None else measurable(ingredient.amount.times(factor)),
        grams=times(ingredient.grams),
        as_bought_g=times(ingredient.as_bought_g),
    )


def _step(step: Step, by_key: dict[str, Ingredient], factor: Fraction) -> Step:
    return dataclasses.replace(
        step,
        uses=tuple(by_key[i.key] for i in step.uses),
        additions=tuple(_addition(a, by_key, factor) for a in step.additions),
    )


def _addition(addition: Addition, by_key: dict[str, Ingredient], factor: Fraction) -> Addition:
    return dataclasses.replace(
        addition,
        ingredient=by_key[addition.ingredient.key],
        amount=None if addition.amount is None else measurable(addition.amount.times(factor)),
        grams=None if addition.grams is None else addition.grams * float(factor),
    )
