"""Salt and sugar in water that is poured away go with it, but for what the food takes up."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from scriptkit.problems import note
from scriptkit.recipe.cooked import drained_water
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.recipe.evaporation import is_liquid
from scriptkit.recipe.step_flow import relinked
from scriptkit.recipe.value_parser import FieldParser

_DISSOLVES = frozenset(("salt", "sugar", "bicarbonate of soda"))
"""Foods by what stands before the comma: *salt cod* is none of them."""
_WATER_IN_FOOD, _WATER_TAKEN_UP = 0.8, 1.2
"""Grams of water in a gram of fresh food, and taken up by a gram of a dried one (common practice, no source)."""
_DRY_WATER_G = 20.0
_TAKEN_UP = (0.2, 0.6, 1.0)
"""Of what the food would hold if its water were as salt as the pot's: little in beans that boil for minutes, all of it in pasta
(common practice, no source)."""


def less_what_dissolves(
    bench: FieldParser, ingredients: list[Ingredient], steps: list[Step]
) -> tuple[list[Ingredient], list[Step]]:
    """The ingredients, and the steps with them. Of salt and sugar in water that the words pour away, only what the food takes up is
    left: an estimate, with a note in ``bench``. What the file itself says of them stays."""
    keys = drained_water(ingredients, steps)
    waters = [i for i in ingredients if i.key in keys]
    found = [_lessened(bench, i, waters, ingredients, steps) for i in ingredients]
    return (found, relinked(steps, found)) if found != ingredients else (ingredients, steps)


def _lessened(
    bench: FieldParser,
    one: Ingredient,
    waters: Sequence[Ingredient],
    beside: Sequence[Ingredient],
    steps: Sequence[Step],
) -> Ingredient:
    if not waters or not one.grams or one.lost_share or not _dissolves(one):
        return one
    pots = [s for s in steps if any(a.ingredient in waters for a in s.additions)]
    share = sum(float(a.share or 0) for s in pots for a in s.additions if a.ingredient is one)
    if not share:
        return one
    water_g = sum(w.grams or 0.0 for w in waters)
    food_g = sum(
        (i.grams or 0.0) * (_WATER_TAKEN_UP if _is_dry(i) else _WATER_IN_FOOD)
        for i in beside
        if not is_liquid(i) and not _dissolves(i) and _meets(i, pots, steps)
    )
    holds = food_g / (food_g + water_g) if food_g + water_g else 0.0
    high, middle, low = (share * (1 - holds * part) for part in _TAKEN_UP)
    bench.problems.append(
        note(
            one.place,
            "dissolved",
            f"{one.name}: {low:.0%} to {high:.0%} of it is counted as poured away with the water",
            f"where that matters, write how much goes with the water: `left_behind: {{{one.key}: 80 %}}` at the step that drains",
        )
    )
    at = next(s.number for s in pots)
    return dataclasses.replace(one, behind_share=middle, behind_range=(low, high), behind_at=at)


def _dissolves(one: Ingredient) -> bool:
    return one.food.name.partition(",")[0] in _DISSOLVES


def _meets(one: Ingredient, pots: Sequence[Step], steps: Sequence[Step]) -> bool:
    """Whether it goes into the pot that has the water, at that step or a later one of the same vessel."""
    vessels = {s.reading.vessel.key for s in pots} - {""}
    return any(
        any(a.ingredient is one for a in s.additions) or one in s.uses
        for s in steps
        if s in pots or (s.number > pots[0].number and s.reading.vessel.key in vessels)
    )


def _is_dry(one: Ingredient) -> bool:
    of = one.food.composition
    if of.protein_g is None or of.fat_g is None or of.carbohydrate_g is None:
        return False
    return 100 - of.protein_g - of.fat_g - of.carbohydrate_g < _DRY_WATER_G
