"""A serving's figures against those that the recipe's source prints: how far they are off, and which line most likely explains it."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.nutrition.dish_meal_macros import DishMacros
from scriptkit.nutrition.macros import words_of_macro
from scriptkit.problems import Place, Problem, warning

OFF = 0.15
"""From this share of the printed figure on it is told: pages round, and count another yield of their pots (common sense, no source)."""
_AT_LEAST = {"energy_kcal": 30.0}
_AT_LEAST_G = 3.0
_KCAL_PER_G = {"fat_g": 9.0, "protein_g": 4.0, "carbohydrate_g": 4.0}
"""The general factors of Atwater."""
_CONTRADICTS = 0.25


def as_published_problems(macros: DishMacros) -> list[Problem]:
    """A warning where a known figure of a serving is over 15 % off the printed one, the energy before the others; nothing while anything
    of the dish is unconfirmed, for then nothing is known."""
    printed = dict(macros.dish.as_published)
    place = macros.dish.as_published_place
    if not printed or place is None or macros.unconfirmed:
        return []
    serving = macros.serving
    for name, figure in printed.items():
        ours = serving.figure(name)
        least = max(OFF * figure, _AT_LEAST.get(name, _AT_LEAST_G))
        if ours is not None and abs(ours - figure) > least:
            return [_off(macros, name, ours, figure, printed, place)]
    return []


def _off(
    macros: DishMacros, name: str, ours: float, figure: float, printed: Mapping[str, float], place: Place
) -> Problem:
    unit = name.rsplit("_", 1)[1]
    said = f"{words_of_macro(name)} of a serving is {ours:.0f} {unit}, its source prints {figure:.0f} {unit}"
    share = f" ({(ours - figure) / figure:+.0%})" if figure else ""
    if (by_factor := contradiction(printed)) is not None:
        hint = f"fat, protein and carbohydrate as printed make {by_factor:.0f} kcal, so the page may be wrong"
        return warning(place, "as-published", said + share, hint)
    line = likeliest(macros, name, ours, figure)
    hint = f"check {line} first, and how many it serves" if line else "check how many it serves"
    return warning(place, "as-published", said + share, f"{hint}; delete `as_published:` if the page is wrong")


def contradiction(printed: Mapping[str, float]) -> float | None:
    """The energy that the printed macros make, where it is over a quarter off the printed energy; None where they agree, or one lacks.

    >>> contradiction({"energy_kcal": 100, "fat_g": 20, "protein_g": 5, "carbohydrate_g": 10})
    240.0
    >>> contradiction({"energy_kcal": 230, "fat_g": 20, "protein_g": 5, "carbohydrate_g": 10})
    """
    if not {*_KCAL_PER_G, "energy_kcal"} <= set(printed):
        return None
    made = sum(printed[name] * kcal for name, kcal in _KCAL_PER_G.items())
    return made if abs(made - printed["energy_kcal"]) > _CONTRADICTS * max(printed["energy_kcal"], 1.0) else None


def likeliest(macros: DishMacros, name: str, ours: float, figure: float) -> str:
    """The ingredient of which half, none or twice as much would bring the figure nearest to the printed one; empty where none would halve
    the difference."""
    servings = macros.dish.servings
    wanted = figure - ours
    best = ("", abs(wanted) / 2)
    for ingredient, row in macros.ingredients:
        each = row.at_least(name) / servings
        for change in (-each, -each / 2, each):
            if abs(wanted - change) < best[1]:
                best = (ingredient.name, abs(wanted - change))
    return best[0]
