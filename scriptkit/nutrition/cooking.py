"""Macros of a food after it is cooked: what runs out of it and is left behind takes fat, protein and energy with it.

Own cooked row: its figures, times its yield. Else raw figures, less what the nearest pair of rows loses. Where juices are kept,
everything that went in is eaten, and only water goes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scriptkit.nutrition.macros import Macros, macros_of
from scriptkit.pantry.cooked_rows import Cooked
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.dish import Dish, Ingredient

SEEN_G = 0.5
"""Fat or protein that runs out, in grams of the batch, from which on it is told."""


def cooked_of(dish: Dish, ingredient: Ingredient) -> CookedIngredient | None:
    """What cooking makes of the ingredient; None where it changes nothing of it."""
    return next((one for one in dish.cooking if one.key == ingredient.key), None)


def eaten_of_cooked(ingredient: Ingredient, made: CookedIngredient | None) -> Macros:
    """What is eaten of an ingredient that is a food: less what is left in the pan, and what runs out where that is not kept.
    ``weight_g`` is as it went in."""
    food = ingredient.food
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    if made is None or made.cooked is None or made.kept:
        return macros_of(food.composition, grams, food.second_net_carbs_g)
    return macros_of(made.cooked.per_100_g_raw, grams)


def left_behind_words(dish: Dish) -> Iterable[str]:
    """Of each ingredient that loses fat or protein: how much is counted as left behind, or in another dish, by which row."""
    for ingredient, made, cooked, lost in _run_out(dish):
        how = "as the file says" if made.stated else "write `juices: kept` if it is eaten"
        what = " and ".join(f"{gone:.0f} of its {before:.0f} g {name}" for name, gone, before in lost)
        one = len(lost) == 1
        if made.juices_into:
            where = f"{'runs out and goes' if one else 'run out and go'} into {made.juices_into}"
        else:
            where = f"{'runs out and is' if one else 'run out and are'} left behind"
        yield f"{ingredient.name}: {what} {where} ({cooked.row_words}; {how})"


def estimated_after_cooking(dish: Dish) -> tuple[str, ...]:
    """Names of the ingredients whose figures are those after cooking, which is an estimate."""
    return tuple(ingredient.name for ingredient, *_ in _run_out(dish))


_Lost = tuple[tuple[str, float, float], ...]
"""Nutrient, grams of it that run out, and grams of all of it."""


def _run_out(dish: Dish) -> Iterator[tuple[Ingredient, CookedIngredient, Cooked, _Lost]]:
    """Each ingredient that fat or protein runs out of and is not eaten with it; what cooking makes of it; how much of which."""
    for ingredient in dish.ingredients:
        made = cooked_of(dish, ingredient)
        if made is None or made.cooked is None or made.kept or made.cooked.share > 1:
            continue
        grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share) / 100
        raw, left = ingredient.food.composition, made.cooked.per_100_g_raw
        pairs = (("fat", raw.fat_g, left.fat_g), ("protein", raw.protein_g, left.protein_g))
        lost = tuple(
            (name, gone, (before or 0.0) * grams)
            for name, before, after in pairs
            if (gone := ((before or 0.0) - (after or 0.0)) * grams) >= SEEN_G
        )
        if lost:
            yield ingredient, made, made.cooked, lost
