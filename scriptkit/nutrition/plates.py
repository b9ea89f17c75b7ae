"""Macros of a dish (by ingredient, batch, serving, 100 g) and of a meal (by dish and plate)."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from scriptkit.nutrition.macros import PRINTED, Macros, macros_of, total
from scriptkit.problems import Problem, warning
from scriptkit.recipe.dish import Dish, Ingredient, Meal, Portion

MAIN = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
"""A card without one of these is not complete."""


@dataclass(frozen=True, slots=True)
class DishMacros:
    """``batch`` weighs what the batch weighs as served; nutrients go nowhere, weight lost in the pot is water
    (Greenfield & Southgate, Food Composition Data, FAO 2003)."""

    dish: Dish
    ingredients: tuple[tuple[Ingredient, Macros], ...]
    batch: Macros

    @property
    def serving(self) -> Macros:
        return self.portion(self.dish.serving_g)

    @property
    def per_100_g(self) -> Macros:
        return self.portion(100.0)

    def portion(self, grams: float) -> Macros:
        """Macros of ``grams`` as served."""
        return self.batch.weighing(grams) if self.batch.weight_g else Macros(grams)

    @property
    def to_taste(self) -> tuple[str, ...]:
        """Ingredients that are counted in nothing."""
        return tuple(i.name for i in self.dish.ingredients if i.to_taste)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Ingredients to taste, and those whose composition lacks a main figure."""
        lacking = [i.name for i, m in self.ingredients if not m.unknown.isdisjoint(MAIN)]
        return tuple(dict.fromkeys([*self.to_taste, *lacking]))

    @property
    def unknown_figures(self) -> dict[str, tuple[str, ...]]:
        """Nutrient → the ingredients of which it is not known."""
        found = {n: tuple(i.name for i, m in self.ingredients if n in m.unknown) for n in PRINTED}
        return {n: names for n, names in found.items() if names}

    @property
    def estimated(self) -> tuple[str, ...]:
        """What nobody weighed, in words."""
        pinches = [
            f"{i.name}: a pinch taken as 1/16 tsp"
            for i in self.dish.ingredients
            if i.amount and i.amount.unit == "pinch"
        ]
        weight = "cooked weight: the sum of what went in, as if nothing boiled away"
        return (*([weight] if self.dish.cooked_estimated else []), *pinches)


@dataclass(frozen=True, slots=True)
class MealMacros:
    """Each dish's portion on one plate, and the plate."""

    meal: Meal
    portions: tuple[tuple[Portion, DishMacros, Macros], ...]

    @property
    def plate(self) -> Macros:
        return total(m for _, _, m in self.portions)

    @property
    def party(self) -> Macros:
        return self.plate.times(self.meal.plates)


def dish_macros(dish: Dish) -> DishMacros:
    parts = tuple((i, macros_of(i.food.composition, i.grams)) for i in dish.ingredients if i.grams is not None)
    batch = dataclasses.replace(total(m for _, m in parts), weight_g=dish.cooked_g)
    return DishMacros(dish, parts, batch)


def meal_macros(meal: Meal) -> MealMacros:
    by_dish = {portion.dish.file: dish_macros(portion.dish) for portion in meal.portions}
    return MealMacros(
        meal, tuple((p, by_dish[p.dish.file], by_dish[p.dish.file].portion(p.grams)) for p in meal.portions)
    )


def limit_problems(macros: MealMacros) -> list[Problem]:
    """A plate that breaks a limit of the meal, and by how much."""
    problems = []
    for limit in macros.meal.limits:
        figure = macros.plate.figure(limit.macro)
        name, unit = limit.macro.rsplit("_", 1)
        name = name.replace("_", " ")
        if figure is None:
            problems.append(
                warning(
                    limit.place,
                    "limit-unknown",
                    f"whether the plate keeps {name} is not known: an ingredient lacks the figure",
                    "see `unknown` in `scriptkit macros`",
                )
            )
        elif limit.bound == "at_most" and figure > limit.figure + 0.05:
            problems.append(
                warning(
                    limit.place,
                    "limit",
                    f"the plate has {figure:.1f} {unit} {name}, at most {limit.figure:g} were promised",
                    "make a portion smaller",
                )
            )
        elif limit.bound == "at_least" and figure < limit.figure - 0.05:
            problems.append(
                warning(
                    limit.place,
                    "limit",
                    f"the plate has {figure:.1f} {unit} {name}, at least {limit.figure:g} were promised",
                    "make a portion larger",
                )
            )
    return problems
