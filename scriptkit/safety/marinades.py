"""What becomes of a marinade that held raw food: thrown away, or served."""

from __future__ import annotations

from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.soaking import thrown_away_at
from scriptkit.recipe.step_graph import FROM, graph_of

THROWN_AWAY, SERVED = "thrown away", "served"


def fate_of_marinade(dish: Dish, step: Step) -> str:
    """THROWN_AWAY where some of what went in at the step is left behind later, or the words throw the marinade away; SERVED where
    a step takes it over whole, or heats it by name; empty where the file does not say."""
    graph = graph_of(dish)
    onwards = [s for s in dish.steps if s.number in graph.taken_on(step)]
    went_in = {
        a.ingredient.key for s in dish.steps if s is step or s.number in graph.taken_into(step) for a in s.additions
    }
    numbers = {s.number for s in (step, *onwards)}
    if any(
        i.key in went_in and i.behind_share and not i.behind_into and i.behind_at in numbers for i in dish.ingredients
    ):
        return THROWN_AWAY
    if any(thrown_away_at(graph, s) or s.reading.throws_a_marinade_away for s in (step, *onwards)):
        return THROWN_AWAY
    whole = any(e.reason == FROM and e.share == 1 and not e.juices for e in graph.out_of[step.number])
    named = any(s.reading.names_a_marinade and s.reading.heats_food for s in onwards)
    return SERVED if whole or named else ""
