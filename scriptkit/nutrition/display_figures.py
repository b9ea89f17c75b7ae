"""The figures of a serving and of a plate as every paper and caption prints them, and how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scriptkit.measure.numbers import round_half_up
from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.intervals import shifts_of, worth_saying
from scriptkit.nutrition.macros import PRINTED, Macros
from scriptkit.nutrition.rounding import Printed, PrintedTable, print_each, print_one


def printed_plate(meal: MealMacros, basis: Basis = Basis.US) -> PrintedTable:
    """Each part of the plate and the plate, each as it is printed wherever it stands."""
    return print_each([m for _, m in meal.rows], meal.plate, basis=basis)


def rounded_words(meal: MealMacros, nutrients: Sequence[str] = PRINTED, basis: Basis = Basis.US) -> str:
    """Said once, where the parts that are printed miss the plate; empty where they add up."""
    if printed_plate(meal, basis).adds_up(nutrients):
        return ""
    return "Each figure is rounded by itself: the parts may miss the plate by a last digit."


def printed_serving(dish: DishMacros, meal: MealMacros | None = None, basis: Basis = Basis.US) -> Printed:
    """The dish's serving; where just that lies on the meal's plate, that part of the plate, which has the same figures unless the dish
    takes something over there."""
    return print_one(eaten_of(dish, meal), basis=basis)


LIKELY = "9 in 10"
"""How often the truth lies in a range that is printed."""
WIDE_KCAL = 20.0
"""From this width on a range is printed in tens of kcal."""
REASONS = 2


def eaten_of(dish: DishMacros, meal: MealMacros | None = None) -> Macros:
    """The dish's serving; where just that lies on the meal's plate, that part of the plate."""
    for portion, _, macros in meal.portions if meal is not None else ():
        if portion.dish.file == dish.dish.file and abs(portion.grams - dish.dish.serving_g) < 1e-6:
            return macros
    return dish.serving


SERVING, PORTION = "serving", "portion"


def eaten_at_table(dish: DishMacros, meal: MealMacros | None = None) -> tuple[str, Macros, bool]:
    """What the viewer sees served: ``portion`` where the meal's plate has another weight of the dish than its serving, else ``serving``;
    its figures; and whether its weight is worked out from a batch that nobody weighed."""
    portions = [one for one in (meal.portions if meal is not None else ()) if one[0].dish.file == dish.dish.file]
    if not portions or any(abs(portion.grams - dish.dish.serving_g) < 1e-6 for portion, _, _ in portions):
        return SERVING, eaten_of(dish, meal), dish.dish.cooked_estimated
    portion, _, macros = portions[0]
    return PORTION, macros, dish.dish.cooked_estimated and portion.by_share


def range_words(macros: Macros, nutrient: str) -> str:
    """``8–14 g`` or ``430–530 kcal``, the interval of 90 %, in whole grams unless it lies within one; empty where it is hardly any wider than the
    figure, rounded as finely. The printed figure lies in it."""
    return interval_words(nutrient, macros.at_least(nutrient), *macros.ranges[nutrient])


def interval_words(nutrient: str, figure: float, low: float, high: float) -> str:
    """The interval of a figure as :func:`range_words` says it; empty where it is hardly any wider than the figure."""
    if not worth_saying(figure, low, high):
        return ""
    unit = nutrient.rsplit("_", 1)[1]
    coarse, fine = (10.0 if high - low >= WIDE_KCAL else 1.0, 1.0) if unit == "kcal" else (1.0, 0.1)
    found = _ends(low, high, figure, coarse) or _ends(low, high, figure, fine)
    return f"{found} {unit}" if found else ""


def _ends(low: float, high: float, figure: float, step: float) -> str:
    """Both ends in such steps, the figure between them; empty where they are the same."""
    ends = [round_half_up(end / step) * step for end in (low, high)]
    if ends[0] > figure + 1e-9:
        ends[0] = math.floor(figure / step + 1e-9) * step
    if ends[1] < figure - 1e-9:
        ends[1] = math.ceil(figure / step - 1e-9) * step
    first, last = (f"{end:.{1 if step < 1 else 0}f}" for end in ends)
    return "" if first == last else f"{first}–{last}"


def net_carbs_words(macros: Macros, printed: Printed) -> str:
    """As they stand alone on a card or a picture: ``9–12 g``, the likely range, where that is not within one gram; else ``11.3 g``;
    ``≥ 4.2 g`` and ``unknown`` as printed, where a part is unknown and nothing says how much it may be."""
    likely, text = range_words(macros, "net_carbs_g"), printed.text("net_carbs_g")
    if likely and ("." not in likely or printed.figures["net_carbs_g"] is None):
        return likely
    return text if text == "unknown" else f"{text} g"


def ranges_of(macros: Macros, basis: Basis) -> dict[str, tuple[float, float]]:
    """The intervals as the basis counts carbohydrate and energy, in kcal and grams (90 %)."""
    found = dict(macros.ranges)
    if basis is Basis.EU:
        there = to_basis(macros, basis)
        moved = there.at_least("energy_kcal") - macros.at_least("energy_kcal")
        found["energy_kcal"] = (found["energy_kcal"][0] + moved, found["energy_kcal"][1] + moved)
        deducted = macros.at_least("deducted_sweeteners_g")
        found["carbohydrate_g"] = (found["net_carbs_g"][0] + deducted, found["net_carbs_g"][1] + deducted)
    return found


def likely_words(macros: Macros) -> str:
    """``net carbs 8–14 g, energy 430–530 kcal``: of both what is worth saying; empty where nothing is."""
    found = [("net carbs", range_words(macros, "net_carbs_g")), ("energy", range_words(macros, "energy_kcal"))]
    return ", ".join(f"{name} {words}" for name, words in found if words)


def reasons(macros: Macros, nutrient: str = "net_carbs_g", most: int = REASONS) -> list[str]:
    """What makes a figure unsure, the most first; what makes less than a tenth of its width is left out."""
    shifts = shifts_of(macros.parts).get(nutrient, {})
    widths = sorted(
        ((max(high, 0.0) - min(low, 0.0), words) for low, high, words in shifts.values()), key=lambda w: -w[0]
    )
    whole = sum(width**2 for width, _ in widths) ** 0.5
    return list(dict.fromkeys(words for width, words in widths[:most] if width > whole / 10))


def spread_words(macros: Macros, printed: Printed | None = None) -> str:
    """``11.4 g; between 8.6 and 11.4 g, depending on the food table``; empty where good tables agree. ``printed``: its figures where
    they stand in a table beside it, and were rounded to add up there."""
    if macros.net_spread_g is None:
        return ""
    figure = (printed or print_one(macros)).figures["net_carbs_g"] or 0.0
    low, high = (round_half_up(g * 10) / 10 for g in macros.net_spread_g)
    return f"{figure:.1f} g; between {min(low, figure):.1f} and {max(high, figure):.1f} g, depending on the food table"
