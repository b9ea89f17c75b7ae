"""Which steps of a dish are one stretch in the oven, and when in its step the dish goes in: the oven must be hot then, and not before."""

from __future__ import annotations

import itertools

from scriptkit.english.oven_changes import hot_from_the_start
from scriptkit.recipe.dish import Dish, Kitchen, Step
from scriptkit.recipe.step_graph import WAITED_FOR, graph_of
from scriptkit.shoot.day.step_lengths import hands_ms, ticks, wait_ms

_BAKES = frozenset({"bake", "roast", "braise", "grill"})
_THEN = frozenset({*_BAKES, "rest", "chill"})
"""What follows the baking by itself; anything else that follows it is work of the step at an oven that was hot before."""


def oven_runs(dish: Dish) -> list[list[Step]]:
    """Cook steps in the oven, those that follow one another at one setting together."""
    runs: list[list[Step]] = []
    before: Step | None = None
    for step in (s for s in dish.steps if s.stage != "prep"):
        if step.reading.in_the_oven:
            if (
                before is not None
                and before.reading.in_the_oven
                and before.reading.heat.setting_key == step.reading.heat.setting_key
                and _goes_straight_on(dish, before, step)
            ):
                runs[-1].append(step)
            else:
                runs.append([step])
        before = step
    return runs


def goes_in_after(dish: Dish, step: Step, kitchen: Kitchen) -> int:
    """Half minutes after a step begins at which its dish goes into the oven: when the hands have it ready. 0 where it is in the oven
    already, where it is tended there for all its time, and where the words bake first, or want a hot tin for the work."""
    reading = step.reading
    if not wait_ms(step) or stays_in_the_oven(dish, step) or reading.stands_first or hot_from_the_start(reading.said):
        return 0
    methods = [act.method for act in reading.acts]
    baked = next((n for n, method in enumerate(methods) if method in _BAKES), len(methods))
    return 0 if any(method not in _THEN for method in methods[baked + 1 :]) else ticks(hands_ms(step, kitchen))


def stays_in_the_oven(dish: Dish, step: Step) -> bool:
    """Whether the step before it left the dish in the oven, which is then only set again."""
    cook = [s for s in dish.steps if s.stage != "prep"]
    before = next((b for b, s in itertools.pairwise(cook) if s is step), None)
    return before is not None and before.reading.in_the_oven and _goes_straight_on(dish, before, step)


def _goes_straight_on(dish: Dish, before: Step, step: Step) -> bool:
    """Whether the step goes on with the one before it in the file, and with nothing else that is cooked."""
    into = graph_of(dish).into[step.number]
    return not step.after and {e.before for e in into if e.reason in WAITED_FOR} == {before.number}
