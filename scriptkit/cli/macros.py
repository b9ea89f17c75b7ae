"""``scriptkit macros``: what is in the dish, the serving, the plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.changed import ForServings, LeftOut, OtherFood, WriteIt
from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import BasisName, Json, Log, Source
from scriptkit.cli.printing import exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error, printable

if TYPE_CHECKING:
    from scriptkit.nutrition.basis import Basis
    from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
    from scriptkit.recipe.dish import Dish


@command(
    "macros",
    HelpPage(
        short="macros by ingredient, batch, serving and 100 g",
        reads="a dish or a meal.",
        writes="a table to standard output, grams and kilocalories. ≥ before a figure: a part of it is not known. With --instead, --without "
        "or --servings: before and after side by side, and what else changes; with --write the dish itself.",
        examples=(
            "scriptkit macros examples/fennel-bisque.yaml --portion 250g",
            f"scriptkit macros {SUPPER} --basis eu --json",
            'scriptkit macros examples/fennel-bisque.yaml --instead "cream=coconut milk" --servings 8',
            f"scriptkit macros {SUPPER} --log examples/harbour-supper-takes.csv",
        ),
    ),
)
def macros(  # noqa: PLR0917  an option each
    source: Source,
    portion: Annotated[
        str, typer.Option(metavar="AMOUNT", help="Also this much of the dish: 250 g, 1 cup, 1/2 serving.")
    ] = "",
    basis: BasisName = "us",
    label: Annotated[bool, typer.Option("--label", help="Also as a US label rounds it, 21 CFR 101.9.")] = False,
    single: Annotated[
        bool, typer.Option("--single", help="Net carbs as one figure, without the range between food tables.")
    ] = False,
    log: Log = "",
    instead: OtherFood = None,
    without: LeftOut = None,
    servings: ForServings = None,
    write: WriteIt = False,
    json: Json = False,
) -> None:
    """Macros by ingredient, batch, serving and 100 g; of a meal by dish and plate. With the log of the shoot: of what was weighed."""
    if instead or without or servings is not None or write:
        raise typer.Exit(
            what_if(
                source,
                instead or [],
                without or [],
                servings,
                portion=portion,
                basis=basis,
                label=label,
                single=single,
                write=write,
                log=log,
                as_json=json,
            )
        )
    raise typer.Exit(run(source, portion=portion, basis=basis, label=label, single=single, log=log, as_json=json))


def what_if(
    source: str,
    instead: Sequence[str],
    without: Sequence[str],
    servings: float | None,
    *,
    portion: str = "",
    basis: str = "us",
    label: bool = False,
    single: bool = False,
    write: bool = False,
    log: str = "",
    as_json: bool = False,
) -> int:
    """Before and after a change, side by side; ``write`` makes it the file. Raises CannotDo where the change cannot be made."""
    from scriptkit.cli.changed import write_change
    from scriptkit.nutrition.basis import Basis
    from scriptkit.papers.what_if import what_if_json, what_if_of, what_if_text
    from scriptkit.production import Production
    from scriptkit.recipe.reader import read_source
    from scriptkit.what_if import change_of, changed_reading

    beside = {"--log": log, "--portion": portion, "--label": label, "--single": single}
    if named := [option for option, given in beside.items() if given]:
        message = "a change is compared by the serving or the plate, as the recipe is written"
        raise CannotDo([error(Place(option), "option", message, f"leave out {option}") for option in named])
    if basis not in list(Basis):
        raise CannotDo([error(Place("--basis"), "option", f"“{basis}” is not a basis", "write us or eu")])
    change = change_of(instead, without, servings)
    if change.is_none:
        hint = "add what to change: --instead, --without or --servings"
        raise CannotDo([error(Place("--write"), "option", "there is no change to write", hint)])
    reading = read_source(source)
    before, after = Production(reading), Production(changed_reading(reading, change))
    after.reading.usable()
    view = what_if_of(before, after, Basis(basis))
    files = write_change(reading, change) if write else []
    if as_json:
        print_json(what_if_json(view) | {"written": files})
    else:
        print(what_if_text(view))
        if files:
            print(f"\nchanged {', '.join(map(printable, files))}")
    return exit_code(after.problems)


def run(
    source: str,
    *,
    portion: str = "",
    basis: str = "us",
    label: bool = False,
    single: bool = False,
    log: str = "",
    as_json: bool = False,
) -> int:
    """``portion``: ``250 g`` or ``1/2 serving`` of a dish; ``single``: without the spread between tables; ``log``: the take log,
    whose weights count in place of the recipe's. Raises CannotDo where the basis is none, or the portion cannot be read or is asked of a meal."""
    from scriptkit.nutrition.basis import Basis
    from scriptkit.nutrition.dish_meal_macros import taken_out_problems
    from scriptkit.production import read

    if basis not in list(Basis):
        raise CannotDo([error(Place("--basis"), "option", f"“{basis}” is not a basis", "write us or eu")])
    production = read(source, log=log)
    macros = production.macros
    problems: list[Problem] = [*production.read_problems, *production.log_problems]
    if macros.meal is not None:
        if portion:
            raise CannotDo(
                [
                    error(
                        Place("--portion"),
                        "option",
                        "a meal's portions stand in its file",
                        "ask for a portion of a dish",
                    )
                ]
            )
        problems += _of_meal(macros.meal, Basis(basis), label, single, as_json)
    else:
        _of_dish(macros.dishes[0], Basis(basis), portion, label, single, as_json)
    problems += [p for of_dish in macros.dishes for p in taken_out_problems(of_dish)]
    print_problems(problems, production.files)
    return exit_code(problems)


