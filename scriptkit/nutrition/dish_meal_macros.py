"""Macros of a dish (by ingredient, batch, serving, 100 g) and of a meal (by dish and plate)."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.nutrition.alcohol import KCAL_PER_G, SHORTEST_MIN, share_left
from scriptkit.nutrition.cooking import cooked_of, eaten_of_cooked, left_behind_words
from scriptkit.nutrition.intervals import BOUNDED, Source, Uncertainty
from scriptkit.nutrition.macros import PRINTED, Macros, total, words_of_macro
from scriptkit.nutrition.stock import leached, leached_doubt, leached_words
from scriptkit.pantry.food import NUTRIENTS
from scriptkit.pantry.weighing import estimate_words
from scriptkit.problems import Problem, error
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.dish import Dish, Extra, Ingredient, Meal, Portion
from scriptkit.recipe.display_names import behind_words
from scriptkit.recipe.time_on_heat import heat_of
from scriptkit.recipe.unconfirmed import unconfirmed_names

MAIN = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
"""A card without one of these is not complete."""


LEFT = "left in the pan"
"""Stands beside what came out of the food and is not eaten; its figures are below zero."""


@dataclass(frozen=True, slots=True)
class AlcoholLeft:
    """The share of an ingredient's alcohol that is counted. Not ``timed``: nothing says for how long it is heated."""

    ingredient: Ingredient
    share: float
    timed: bool

    def __str__(self) -> str:
        name = f"alcohol of {self.ingredient.name}"
        if self.share < 1 - 1e-9:
            return f"{name}: {self.share:.0%} left after simmering (USDA Nutrient Retention Factors, Release 6)"
        if self.timed:
            return f"{name}: all of it counted, as no factor is published for less than {SHORTEST_MIN} min of simmering"
        return f"{name}: all of it counted, as the steps do not say how long it simmers"


