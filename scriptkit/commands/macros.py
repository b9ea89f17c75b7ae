"""``scriptkit macros``: what is in the dish, the serving, the plate."""

from __future__ import annotations

from scriptkit.commands.printing import exit_code, print_json, print_problems
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.plates import dish_macros, meal_macros, taken_out_problems
from scriptkit.nutrition.servings import conflict_problems, only_meal, side_by_side_text, suggestion_json
from scriptkit.nutrition.tables import dish_text, meal_text
from scriptkit.nutrition.tables_json import dish_json, meal_json
from scriptkit.problems import CannotDo, Place, Problem, error
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.portions import portion_of
from scriptkit.recipe.reader import read_source


def run(
    source: str,
    *,
    portion: str = "",
    basis: str = "us",
    label: bool = False,
    single: bool = False,
    as_json: bool = False,
) -> int:
    """``portion``: ``250 g`` or ``1/2 serving`` of a dish; ``single``: without the spread between tables. Raises CannotDo
    where the basis is none, or the portion cannot be read or is asked of a meal."""
    if basis not in list(Basis):
        raise CannotDo([error(Place("--basis"), "option", f"“{basis}” is not a basis", "write us or eu")])
    reading = read_source(source)
    read = reading.usable()
    problems: list[Problem] = list(reading.problems)
    if isinstance(read, Meal):
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
        problems += _of_meal(read, Basis(basis), label, single, as_json)
    else:
        _of_dish(read, Basis(basis), portion, label, single, as_json)
    dishes = read.dishes if isinstance(read, Meal) else (read,)
    problems += [p for dish in dishes for p in taken_out_problems(dish)]
    print_problems(problems, reading.texts)
    return exit_code(problems)


def _of_dish(dish: Dish, basis: Basis, portion: str, label: bool, single: bool, as_json: bool) -> None:
    portion_g = _portion_g(portion, dish) if portion else None
    macros = dish_macros(dish)
    if as_json:
        print_json(dish_json(macros, basis=basis, portion_g=portion_g, spread=not single))
    else:
        print(dish_text(macros, basis=basis, portion_g=portion_g, label=label, spread=not single))


def _portion_g(words: str, dish: Dish) -> float:
    grams, problems = portion_of(words, dish, "--portion")
    if grams is None:
        raise CannotDo(problems)
    return grams


def _of_meal(meal: Meal, basis: Basis, label: bool, single: bool, as_json: bool) -> list[Problem]:
    macros = meal_macros(meal)
    only = only_meal(macros)
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
    return [*limit_problems(meal.limits, macros.plate), *problems]
