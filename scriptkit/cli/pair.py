"""``scriptkit pair``: which dish of a folder goes with this one on a plate that keeps its limits."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import AtLeast, AtMost, Central, Json
from scriptkit.cli.printing import print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error, note

if TYPE_CHECKING:
    from scriptkit.nutrition.dish_meal_macros import DishMacros
    from scriptkit.recipe.dish import Limit


@command(
    "pair",
    HelpPage(
        short="which dish of a folder goes with this one",
        reads="a dish, and every dish of the folder; unreadable files are skipped with a warning.",
        writes="a list to standard output, nearest to the usual portions first.",
        exits="0 found; 1 no dish of the folder fits the limits; 2 could not be done.",
        examples=("scriptkit pair examples/fennel-bisque.yaml --with examples --at-most net_carbs_g=15",),
    ),
)
def pair(
    dish: Annotated[str, typer.Argument(metavar="DISH", help="The dish to find a partner for.")],
    folder: Annotated[str, typer.Option("--with", metavar="FOLDER", help="The folder of dishes to choose from.")],
    at_most: AtMost = None,
    at_least: AtLeast = None,
    most: Annotated[int, typer.Option("--most", min=1, max=1000, help="How many to list.")] = 10,
    central: Central = False,
    json: Json = False,
) -> None:
    """Which dish of a folder goes with this one on a plate that keeps the limits, and in which portions."""
    raise typer.Exit(
        run(dish, folder, at_most=at_most or [], at_least=at_least or [], most=most, central=central, as_json=json)
    )


def run(
    source: str,
    folder: str,
    *,
    at_most: Sequence[str],
    at_least: Sequence[str],
    most: int,
    central: bool = False,
    as_json: bool = False,
) -> int:
    """1 where no dish of the folder fits the limits. Raises CannotDo where there are no limits, or the dish
    or the folder cannot be read."""
    from scriptkit.nutrition.pairing import rank_partners
    from scriptkit.nutrition.servings import bound_of, choice_of, read_limits, refuse_unknown
    from scriptkit.papers.pairs import pair_json, pairs_text

    limits = read_limits(at_most, at_least)
    if not limits:
        raise CannotDo(
            [error(Place("--at-most"), "limit", "there is no limit to keep", "write --at-most net_carbs_g=20")]
        )
    of_main = _macros(source)
    main = of_main.dish
    refuse_unknown(limits, [(main.name, of_main.batch)])
    partners, problems = _partners(folder, Path(source), limits)
    ranked = rank_partners(
        choice_of(of_main, main.serving_g),
        [choice_of(m, m.dish.serving_g) for m in partners],
        [bound_of(limit) for limit in limits],
        sure=not central,
    )
    if as_json:
        print_json(
            {
                "dish": main.name,
                "pairs": [pair_json(p) for p in ranked[:most]],
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print(pairs_text(main, ranked[:most], len(ranked), len(partners)))
        print_problems(problems)
    return 0 if ranked else 1


def _macros(source: str) -> DishMacros:
    from scriptkit.production import read
    from scriptkit.recipe.dish import Dish

    production = read(source)
    if not isinstance(production.source, Dish):
        place = production.source.place
        raise CannotDo([error(place, "not-a-dish", "this is a meal", "name the dish to find a partner for")])
    return production.macros.of(production.source)


def _partners(folder: str, main: Path, limits: Sequence[Limit]) -> tuple[list[DishMacros], list[Problem]]:
    """Every dish of the folder that can be read and has the limited figures; the others are told, not hidden."""
    from scriptkit.nutrition.portion_choice import weights_of
    from scriptkit.nutrition.servings import bound_of
    from scriptkit.production import read
    from scriptkit.recipe.dish import Dish

    if not Path(folder).is_dir():
        raise CannotDo([error(Place(folder), "no-such-folder", "there is no such folder", "check --with")])
    found: list[DishMacros] = []
    problems: list[Problem] = []
    for path in sorted(
        p for p in Path(folder).iterdir() if p.suffix in (".yaml", ".yml") and p.name != "pantry.yaml" and p.is_file()
    ):
        if path.resolve() == main.resolve():
            continue
        try:
            production = read(str(path))
            dish = production.source
        except CannotDo as wrong:
            first = wrong.problems[0]
            problems.append(note(first.place, "left-out", f"skipped: {first.message}", "see `scriptkit check`"))
            continue
        if isinstance(dish, Dish):
            macros = production.macros.of(dish)
            try:
                for limit in limits:
                    weights_of(bound_of(limit), macros.batch)
            except ValueError as wrong:
                problems.append(
                    note(
                        dish.place,
                        "left-out",
                        f"{dish.name} is skipped: {wrong}",
                        "see `unknown` in `scriptkit macros`",
                    )
                )
            else:
                found.append(macros)
    return found, problems
