"""Figures that move between dishes of a meal: half a dough that another dish bakes is counted there, and not where it was made."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction

from scriptkit.measure.amounts import Amount
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.meal_juices import with_juices
from scriptkit.recipe.meal_takeovers import step_of
from scriptkit.recipe.parts import food_of_dish
from scriptkit.recipe.step_flow import relinked
from scriptkit.recipe.step_graph import FROM, graph_of
from scriptkit.recipe.takeovers import Takeover

Content = Mapping[str, float]
"""Of each ingredient, by key, the share of the dish's amount: 0 to 1."""


def exchanged(dishes: Sequence[Dish]) -> list[Dish]:
    """The dishes, each with what it takes over from others among its ingredients, and less what others take from it. Dishes that
    exchange nothing are the same objects. Juices are no share of anything that went in: what is known to run out moves."""
    found = {dish.file: dish for dish in dishes}
    for dish in dishes:
        for step in dish.steps:
            for one in step.takes:
                made = step_of(dishes, one) if one.dish else None
                if made is None or made[0] is dish:
                    continue
                if one.juices:
                    taker, giver = with_juices(found[dish.file], one, found[made[0].file], made[1])
                    found[dish.file], found[made[0].file] = taker, giver
                    continue
                content = {key: share for key, share in _leaving(made[0])[made[1].number].items() if share > 1e-9}
                part = _share(one, made[0], made[1].number, content)
                taken = {key: share * part for key, share in content.items()}
                if taken and part > 0:
                    found[dish.file] = _with(found[dish.file], one, _part_of(made[0], one, taken))
                    found[made[0].file] = _without(found[made[0].file], made[1].number, taken, dish.name)
    return [found[dish.file] for dish in dishes]


def made_g(dish: Dish, number: int) -> float:
    """How much of what went in leaves the step, in grams; 0 where nothing tells."""
    return _grams_of(dish, _leaving(dish).get(number, {}))


def _grams_of(dish: Dish, content: Content) -> float:
    return sum(share * (i.grams or 0.0) for i in dish.ingredients if (share := content.get(i.key)))


def _share(one: Takeover, made_in: Dish, number: int, content: Content) -> float:
    """Which part of the step's work is taken over, 0 to 1."""
    step_id = next(s.id for s in made_in.steps if s.number == number)
    own = sum(
        float(t.share or 0) for s in made_in.steps for t in s.takes if not t.dish and not t.juices and t.step == step_id
    )
    if one.rest:
        return max(1.0 - own, 0.0)
    if one.grams is not None:
        whole = _grams_of(made_in, content)
        return min(one.grams / whole, 1.0) if whole else 0.0
    return float(one.share or 0)


def _leaving(dish: Dish) -> dict[int, Content]:
    """What leaves each step of the dish, by the step's number."""
    graph = graph_of(dish)
    by_number = {s.number: s for s in dish.steps}
    leaves: dict[int, Content] = {}
    gone: dict[int, float] = defaultdict(float)
    for step in graph.in_order:
        here: dict[str, float] = defaultdict(float)
        for edge in graph.into[step.number]:
            if not edge.takes or edge.juices:
                continue
            content, part = leaves.get(edge.before, {}), 1.0
            if edge.reason == FROM:
                one = next(t for t in step.takes if t.step == by_number[edge.before].id and not t.dish)
                whole = _grams_of(dish, content)
                part = 1.0 - gone[edge.before] if one.rest else float(one.share or 1)
                if one.grams is not None:
                    part = one.grams / whole if whole else 1.0
                gone[edge.before] += part
            for key, share in content.items():
                here[key] += share * max(min(part, 1.0), 0.0)
        for addition in step.additions:
            here[addition.ingredient.key] += float(addition.share or 0)
        for ingredient in dish.left_behind_at(step):
            here[ingredient.key] -= ingredient.behind_share
        leaves[step.number] = {key: min(max(share, 0.0), 1.0) for key, share in here.items()}
    return leaves


