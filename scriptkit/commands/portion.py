"""``scriptkit portion``: portions nearest to the usual ones that keep the limits of a plate."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.commands.printing import exit_code, print_json, print_problems
from scriptkit.nutrition.servings import (
    conflict_problems,
    merged,
    read_limits,
    suggest,
)
from scriptkit.papers.portions import suggestion_json, suggestion_text
from scriptkit.problems import CannotDo, Place, error
from scriptkit.production import read


def run(source: str, *, at_most: Sequence[str], at_least: Sequence[str], as_json: bool = False) -> int:
    """1 where nothing keeps the limits; the problems then name those that contradict one another. Raises CannotDo
    where it is no meal, or there are no limits."""
    own = read_limits(at_most, at_least)
    production = read(source)
    macros = production.macros.meal
    if macros is None:
        raise CannotDo(
            [
                error(
                    production.source.place,
                    "not-a-meal",
                    "portions are of a meal's dishes",
                    "write a meal with this dish, or use `scriptkit pair`",
                )
            ]
        )
    limits = merged(macros.meal.limits, own)
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
    suggestion = suggest(macros, limits)
    if as_json:
        print_json(suggestion_json(suggestion))
    else:
        print(suggestion_text(suggestion))
    problems = [*production.reading.problems, *conflict_problems(suggestion, limits)]
    print_problems(problems, production.files)
    return exit_code(problems)
