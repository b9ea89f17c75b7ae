"""Of which foods of a plate a figure is not known."""

from __future__ import annotations

from scriptkit.nutrition.dish_meal_macros import MealMacros


def lacking(meal: MealMacros) -> dict[str, tuple[str, ...]]:
    """Nutrient → what of the dishes, and of what else lies on the plate, lacks it; what is to taste is not among them."""
    found: dict[str, list[str]] = {}
    for _, of_dish, _ in meal.portions:
        for nutrient, names in of_dish.unknown_figures.items():
            found.setdefault(nutrient, []).extend(n for n in names if n not in of_dish.to_taste)
    for extra, macros in meal.extra:
        for nutrient in macros.unknown:
            found.setdefault(nutrient, []).append(extra.ingredient.name)
    return {nutrient: tuple(dict.fromkeys(names)) for nutrient, names in found.items() if names}
