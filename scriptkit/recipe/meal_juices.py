"""Juices that move between dishes of a meal: what runs out of a roast is counted in the sauce that takes it over, and nowhere else."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from fractions import Fraction

from scriptkit.english.pan_juices import works_with_juices
from scriptkit.measure.amounts import Amount
from scriptkit.pantry.food import NUTRIENTS, Composition, Food
from scriptkit.problems import Place, Problem, warning
from scriptkit.recipe.cooked import cooked_path, juices_gone
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.dish import Dish, Ingredient, Step
from scriptkit.recipe.takeovers import Takeover

_DRY = ("fat_g", "protein_g", "carbohydrate_g")


def with_juices(takes: Dish, one: Takeover, made_in: Dish, made: Step) -> tuple[Dish, Dish]:
    """The dish that ``takes`` the juices with what is known to run out by then among its ingredients, and the dish that they were
    ``made_in`` without it."""
    ran_out = [(i, c) for i, c in _ran_out(made_in, made) if not c.juices_into]
    gained = tuple(g for i, c in ran_out if (g := _gained(i, c, one.place)) is not None)
    if not gained:
        return takes, made_in
    gone = {c.key: dataclasses.replace(juices_gone(c), juices_into=takes.name) for _, c in ran_out}
    lighter = sum(
        (i.grams or 0.0) * (1 - i.lost_share) * (c.weight_share - gone[c.key].weight_share) for i, c in ran_out
    )
    giver = dataclasses.replace(made_in, cooking=tuple(gone.get(c.key, c) for c in made_in.cooking))
    named = dataclasses.replace(one, juices_of=" and ".join(f"the {i.short_name}" for i, _ in ran_out))
    steps = tuple(
        dataclasses.replace(s, takes=tuple(named if t is one else t for t in s.takes)) if one in s.takes else s
        for s in takes.steps
    )
    taker = dataclasses.replace(takes, ingredients=(*takes.ingredients, *gained), steps=steps)
    return _heavier(taker, sum(g.grams or 0.0 for g in gained)), _heavier(giver, -lighter)


def juices_without_from(dishes: Sequence[Dish]) -> Iterator[Problem]:
    """Steps whose words work with the juices of a roast that another dish of the meal cooks, where no `from:` connects the two: a warning
    with the line that does."""
    roasts = [(dish, at) for dish in dishes if (at := _juices_ready_at(dish)) is not None]
    for dish in dishes:
        others = [one for one in roasts if one[0] is not dish]
        if not others or any(one[0] is dish for one in roasts):
            continue  # its own juices are meant
        step = next((s for s in dish.steps if works_with_juices(s.reading.said)), None)
        if step is None or any(
            one.dish or one.juices for s in dish.steps if s.number <= step.number for one in s.takes
        ):
            continue
        roast, at = others[0]
        own = "".join(f", {one.step}: {one.words}" for one in step.takes)
        yield warning(
            step.place,
            "juices-not-connected",
            f"step {step.number} ({step.id}) of {dish.name} works with juices, and does not say of what: it may come before "
            f"{roast.name} is cooked, and the juices are not in its figures",
            f"write `from: {{{roast.name}/{at.id}: juices{own}}}` at step {step.number} ({step.id})",
        )


def _juices_ready_at(dish: Dish) -> Step | None:
    """The last step of the meat before it is carved or plated, after which its juices are there; None where none run out."""
    for one in dish.cooking:
        ingredient = next((i for i in dish.ingredients if i.key == one.key), None)
        if ingredient is None or one.cooked is None or one.cooked.share > 1:
            continue
        path = cooked_path(ingredient, dish.steps)
        at = next((n for n, s in enumerate(path) if s.reading.method == one.way), None)
        if at is not None:
            rests = next((s for s in path[at + 1 :] if s.reading.method == "rest"), None)
            return rests or path[at]
    return None


def _ran_out(dish: Dish, made: Step) -> Iterator[tuple[Ingredient, CookedIngredient]]:
    """Each ingredient that is cooked by the step and whose juices are then there, with what cooking makes of it."""
    for one in dish.cooking:
        ingredient = next((i for i in dish.ingredients if i.key == one.key), None)
        if ingredient is None or ingredient.doubt is not None or one.cooked is None or one.cooked.share > 1:
            continue
        path = [s.number for s in cooked_path(ingredient, dish.steps)]
        cooked_at = next(s.number for s in dish.steps if s.number in path and s.reading.method == one.way)
        if made.number in path and path.index(made.number) >= path.index(cooked_at):
            yield ingredient, one


def _gained(ingredient: Ingredient, made: CookedIngredient, place: Place) -> Ingredient | None:
    """What runs out of the ingredient, as an ingredient of the dish that takes it over: its fat and protein; water boils away."""
    if made.cooked is None:
        return None
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    raw, left = ingredient.food.composition, made.cooked.per_100_g_raw
    lost = {n: _lost(getattr(raw, n), getattr(left, n)) for n in NUTRIENTS}
    dry = sum(lost[n] or 0.0 for n in _DRY)  # per 100 g of it raw
    if dry <= 0:
        return None
    name = f"juices of the {ingredient.short_name}"
    food = Food(
        name=name,
        category=ingredient.food.category,
        source=made.cooked.row_words,
        composition=Composition(**{n: None if f is None else f * 100 / dry for n, f in lost.items()}),
        allergens=ingredient.food.allergens,
        may_contain=ingredient.food.may_contain,
        allergens_stated=ingredient.food.allergens_stated,
        water_g=0.0,
    )
    there = grams * dry / 100
    return Ingredient(
        key=name.replace(" ", "_"), food=food, amount=Amount(Fraction(there).limit_denominator(10), "gram"), grams=there,
        as_bought_g=None, prep="", measured_as="", mm=None, place=place, taken_over=True, ran_out_of=(ingredient, made),
    )  # fmt: skip


def _lost(raw: float | None, left: float | None) -> float | None:
    return None if raw is None else max(raw - (left or 0.0), 0.0) if left is not None or raw == 0 else None


def _heavier(dish: Dish, grams: float) -> Dish:
    """The dish with so much more in its batch and in what it serves; one that was weighed stays."""
    if not dish.cooked_estimated or not grams:
        return dish
    whole = dish.cooked_g + grams
    return dataclasses.replace(
        dish,
        cooked_g=whole,
        cooked_low_g=None if dish.cooked_low_g is None else dish.cooked_low_g + grams,
        cooked_high_g=None if dish.cooked_high_g is None else dish.cooked_high_g + grams,
        serving_g=dish.serving_g if dish.serving_stated else whole / dish.servings,
    )
