"""Every check of a written dish or meal, in one list. Adding a check is adding a function and a line."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.plates import MAIN, dish_macros, meal_macros, taken_out_problems
from scriptkit.nutrition.servings import conflict_problems
from scriptkit.nutrition.servings import only_meal as only_meal_of
from scriptkit.problems import CannotDo, Problem, Severity, in_order, note
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.ledger import ledger_problems
from scriptkit.recipe.whole_counted import whole_for_a_part
from scriptkit.safety.apply import answers_of, doneness_problems
from scriptkit.safety.free_from import free_from_problems
from scriptkit.safety.health_claims import claim_problems
from scriptkit.shoot.buying import buying_problems
from scriptkit.shoot.plan import dishes_of, plan_problems
from scriptkit.shoot.script_checks import script_problems
from scriptkit.shoot.shots import shot_problems

Source = Dish | Meal


def ledger(source: Source) -> list[Problem]:
    """Of every dish: what is listed and not used, used and not listed, and parts that do not make the whole."""
    return [p for dish in dishes_of(source) for p in ledger_problems(dish)]


def doneness(source: Source) -> list[Problem]:
    """Of every dish: core temperatures below the published minimum, and minutes a side without a temperature."""
    return [p for dish in dishes_of(source) for p in doneness_problems(dish)]


def answers(source: Source) -> list[Problem]:
    """Of every dish: what is to be told of the file's answers to its cautions."""
    return [p for dish in dishes_of(source) for p in answers_of(dish)]


def claims(source: Source) -> list[Problem]:
    """What the texts promise of it, against what is in it and against published conditions."""
    own: list[Source] = [*dishes_of(source), *([source] if isinstance(source, Meal) else [])]
    return [p for one in own for p in (*free_from_problems(one), *claim_problems(one))]


def limits(source: Source) -> list[Problem]:
    """What the usual plate has too much or too little of, by the meal's own limits; of a dish, nothing."""
    return limit_problems(source.limits, meal_macros(source).plate) if isinstance(source, Meal) else []


def only_meal(source: Source) -> list[Problem]:
    """Limits of the only meal of the day that no portions keep together."""
    if not isinstance(source, Meal) or source.only_meal is None:
        return []
    try:
        suggestion = only_meal_of(meal_macros(source))
    except CannotDo as wrong:
        return [replace(p, severity=Severity.WARNING) for p in wrong.problems]
    return [] if suggestion is None else conflict_problems(suggestion, source.only_meal)


def taken_out(source: Source) -> list[Problem]:
    """Of every dish: macros of which more is left in the pan than went in."""
    return [p for dish in dishes_of(source) for p in taken_out_problems(dish)]


def captions(source: Source) -> list[Problem]:
    """What of the overlay would not be shown."""
    from scriptkit.captions.composed import usual_overlay

    return list(usual_overlay(source)[1])


def landing(source: Source) -> list[Problem]:
    """A meal whose dishes cannot land together in its kitchen; of one dish, steps that wait for one another."""
    from scriptkit.shoot.schedule import CannotSchedule, usual_schedule

    if not all(d.steps_readable for d in dishes_of(source)):
        return []
    try:
        usual_schedule(source)
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


def counted_whole(source: Source) -> list[Problem]:
    """Ingredients of which only a part goes in."""
    return [p for dish in dishes_of(source) for p in whole_for_a_part(dish)]


CHECKS: tuple[Callable[[Source], list[Problem]], ...] = (
    ledger,
    plan_problems,
    shot_problems,
    buying_problems,
    script_problems,
    captions,
    landing,
    doneness,
    answers,
    claims,
    limits,
    only_meal,
    taken_out,
    unknown_figures,
    counted_whole,
)


def check(source: Source, *, without: Collection[Callable[[Source], list[Problem]]] = ()) -> list[Problem]:
    """What every check finds, in the order of the file; ``without`` those of the plan that a cut has replaced."""
    return in_order(problem for run in CHECKS if run not in without for problem in run(source))
