"""Every check of a written dish or meal, in one list. Adding a check is adding a function and a line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.plates import MAIN, dish_macros, meal_macros, taken_out_problems
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.problems import Problem, Severity, in_order, note
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.ledger import ledger_problems
from scriptkit.safety.apply import cautions_in, cooked_below_minimum
from scriptkit.shoot.buying import buying_problems
from scriptkit.shoot.plan import dishes_of, plan_of, plan_problems
from scriptkit.shoot.script_checks import script_problems
from scriptkit.shoot.shots import shot_problems

Source = Dish | Meal

MOST_NODES = 600
"""Of the sequencer, for checking and for the pack: enough to find a schedule, not always to prove it."""


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
    suggestion = suggestion_for(meal) if meal is not None else None
    dishes = [dish_macros(d) for d in dishes_of(source)]
    return overlay(plan_of(source), cautions_in(source), dishes, meal, suggestion)[1]


def landing(source: Source) -> list[Problem]:
    """A meal whose dishes cannot land together in its kitchen; of one dish, steps that wait for one another."""
    from scriptkit.shoot.schedule import CannotSchedule, schedule_of

    if not any(dish.steps for dish in dishes_of(source)) or not all(d.steps_readable for d in dishes_of(source)):
        return []
    try:
        schedule_of(source, most_nodes=MOST_NODES)
    except CannotSchedule as wrong:
        return [replace(p, severity=Severity.WARNING) for p in wrong.problems]
    return []


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
    shot_problems,
    buying_problems,
    script_problems,
    captions,
    landing,
    doneness,
    limits,
    taken_out,
    unknown_figures,
)


def check(source: Source) -> list[Problem]:
    """What every check finds, in the order of the file."""
    return in_order(problem for run in CHECKS for problem in run(source))
