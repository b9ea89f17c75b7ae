"""What goes on each plate and is no dish: a spoon of lemon juice at the table, an oil that is poured over; bought, got ready and shown like any other."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from scriptkit.recipe.dish import Dish, Ingredient, Meal


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPlate:
    """``each`` is what one plate has, ``whole`` what all plates have; ``how``: ``at the table``, ``poured over``."""

    each: Ingredient
    whole: Ingredient
    how: str

    @property
    def each_words(self) -> str:
        """``1 tsp each``; empty to taste."""
        return "" if self.each.amount is None else f"{self.each.amount} each"


def on_plates(source: Dish | Meal) -> tuple[OnPlate, ...]:
    """Of a meal what is added to its plates, in the order of the file; what was left in a pan of it is none: nobody gets it ready."""
    if not isinstance(source, Meal):
        return ()
    left = {i.food.name for dish in source.dishes for i in dish.taken_out}
    return tuple(
        OnPlate(each=extra.ingredient, whole=_times(extra.ingredient, source.plates), how=extra.how)
        for extra in source.extras
        if extra.ingredient.food.name not in left
    )


def _times(one: Ingredient, plates: int) -> Ingredient:
    return dataclasses.replace(
        one,
        amount=None if one.amount is None else one.amount.times(plates),
        grams=None if one.grams is None else one.grams * plates,
        as_bought_g=None if one.as_bought_g is None else one.as_bought_g * plates,
    )
