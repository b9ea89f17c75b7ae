"""How much is in the jug when something is blended: what is there by then, and not what goes in afterwards."""

from __future__ import annotations

import functools

from scriptkit.english.acts_between import named_only_after
from scriptkit.english.disposal import STRAINED
from scriptkit.english.stems import stems_in
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.recipe.evaporation import evaporated
from scriptkit.safety.kitchen_state import StepState

COOLS_MS = 5 * 60_000
"""How long hot liquid cools at least before it goes into a jug: of the 5 to 10 minutes that the cautions print, with their source (rules.yaml: food magazines only)."""


def blended_ml(dish: Dish, step: Step, state: StepState) -> float:
    """What is in the jug at the step, a gram taken as a millilitre: the batch as it was measured, or as the card weighs it, without what
    never comes into the jug or only after the blending, and with what boils or is strained off afterwards."""
    late = {a.number for a in goes_in_after_blending(step)}
    in_it: dict[str, float] = {}
    for one in (*state.earlier, step):
        for addition in one.additions:
            if addition.number not in late or one is not step:
                in_it[addition.ingredient.key] = in_it.get(addition.ingredient.key, 0.0) + (addition.grams or 0.0)
    there = sum(in_it.values())
    outside = sum(_in_batch(dish, i, (i.grams or 0.0) - in_it.get(i.key, 0.0)) for i in dish.ingredients)
    through = {s.number for s in state.earlier}
    by_then = [s for s in dish.steps if s.number in through]
    boils_later = evaporated(dish.steps).grams - evaporated(by_then).grams
    strained = any(d.how == STRAINED for s in dish.steps if s.number not in through for d in s.reading.disposed)
    lost = sum(in_it.get(i.key, 0.0) * i.strained_share for i in dish.ingredients) if strained else 0.0
    measured = (dish.cooked_ml or dish.cooked_g) - outside + max(boils_later, 0.0) + lost
    return measured if measured > 0 else there


def _in_batch(dish: Dish, ingredient: Ingredient, grams: float) -> float:
    """What so many grams that go in weigh in the finished batch."""
    made = next((one for one in dish.cooking if one.key == ingredient.key), None)
    return max(grams, 0.0) * (1 - ingredient.lost_share) * (made.weight_share if made else 1.0)


def goes_in_after_blending(step: Step) -> list[Addition]:
    """The step's additions that its words name only after the blending: of *blend the soup, then stir in the cream* the cream."""

    def names(addition: Addition, text: str) -> bool:
        return not frozenset(stems_in(addition.ingredient.name)).isdisjoint(stems_in(text))

    clauses = step.reading.clauses
    return [a for a in step.additions if named_only_after("blend", functools.partial(names, a), clauses)]