def _of_dish(macros: DishMacros, basis: Basis, portion: str, label: bool, single: bool, as_json: bool) -> None:
    from scriptkit.papers.macros import dish_text
    from scriptkit.papers.macros_json import dish_json

    portion_g = _portion_g(portion, macros.dish) if portion else None
    if as_json:
        print_json(dish_json(macros, basis=basis, portion_g=portion_g, spread=not single))
    else:
        print(dish_text(macros, basis=basis, portion_g=portion_g, label=label, spread=not single))


def _portion_g(words: str, dish: Dish) -> float:
    from scriptkit.measure.amounts import format_grams
    from scriptkit.recipe.portions import portion_of

    grams, problems = portion_of(words, dish, "--portion")
    if grams is None:
        hint = "write grams or servings, such as 180 g or 1/2 serving"
        raise CannotDo([replace(p, hint=hint) if p.code == "amount" else p for p in problems])
    most = dish.cooked_high_g or dish.cooked_g
    if dish.cooked_g and grams > most * 1.02:
        message = f"{words} is more than the batch of {format_grams(dish.cooked_g)}"
        raise CannotDo([error(Place("--portion"), "portion", message, "write less, or cook more of it")])
    return grams


def _of_meal(macros: MealMacros, basis: Basis, label: bool, single: bool, as_json: bool) -> list[Problem]:
    from scriptkit.nutrition.lacking import lacking
    from scriptkit.nutrition.limits import limit_problems
    from scriptkit.nutrition.servings import conflict_problems, only_meal
    from scriptkit.papers.macros import meal_text
    from scriptkit.papers.macros_json import meal_json
    from scriptkit.papers.portions import side_by_side_text, suggestion_json

    meal, only = macros.meal, only_meal(macros)
    if as_json:
        print_json(
            meal_json(macros, basis=basis, spread=not single)
            | ({} if only is None else {"only_meal": suggestion_json(only)})
        )
    else:
        print(meal_text(macros, basis=basis, label=label, spread=not single))
        if only is not None:
            print(f"\n{side_by_side_text(only)}")
    problems = [] if only is None else conflict_problems(only, meal.only_meal or ())
    return [*limit_problems(meal.limits, macros.plate, lacking(macros)), *problems]
