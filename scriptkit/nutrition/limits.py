"""Limits of a plate: what can be limited, the plate's figure for it, and a plate that breaks one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.rounding import digits_of, print_one
from scriptkit.pantry.food import NUTRIENTS, SWEETENERS
from scriptkit.problems import Problem, warning
from scriptkit.recipe.dish import Limit

WEIGHT = "weight_g"
LIMITED = (*(n for n in NUTRIENTS if n not in SWEETENERS), WEIGHT, *RATIOS)
"""What a plate can be limited in."""


def figure_of(plate: Macros, name: str) -> float | None:
    """The plate's figure for a limit, in the unit that ends its name; of a ratio, a bare number. None where a part of it is
    unknown, or a ratio divides by nothing."""
    if name == WEIGHT:
        return plate.weight_g
    return RATIOS[name].of(plate) if name in RATIOS else plate.figure(name)


def limit_words(name: str, figure: float | str) -> str:
    """``12 g net carbs``, ``600 kcal energy``, ``1.5 grams of fat to one gram of net carbs``, ``70 percent of energy from fat``."""
    shown = figure if isinstance(figure, str) else f"{figure:g}"
    if name in RATIOS:
        return f"{shown} {RATIOS[name].words}"
    return f"{shown} {name.rsplit('_', 1)[1]} {words_of_macro(name)}"


def bound_words(bound: str) -> str:
    """``at most`` of ``at_most``."""
    return bound.replace("_", " ")


def limit_problems(
    limits: Sequence[Limit], plate: Macros, lacking: Mapping[str, Sequence[str]] | None = None
) -> list[Problem]:
    """A plate that breaks a limit, and by how much. The printed figure is what is held against the limit: the viewer sees
    that one. ``lacking``: by nutrient the foods that lack it."""
    return [problem for limit in limits if (problem := _limit_problem(limit, plate, lacking or {}))]


def _printed(plate: Macros, name: str) -> tuple[float | None, float, int]:
    """The figure as printed (None: unknown), what is known of it, and its decimals."""
    if name in RATIOS:
        figure = figure_of(plate, name)
        shown = None if figure is None else round(figure, 1)
        return shown, shown or 0.0, 1
    row = print_one(plate)
    if name == WEIGHT:
        return row.weight_g, row.weight_g, 0
    return row.figures[name], row.at_least[name], digits_of(name)


def printed_figures(plate: Macros, name: str) -> tuple[float | None, ...]:
    """The plate's figure for a limit as it is printed for people, and as finer in JSON, both in the unit that ends
    its name; of a ratio, one bare number. None where it is not known."""
    if name in RATIOS:
        return (_printed(plate, name)[0],)
    rows = print_one(plate), print_one(plate, finer=10)
    return tuple(row.weight_g if name == WEIGHT else row.figures[name] for row in rows)


def printed_figure(plate: Macros, name: str) -> str:
    """The plate's figure for a limit as it is printed, with its unit."""
    figure, known, digits = _printed(plate, name)
    unit = "" if name in RATIOS else f" {name.rsplit('_', 1)[1]}"
    if figure is not None:
        return f"{figure:.{digits}f}{unit}"
    return f"≥ {known:.{digits}f}{unit}" if known else "an unknown figure"


def _limit_problem(limit: Limit, plate: Macros, lacking: Mapping[str, Sequence[str]]) -> Problem | None:
    figure, known, digits = _printed(plate, limit.macro)
    at_most = limit.bound == "at_most"
    over = round(known - limit.figure if at_most else limit.figure - known, 6)
    if figure is None and (limit.macro in RATIOS or (over > 0) != at_most):  # what is known neither breaks nor keeps it
        of = lacking.values() if limit.macro in RATIOS else (lacking.get(limit.macro, ()),)
        foods = list(dict.fromkeys(food for names in of for food in names))
        who = f"no table has the figure of {' or '.join(foods)}" if foods else "an ingredient lacks the figure"
        return warning(
            limit.place,
            "limit-unknown",
            f"whether the plate keeps {limit_words(limit.macro, limit.figure)} is not known: {who}",
            "`unknown_figures` in `scriptkit macros --json` names it; give it a label under `foods:`"
            if not foods
            else f"give {'them a label each' if len(foods) > 1 else 'it a label'} under `foods:`, with what the packet prints",
        )
    if over <= 0:
        return None
    shown = f"{'≥ ' if figure is None else ''}{known:.{digits}f}"
    unit = "" if limit.macro in RATIOS else f" {limit.macro.rsplit('_', 1)[1]}"
    hint = "make a portion smaller" if at_most else "make a portion larger"
    return warning(
        limit.place,
        "limit",
        f"the plate has {limit_words(limit.macro, shown)}, {over:.{digits}f}{unit} {'more' if at_most else 'less'} "
        f"than was promised ({bound_words(limit.bound)} {limit.figure:g}{unit})",
        f"{hint}; `scriptkit portion` finds portions that keep every limit",
    )