def _part_of(dish: Dish, one: Takeover, taken: Content) -> Dish:
    """What was made at the step, as much as is taken over, as a dish without steps; what was cooked by then weighs what cooking left."""
    shares = _cooked_shares(dish, one.step)
    ingredients = tuple(
        dataclasses.replace(
            i,
            grams=i.grams * taken[i.key],
            as_bought_g=None if i.as_bought_g is None else i.as_bought_g * taken[i.key],
            amount=None if i.amount is None else i.amount.times(Fraction(taken[i.key]).limit_denominator(10_000)),
            left_share=0.0,
            strained_share=0.0,
            behind_share=0.0,
            behind_range=None,
            behind_at=None,
            behind_into="",
        )
        for i in dish.ingredients
        if i.grams is not None and i.key in taken
    )
    grams = sum((i.grams or 0.0) * shares.get(i.key, 1.0) for i in ingredients)
    name = f"{one.step} of {dish.short}"
    return dataclasses.replace(
        dish, name=name, short=name, servings=1.0, serving_g=grams, serving_stated=True, cooked_g=grams, cooked_low_g=grams,
        cooked_high_g=grams, cooked_estimated=True, cooked_ml=None, cooked_by=(), cooking=(), taken_out=(), ingredients=ingredients, steps=(),
    )  # fmt: skip


def _cooked_shares(dish: Dish, step_id: str) -> dict[str, float]:
    """What cooking leaves of each ingredient's weight, by key, where the step or one that goes into it heats."""
    step = next(s for s in dish.steps if s.id == step_id)
    numbers = graph_of(dish).taken_into(step) | {step.number}
    heated = any(s.reading.heat.on for s in dish.steps if s.number in numbers and s.stage != "prep")
    return {c.key: c.weight_share for c in dish.cooking} if heated else {}


def _with(dish: Dish, one: Takeover, part: Dish) -> Dish:
    """The dish with what it takes over among its ingredients; one that nobody weighed weighs so much more."""
    gained = Ingredient(
        key=part.name, food=food_of_dish(part), amount=Amount(Fraction(part.cooked_g).limit_denominator(100), "gram"), grams=part.cooked_g,
        as_bought_g=None, prep="", measured_as="", mm=None, place=one.place, dish=part, taken_over=True,
    )  # fmt: skip
    changed = dataclasses.replace(dish, ingredients=(*dish.ingredients, gained))
    return _weighing(changed, dish.cooked_g + part.cooked_g)


def _without(dish: Dish, number: int, taken: Content, into: str) -> Dish:
    """The dish without what another takes over from its step."""
    ingredients = tuple(
        dataclasses.replace(
            i,
            behind_share=min(i.behind_share + taken[i.key], 1.0),
            behind_at=number,
            behind_into=into,
            behind_range=None,
        )
        if taken.get(i.key)
        else i
        for i in dish.ingredients
    )
    changed = dataclasses.replace(dish, ingredients=ingredients, steps=tuple(relinked(dish.steps, ingredients)))
    eaten = sum((i.grams or 0.0) * (1 - i.lost_share) for i in dish.ingredients)
    left = sum((i.grams or 0.0) * (1 - i.lost_share) for i in ingredients)
    return _weighing(changed, dish.cooked_g * left / eaten if eaten else 0.0)


def _weighing(dish: Dish, grams: float) -> Dish:
    """The dish with another weight of the batch and of what it serves; one that was weighed stays."""
    if not dish.cooked_estimated:
        return dish
    share = grams / dish.cooked_g if dish.cooked_g else 1.0
    return dataclasses.replace(
        dish,
        cooked_g=grams,
        cooked_low_g=None if dish.cooked_low_g is None else dish.cooked_low_g * share,
        cooked_high_g=None if dish.cooked_high_g is None else dish.cooked_high_g * share,
        serving_g=dish.serving_g if dish.serving_stated else grams / dish.servings,
    )
