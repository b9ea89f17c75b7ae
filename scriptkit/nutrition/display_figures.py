"""The figures of a serving and of a plate as every paper and caption prints them."""

from __future__ import annotations

from scriptkit.measure.numbers import round_half_up
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, PrintedTable, print_one, print_table


def printed_plate(meal: MealMacros, basis: Basis = Basis.US) -> PrintedTable:
    """Each part of the plate and the plate, rounded together: who adds the dishes up finds the plate."""
    return print_table([m for _, m in meal.rows], meal.plate, basis=basis)


def printed_serving(dish: DishMacros, meal: MealMacros | None = None, basis: Basis = Basis.US) -> Printed:
    """The dish's serving; where just that lies on the meal's plate, as it stands among the plate's parts."""
    if meal is not None:
        for number, (portion, _, _) in enumerate(meal.portions):
            if portion.dish.file == dish.dish.file and abs(portion.grams - dish.dish.serving_g) < 1e-6:
                return printed_plate(meal, basis).rows[number]
    return print_one(dish.serving, basis=basis)


def spread_words(macros: Macros) -> str:
    """``11.4 g; between 8.6 and 11.4 g, depending on the food table``; empty where good tables agree."""
    if macros.net_spread_g is None:
        return ""
    figure = print_one(macros).figures["net_carbs_g"] or 0.0
    low, high = (round_half_up(g * 10) / 10 for g in macros.net_spread_g)
    return f"{figure:.1f} g; between {min(low, figure):.1f} and {max(high, figure):.1f} g, depending on the food table"
