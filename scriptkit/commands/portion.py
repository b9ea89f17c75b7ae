"""``scriptkit portion``: portions nearest to the usual ones that keep the limits of a plate."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.commands.printing import exit_code, print_json, print_problems
from scriptkit.nutrition.plates import meal_macros
from scriptkit.nutrition.servings import (
    conflict_problems,
    merged,
    read_limits,
    suggest,
    suggestion_json,
    suggestion_text,
)
from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source


def run(source: str, *, at_most: Sequence[str], at_least: Sequence[str], as_json: bool = False) -> int:
    """1 where nothing keeps the limits; the problems then name those that contradict one another. Raises CannotDo
    where it is no meal, or there are no limits."""
    own = read_limits(at_most, at_least)
    reading = read_source(source)
    meal = reading.usable()
    if not isinstance(meal, Meal):
        raise CannotDo(
            [
                error(
                    meal.place,
                    "not-a-meal",
                    "portions are of a meal's dishes",
                    "write a meal with this dish, or use `scriptkit pair`",
                )
            ]
        )
    limits = merged(meal.limits, own)
    if not limits:
        raise CannotDo(
            [
                error(
                    Place("--at-most"),
                    "limit",
                    "there is no limit to keep",
                    "write --at-most net_carbs_g=12, or `at_most:` in the meal",
                )
            ]
        )
    suggestion = suggest(meal_macros(meal), limits)
    if as_json:
        print_json(suggestion_json(suggestion))
    else:
        print(suggestion_text(suggestion))
    problems = [*reading.problems, *conflict_problems(suggestion, limits)]
    print_problems(problems, reading.texts)
    return exit_code(problems)
