"""Every check of a written dish or meal, in one list. Adding a check is adding a function and a line."""

from __future__ import annotations

from collections.abc import Callable

from scriptkit.nutrition.plates import dish_macros, limit_problems, meal_macros
from scriptkit.problems import Problem, in_order, note
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.ledger import ledger_problems
from scriptkit.safety.apply import cautions_of, cooked_below_minimum
from scriptkit.shoot.plan import plan_of, plan_problems

Source = Dish | Meal


def _dishes(source: Source) -> tuple[Dish, ...]:
    return source.dishes if isinstance(source, Meal) else (source,)


def ledger(source: Source) -> list[Problem]:
    return [p for dish in _dishes(source) for p in ledger_problems(dish)]


def doneness(source: Source) -> list[Problem]:
    return [p for dish in _dishes(source) for p in cooked_below_minimum(dish)]


def limits(source: Source) -> list[Problem]:
    return limit_problems(meal_macros(source)) if isinstance(source, Meal) else []


def captions(source: Source) -> list[Problem]:
    """What of the overlay would not be shown."""
    from scriptkit.captions.overlay import overlay

    meal = meal_macros(source) if isinstance(source, Meal) else None
    cautions = [c for dish in _dishes(source) for c in cautions_of(dish)]
    return overlay(plan_of(source), cautions, [dish_macros(d) for d in _dishes(source)], meal)[1]


def unknown_figures(source: Source) -> list[Problem]:
    return [
        note(
            i.place,
            "unknown-figure",
            f"{i.name}: its {_words(nutrient)} is not known, so the dish's is not either",
            f"see {i.food.source}",
        )
        for dish in _dishes(source)
        for nutrient, names in dish_macros(dish).unknown_figures.items()
        if nutrient not in ("alcohol_g", "polyols_g")
        for i in dish.ingredients
        if i.name in names
    ]


def _words(nutrient: str) -> str:
    return nutrient.rsplit("_", 1)[0].replace("_", " ")


CHECKS: tuple[Callable[[Source], list[Problem]], ...] = (
    ledger,
    plan_problems,
    captions,
    doneness,
    limits,
    unknown_figures,
)


def check(source: Source) -> list[Problem]:
    """What every check finds, in the order of the file."""
    return in_order(problem for run in CHECKS for problem in run(source))
