"""Macros of a dish (by ingredient, batch, serving, 100 g) and of a meal (by dish and plate)."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from scriptkit.nutrition.alcohol import KCAL_PER_G, share_left
from scriptkit.nutrition.macros import PRINTED, Macros, macros_of, total, words_of_macro
from scriptkit.problems import Problem, error
from scriptkit.recipe.dish import Dish, Extra, Ingredient, Meal, Portion
from scriptkit.recipe.methods import HOT

MAIN = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
"""A card without one of these is not complete."""


@dataclass(frozen=True, slots=True)
class DishMacros:
    """``batch`` weighs what the batch weighs as served; nutrients go nowhere, weight lost in the pot is water
    (Greenfield & Southgate, Food Composition Data, FAO 2003)."""

    dish: Dish
    ingredients: tuple[tuple[Ingredient, Macros], ...]
    """What is eaten of each ingredient: less what is strained out or left in the pan, and less the alcohol that simmers off;
    then, with figures below zero, what came out of the food and is not eaten."""
    batch: Macros
    alcohol_left: tuple[tuple[Ingredient, float], ...] = ()
    """Ingredients with alcohol that simmer, and the share of it that is left."""

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
        strained = [
            f"{i.name}: counted as thrown away; what it leaves in the dish is not known"
            for i in self.dish.ingredients
            if i.lost_share and i.strained
        ]
        alcohol = [
            f"alcohol of {i.name}: {left:.0%} left after simmering (USDA Nutrient Retention Factors, Release 6)"
            for i, left in self.alcohol_left
        ]
        return (*self._weight_words(), *pinches, *strained, *alcohol)

    def _weight_words(self) -> list[str]:
        dish = self.dish
        parts = [
            f"{i.name}, {what}" for i in dish.ingredients if i.dish for what in dish_macros(i.dish)._weight_words()
        ]
        if not dish.cooked_estimated:
            return parts
        if dish.cooked_by:
            return [f"cooked weight: {'; '.join(dish.cooked_by)}; the rest as it went in", *parts]
        return ["cooked weight: the sum of what went in, as if nothing boiled away", *parts]


@dataclass(frozen=True, slots=True)
class MealMacros:
    """Each dish's portion on one plate, what else lies on it, and the plate."""

    meal: Meal
    portions: tuple[tuple[Portion, DishMacros, Macros], ...]
    extra: tuple[tuple[Extra, Macros], ...] = ()

    @property
    def extras(self) -> Macros:
        """What lies on the plate whatever the portions."""
        return total(m for _, m in self.extra)

    @property
    def plate(self) -> Macros:
        return total(m for _, _, m in self.portions) + self.extras

    @property
    def party(self) -> Macros:
        return self.plate.times(self.meal.plates)

    @property
    def rows(self) -> tuple[tuple[str, Macros], ...]:
        """What the plate is the sum of, each with its words."""
        portions = [(f"{p.dish.name}, {p.words}", m) for p, _, m in self.portions]
        return (*portions, *((f"{e.ingredient.name}, {e.how}", m) for e, m in self.extra))


def dish_macros(dish: Dish) -> DishMacros:
    """Macros of the dish, with those of the dishes that are ingredients of it."""
    left = {i.key: share for i in dish.ingredients if (share := alcohol_left(dish, i)) is not None}
    parts = [(i, _eaten(i, left.get(i.key, 1.0))) for i in dish.ingredients if i.grams is not None]
    parts += [(i, _eaten(i).times(-1.0)) for i in dish.taken_out if i.grams is not None]
    batch = dataclasses.replace(total(m for _, m in parts), weight_g=dish.cooked_g)
    return DishMacros(dish, tuple(parts), batch, tuple((i, left[i.key]) for i in dish.ingredients if i.key in left))


def _eaten(ingredient: Ingredient, alcohol: float = 1.0) -> Macros:
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    if ingredient.dish is not None:
        return dish_macros(ingredient.dish).portion(grams)
    food = ingredient.food
    macros = macros_of(food.composition, grams, food.second_net_carbs_g)
    if alcohol == 1.0:
        return macros
    gone = macros.at_least("alcohol_g") * (1 - alcohol)
    energy = max(macros.at_least("energy_kcal") - gone * KCAL_PER_G, 0.0)
    lessened = macros.with_figure("alcohol_g", macros.at_least("alcohol_g") - gone)
    return lessened.with_figure("energy_kcal", energy, unknown="energy_kcal" in macros.unknown)


def alcohol_left(dish: Dish, ingredient: Ingredient) -> float | None:
    """The share of its alcohol that is left by the time the dish is served; None for an ingredient that has none, or that
    is not heated for long enough to lose any."""
    if not ingredient.food.composition.alcohol_g or not ingredient.grams:
        return None
    left = 0.0
    for n, step in enumerate(dish.in_shoot_order):
        heated = sum(s.length_ms for s in dish.in_shoot_order[n:] if s.method in HOT or (s.heat and s.heat != "off"))
        for addition in step.additions:
            if addition.ingredient is ingredient and addition.share is not None:
                left += float(addition.share) * share_left(heated / 60_000)
    return left if 0.0 < left < 1.0 - 1e-9 else None


def meal_macros(meal: Meal) -> MealMacros:
    by_dish = {portion.dish.file: dish_macros(portion.dish) for portion in meal.portions}
    return MealMacros(
        meal,
        tuple((p, by_dish[p.dish.file], by_dish[p.dish.file].portion(p.grams)) for p in meal.portions),
        tuple((e, _eaten(e.ingredient)) for e in meal.extras if e.ingredient.grams is not None),
    )


def taken_out_problems(dish: Dish) -> list[Problem]:
    """More of a macro left in the pan than went in: a slipped unit, or fat that no ingredient had."""
    batch = dish_macros(dish).batch
    return [
        error(
            i.place,
            "taken-out",
            f"more {words_of_macro(n)} is left in the pan than went in",
            "weigh what is left, and check the unit",
        )
        for i in dish.taken_out[:1]
        for n in MAIN
        if batch.at_least(n) < -0.5
    ]
