"""``scriptkit portion``: portions nearest to the usual ones that keep the limits of a plate."""

from __future__ import annotations

from collections.abc import Sequence

import typer

from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import AtLeast, AtMost, Central, Json, Source
from scriptkit.cli.printing import exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, error


@command(
    "portion",
    HelpPage(
        short="portions of a meal that keep its limits",
        reads="a meal; its own at_most: and at_least: hold as well as the options.",
        writes="the portions in grams and the plate's macros, to standard output.",
        exits="0 found; 1 no portions keep the limits, and the conflicting limits are named with the nearest values that work; 2 could not be done.",
        examples=(f"scriptkit portion {SUPPER} --at-most net_carbs_g=10 --at-least protein_g=25",),
    ),
)
def portion(
    source: Source, at_most: AtMost = None, at_least: AtLeast = None, central: Central = False, json: Json = False
) -> None:
    """Portions of a meal nearest to the usual ones that keep the limits; or which limits conflict."""
    raise typer.Exit(run(source, at_most=at_most or [], at_least=at_least or [], central=central, as_json=json))


def run(
    source: str, *, at_most: Sequence[str], at_least: Sequence[str], central: bool = False, as_json: bool = False
) -> int:
    """1 where nothing keeps the limits; the problems then name those that contradict one another. Raises CannotDo
    where it is no meal, or there are no limits."""
    from scriptkit.nutrition.servings import alternatives, conflict_problems, merged, read_limits, suggest
    from scriptkit.papers.portions import suggestion_json, suggestion_text
    from scriptkit.production import read

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
    suggestion = suggest(macros, limits, sure=not central)
    others = alternatives(suggestion)
    if as_json:
        print_json(suggestion_json(suggestion, others))
    else:
        print(suggestion_text(suggestion, others))
    problems = [*production.reading.problems, *conflict_problems(suggestion, limits)]
    print_problems(problems, production.files)
    return exit_code(problems)
