"""How many whole fruits or eggs are bought for the parts that are wanted of them: each is zested, juiced and eaten once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry import table
from scriptkit.pantry.eaten_parts import EatenPart, part_of
from scriptkit.pantry.food import Food
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate
from scriptkit.recipe.dish import Ingredient


def sold_as(ingredient: Ingredient) -> str:
    """The food that the shop sells for it: of lemon juice and lemon zest the lemon, of a yolk the egg; else the food's own name."""
    if ingredient.bought_as is not None:
        return ingredient.bought_as.name
    part = part_of(ingredient.food.name)
    return part.whole if part is not None and _of_the_table(ingredient.food) else ingredient.food.name


def whole_of(ingredient: Ingredient) -> Food:
    """The same as a food."""
    return ingredient.bought_as or table.food(sold_as(ingredient))


def wholes_wanted(wants: Iterable[tuple[Ingredient, Fraction]]) -> Amount | None:
    """How many wholes they are, each of so many times its amount; of one size where all name it. None where one is to taste, or not known."""
    whole_ones, of_part, units = Fraction(0), defaultdict[str, Fraction](Fraction), set[str]()
    for ingredient, times in wants:
        count = _count(ingredient)
        if count is None:
            return None
        units.add(count.unit)
        parts = _parts(ingredient)
        for part in parts:
            of_part[part] += times * count.value
        whole_ones += 0 if parts else times * count.value
    return Amount(whole_ones + max(of_part.values(), default=Fraction(0)), units.pop() if len(units) == 1 else "piece")


def whole_weight_g(whole: Food, wanted: Amount) -> float:
    """Grams as bought of so many; 0 where no table weighs one."""
    try:
        return weigh_or_estimate(whole, wanted).grams / (1 - (whole.refuse_share or 0.0))
    except CannotWeigh:
        return 0.0


def _of_the_table(food: Food) -> bool:
    return food.name in table.index().values() and table.food(food.name) is food


def _parts(ingredient: Ingredient) -> tuple[str, ...]:
    """Which parts of the whole go in; empty where it is the whole."""
    if ingredient.bought_as is None:
        part = part_of(ingredient.food.name)
        return () if part is None else (part.part,)
    return tuple(w for w in ("juice", "zest", "yolk", "white") if w in ingredient.food.name.split()) or ("part",)


def _count(ingredient: Ingredient) -> Amount | None:
    amount = ingredient.amount
    if amount is None or ingredient.grams is None:
        return None
    if amount.kind is Kind.COUNT:
        return amount
    part: EatenPart | None = part_of(ingredient.food.name)
    if part is None:
        try:
            each = weigh_or_estimate(ingredient.food, Amount(Fraction(1), "piece")).grams
        except CannotWeigh:
            return None
    else:
        each = part.grams
    return Amount(Fraction(ingredient.grams / each).limit_denominator(100), "piece")