@dataclass(frozen=True, slots=True)
class DishMacros:
    """``batch`` weighs what the batch weighs as served; nutrients go nowhere, weight lost in the pot is water
    (Greenfield & Southgate, Food Composition Data, FAO 2003)."""

    dish: Dish
    ingredients: tuple[tuple[Ingredient, Macros], ...]
    """What is eaten of each ingredient: less what is strained out, left in the pan or runs out, and less the alcohol that
    simmers off; then, with figures below zero, what came out of the food and is not eaten."""
    batch: Macros
    alcohol: tuple[AlcoholLeft, ...] = ()
    """Ingredients with alcohol that are heated."""
    parts: tuple[tuple[Ingredient, DishMacros], ...] = ()
    """Ingredients that are dishes, with the macros of those."""

    @property
    def serving(self) -> Macros:
        """Of one serving, by its weight as served; where that is not stated, by its share of the batch."""
        return self.portion(self.dish.serving_g, by_share=not self.dish.serving_stated)

    @property
    def per_100_g(self) -> Macros:
        """Of 100 g as served."""
        return self.portion(100.0)

    def portion(self, grams: float, *, by_share: bool = False) -> Macros:
        """Macros of ``grams`` as served; where the batch weighs nothing, nothing is known of them. ``by_share``: what is served is
        a share of the batch, whatever that weighs, and no weight on a scale."""
        guessed = by_share and self.dish.doubt is not None  # nobody has confirmed how many shares it makes
        if self.batch.weight_g and not guessed:
            macros = self.batch.weighing(grams)
            if by_share or not self.dish.cooked_estimated:
                return macros
            doubt = Source(functools.partial(_of_weight, self.dish, macros))
            return dataclasses.replace(macros, parts=(*macros.parts, (1.0, doubt)))
        return Macros(grams, unknown=frozenset(NUTRIENTS)) if grams else Macros()

    @property
    def rows(self) -> tuple[tuple[str, Macros], ...]:
        """What the batch is the sum of, each with its words."""
        eaten = len(self.ingredients) - sum(i.grams is not None for i in self.dish.taken_out)
        return tuple((i.name if n < eaten else f"{i.name}, {LEFT}", m) for n, (i, m) in enumerate(self.ingredients))

    @property
    def to_taste(self) -> tuple[str, ...]:
        """Ingredients that are not counted, being to taste; of a dish in the dish, too."""
        own = [i.name for i in self.dish.ingredients if i.to_taste]
        return (*own, *(f"{name} of {i.name}" for i, part in self.parts for name in part.to_taste))

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """Ingredients of which something is a guess that nobody has confirmed; of a dish in the dish, too. Nothing of them is counted."""
        return unconfirmed_names(self.dish)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Ingredients to taste, and those whose composition lacks a main figure."""
        lacking = [name for n, names in self.unknown_figures.items() if n in MAIN for name in names]
        return tuple(dict.fromkeys([*self.to_taste, *lacking]))

    @property
    def unknown_figures(self) -> dict[str, tuple[str, ...]]:
        """Nutrient → the ingredients of which it is not known."""
        parts = {i.key: part.unknown_figures for i, part in self.parts}

        def names(ingredient: Ingredient, nutrient: str) -> tuple[str, ...]:
            inside = parts.get(ingredient.key, {}).get(nutrient, ()) if ingredient.dish is not None else ()
            return tuple(f"{name} of {ingredient.name}" for name in inside) or (ingredient.name,)

        found = {n: tuple(x for i, m in self.ingredients if n in m.unknown for x in names(i, n)) for n in PRINTED}
        return {n: lacking for n, lacking in found.items() if lacking}

    @property
    def estimated(self) -> tuple[str, ...]:
        """What nobody weighed, in words."""
        listed = self.dish.ingredients
        pinches = [f"{i.name}: a pinch taken as 1/16 tsp" for i in listed if i.amount and i.amount.unit == "pinch"]
        strained = [
            leached_words(i)
            if leached(self.dish, i) is not None
            else f"{i.name}: {'' if i.strained_share > 0.999 else f'{i.strained_share:.0%} of it '}counted as thrown away; what it leaves in the dish is not known"
            for i in listed
            if i.strained_share
        ]
        strained += [f"{i.name}: {behind_words(i)}" for i in listed if i.behind_range is not None]
        borrowed = [
            f"{i.name}: {i.amount} taken as {estimate_words(i.grams, i.weight_low_g, i.weight_high_g, i.borrowed)}"
            for i in listed
            if i.borrowed and i.grams is not None and i.weight_low_g is not None and i.weight_high_g is not None
        ]
        typical = [
            f"{i.name}: a typical label, makes differ by about {i.food.spread:.0%}"
            for i in listed
            if i.food.spread and i.grams
        ]
        own = (
            *self._weight_words(),
            *borrowed,
            *typical,
            *pinches,
            *strained,
            *left_behind_words(self.dish),
            *map(str, self.alcohol),
        )
        return (*own, *(f"{i.name}, {what}" for i, part in self.parts for what in part.estimated))

    def _weight_words(self) -> list[str]:
        if not self.dish.cooked_estimated:
            return []
        if self.dish.cooked_by:
            return [f"cooked weight: {'; '.join(self.dish.cooked_by)}; the rest as it went in"]
        return ["cooked weight: the sum of what went in, as if nothing boiled away"]


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
        """Of one plate: the portions and what else lies on it."""
        return total(m for _, _, m in self.portions) + self.extras

    @property
    def party(self) -> Macros:
        """Of all plates together."""
        return self.plate.times(self.meal.plates)

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """Of the dishes, and of what else lies on the plate: what is a guess that nobody has confirmed."""
        return unconfirmed_names(self.meal)

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is to taste, and what lacks a main figure: of the dishes, and of what else lies on the plate."""
        names = [name for _, d, _ in self.portions for name in d.unknown]
        names += [e.ingredient.name for e in self.meal.extras if e.ingredient.to_taste]
        return tuple(
            dict.fromkeys([*names, *(e.ingredient.name for e, m in self.extra if not m.unknown.isdisjoint(MAIN))])
        )

    @property
    def estimated(self) -> tuple[str, ...]:
        """What nobody weighed, in words, each with its dish."""
        words = [f"{d.dish.name}: {what}" for _, d, _ in self.portions for what in d.estimated]
        for extra, _ in self.extra:
            if extra.ingredient.dish is not None:
                words += [f"{extra.ingredient.name}: {what}" for what in dish_macros(extra.ingredient.dish).estimated]
        return tuple(dict.fromkeys(words))

    @property
    def rows(self) -> tuple[tuple[str, Macros], ...]:
        """What the plate is the sum of, each with its words."""
        portions = [(f"{p.dish.name}, {p.words}", m) for p, _, m in self.portions]
        return (*portions, *((f"{e.ingredient.name}, {e.how}", m) for e, m in self.extra))


