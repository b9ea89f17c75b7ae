"""Every check of a written dish or meal, in one list. Adding a check is adding a function and a line."""

from __future__ import annotations

from collections.abc import Callable

from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.plates import MAIN, dish_macros, meal_macros, taken_out_problems
from scriptkit.problems import Problem, in_order, note
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.ledger import ledger_problems
from scriptkit.safety.apply import cautions_in, cooked_below_minimum
from scriptkit.shoot.plan import dishes_of, plan_of, plan_problems

Source = Dish | Meal


def ledger(source: Source) -> list[Problem]:
    return [p for dish in dishes_of(source) for p in ledger_problems(dish)]


def doneness(source: Source) -> list[Problem]:
    return [p for dish in dishes_of(source) for p in cooked_below_minimum(dish)]


def limits(source: Source) -> list[Problem]:
    return limit_problems(source.limits, meal_macros(source).plate) if isinstance(source, Meal) else []


def taken_out(source: Source) -> list[Problem]:
    return [p for dish in dishes_of(source) for p in taken_out_problems(dish)]


def captions(source: Source) -> list[Problem]:
    """What of the overlay would not be shown."""
    from scriptkit.captions.overlay import overlay

    meal = meal_macros(source) if isinstance(source, Meal) else None
    return overlay(plan_of(source), cautions_in(source), [dish_macros(d) for d in dishes_of(source)], meal)[1]


def unknown_figures(source: Source) -> list[Problem]:
    """One note for each ingredient whose composition lacks a main figure."""
    problems = []
    for dish in dishes_of(source):
        for ingredient, macros in dish_macros(dish).ingredients:
            lacking = [words_of_macro(n) for n in MAIN if n in macros.unknown]
            if lacking:
                words, them = ", ".join(lacking), "it" if len(lacking) == 1 else "them"
                problems.append(
                    note(
                        ingredient.place,
                        "unknown-figure",
                        f"{ingredient.name}: {words} not known, so figures with {them} are lower bounds",
                        f"see {ingredient.food.source}, or give it a label under `foods:`",
                    )
                )
    return problems


CHECKS: tuple[Callable[[Source], list[Problem]], ...] = (
    ledger,
    plan_problems,
    captions,
    doneness,
    limits,
    taken_out,
    unknown_figures,
)


def check(source: Source) -> list[Problem]:
    """What every check finds, in the order of the file."""
    return in_order(problem for run in CHECKS for problem in run(source))