def dish_macros(dish: Dish, more_heat_min: float | None = 0.0) -> DishMacros:
    """Macros of the dish, with those of the dishes that are ingredients of it. ``more_heat_min``: minutes that it is heated
    as a part of another dish; None where nobody says for how long."""
    left = {i.key: of for i in dish.ingredients if (of := alcohol_left(dish, i, more_heat_min)) is not None}
    parts = {i.key: _parts(dish, i, more_heat_min) for i in dish.ingredients if i.dish is not None}
    rows = [
        (
            i,
            _of_parts(i, parts[i.key])
            if i.dish is not None and i.doubt is None
            else _with_leached(dish, i, _eaten(i, left[i.key].share if i.key in left else 1.0, cooked_of(dish, i))),
        )
        for i in dish.ingredients
        if i.grams is not None
    ]
    so_far = total(m for _, m in rows)
    for ingredient in dish.taken_out:
        if ingredient.grams is not None:
            rows.append((ingredient, _taken_out(ingredient, so_far)))
            so_far += rows[-1][1]
    return DishMacros(
        dish,
        tuple(rows),
        dataclasses.replace(so_far, weight_g=dish.cooked_g),
        tuple(left[i.key] for i in dish.ingredients if i.key in left),
        tuple((i, parts[i.key][0][1]) for i in dish.ingredients if parts.get(i.key)),
    )


def _parts(dish: Dish, ingredient: Ingredient, more_heat_min: float | None) -> list[tuple[float, DishMacros]]:
    """Shares of the ingredient, a dish, with its macros as each is heated on."""
    part = ingredient.dish
    heat = heat_of(dish, ingredient)
    whole = sum(share for share, _ in heat)
    return [] if part is None else [(share / whole, dish_macros(part, _plus(m, more_heat_min))) for share, m in heat]


def _of_parts(ingredient: Ingredient, parts: Sequence[tuple[float, DishMacros]]) -> Macros:
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    return total(part.portion(grams * share) for share, part in parts)


def _plus(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def _taken_out(ingredient: Ingredient, went_in: Macros) -> Macros:
    """What came out of the food, below zero. Of a figure that it lacks, all that went in may have gone with it, so that what
    is known of the batch stays a lower bound."""
    macros = _eaten(ingredient).times(-1.0)
    for nutrient in macros.unknown - {"alcohol_g"}:  # tables leave it blank for what is no drink
        macros = macros.with_figure(nutrient, -max(went_in.at_least(nutrient), 0.0), unknown=True)
        if nutrient == "net_carbs_g":
            macros = dataclasses.replace(macros, net_low_g=-went_in.net_high_g, net_high_g=-went_in.net_low_g)
    return macros


def _of_weight(dish: Dish, portion: Macros) -> list[Uncertainty]:
    """A weighed portion of a batch that nobody weighed: of a lighter batch it is more."""
    low, high = dish.cooked_low_g or dish.cooked_g, dish.cooked_high_g or dish.cooked_g
    more, less = dish.cooked_g / max(low, 1.0) - 1, dish.cooked_g / max(high, 1.0) - 1
    shifts = {n: (portion.at_least(n) * less, portion.at_least(n) * more) for n in BOUNDED if portion.at_least(n) > 0}
    return [Uncertainty(f"batch {dish.file}", f"the cooked weight of {dish.name}", shifts)]


def _eaten(ingredient: Ingredient, alcohol: float = 1.0, made: CookedIngredient | None = None) -> Macros:
    if ingredient.doubt is not None:  # a guess is counted as unknown until a person confirms it
        grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
        return Macros(grams, unknown=frozenset(NUTRIENTS)) if grams else Macros()
    if ingredient.dish is not None:
        return dish_macros(ingredient.dish).portion((ingredient.grams or 0.0) * (1 - ingredient.lost_share))
    macros = eaten_of_cooked(ingredient, made)
    if alcohol != 1.0:
        gone = macros.at_least("alcohol_g") * (1 - alcohol)
        energy = max(macros.at_least("energy_kcal") - gone * KCAL_PER_G, 0.0)
        macros = macros.with_figure("alcohol_g", macros.at_least("alcohol_g") - gone)
        macros = macros.with_figure("energy_kcal", energy, unknown="energy_kcal" in macros.unknown)
    figures = {n: macros.at_least(n) for n in BOUNDED}
    by_factor = macros.at_least("alcohol_g") if alcohol != 1.0 else 0.0
    doubts = Source(functools.partial(_listed, ingredient, made, figures, by_factor))
    return dataclasses.replace(macros, parts=((1.0, doubts),))


def _with_leached(dish: Dish, ingredient: Ingredient, eaten: Macros) -> Macros:
    """With what its strained-out share leaves in the pot."""
    more = leached(dish, ingredient) if ingredient.strained_share and ingredient.doubt is None else None
    if more is None:
        return eaten
    doubts = Source(functools.partial(leached_doubt, ingredient, more))
    return eaten + dataclasses.replace(more, parts=((1.0, doubts),))


def _listed(
    ingredient: Ingredient, made: CookedIngredient | None, figures: dict[str, float], by_factor: float
) -> list[Uncertainty]:
    from scriptkit.nutrition.uncertainty import doubts_of  # only where a range is asked for

    return list(doubts_of(ingredient, made, figures, by_factor))


def alcohol_left(dish: Dish, ingredient: Ingredient, more_heat_min: float | None) -> AlcoholLeft | None:
    """What of its alcohol is left by the time the dish is served; None for an ingredient that has none or is not heated."""
    if not ingredient.food.composition.alcohol_g or not ingredient.grams or ingredient.doubt is not None:
        return None
    heat = [(share, _plus(minutes, more_heat_min)) for share, minutes in heat_of(dish, ingredient)]
    if all(minutes == 0 for _, minutes in heat):
        return None
    whole = sum(share for share, _ in heat)
    left = sum(share * share_left(minutes or 0.0) for share, minutes in heat) / whole
    return AlcoholLeft(ingredient, left, all(minutes is not None for _, minutes in heat))


def meal_macros(meal: Meal, of_dishes: Iterable[DishMacros] = ()) -> MealMacros:
    """Each dish once, however many portions it has; extras to taste are left out. ``of_dishes``: macros of its dishes that are
    computed already."""
    by_dish = {macros.dish.file: macros for macros in of_dishes}
    for portion in meal.portions:
        if portion.dish.file not in by_dish:
            by_dish[portion.dish.file] = dish_macros(portion.dish)
    return MealMacros(
        meal,
        tuple(
            (p, by_dish[p.dish.file], by_dish[p.dish.file].portion(p.grams, by_share=p.by_share)) for p in meal.portions
        ),
        tuple((e, _eaten(e.ingredient)) for e in meal.extras if e.ingredient.grams is not None),
    )


def _inside(macros: DishMacros) -> Iterator[DishMacros]:
    """The macros of the dishes that go into the dish, through any number of others."""
    for _, part in macros.parts:
        yield part
        yield from _inside(part)


@dataclass(frozen=True, slots=True, kw_only=True)
class AllMacros:
    """The macros of every dish that is cooked, and of the meal; ``meal`` is None for a dish alone."""

    dishes: tuple[DishMacros, ...]
    meal: MealMacros | None

    def of(self, dish: Dish) -> DishMacros:
        """Those of one of the dishes; equal ones are cooked once. Raises KeyError for a dish that is not cooked here."""
        for macros in self.dishes:
            if macros.dish is dish:
                return macros
        for macros in self.dishes:
            if macros.dish == dish or macros.dish.file == dish.file != "":
                return macros  # as it was weighed on the day, where it was
        for macros in self.dishes:  # what goes into one of them
            for part in _inside(macros):
                if part.dish == dish:
                    return part
        raise KeyError(dish.name)

    def eaten_of(self, source: Dish | Meal) -> Macros:
        """What one person eats of it: the plate of the meal, a serving of one of its dishes."""
        if isinstance(source, Meal):
            return (self.meal or meal_macros(source, self.dishes)).plate
        return self.of(source).serving


def all_macros(source: Dish | Meal, dishes: Iterable[Dish]) -> AllMacros:
    """The macros of the dishes, and of the source where it is a meal."""
    of_dishes = tuple(dish_macros(dish) for dish in dishes)
    return AllMacros(dishes=of_dishes, meal=meal_macros(source, of_dishes) if isinstance(source, Meal) else None)


def taken_out_problems(macros: DishMacros) -> list[Problem]:
    """More of a macro left in the pan than went in: a slipped unit, or fat that no ingredient had."""
    dish, batch = macros.dish, macros.batch
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
