"""What a wait is called, for its timer: by what the food does by itself, *Bake the chicken*, and not by what was done before."""

from __future__ import annotations

from scriptkit.english.deeds import GOES_BY_ITSELF, Deed
from scriptkit.publish.chapter_names import LONGEST, step_name
from scriptkit.publish.step_deeds import deeds
from scriptkit.recipe.dish import Dish, Step


def wait_name(step: Step, dish: Dish) -> str:
    """``Bake the chicken``, ``Rest the loaf``: the last of what the step's words leave the food to do; of words that leave it nothing,
    that it bakes or cooks, where the heat is on."""
    found = [one for one in deeds(step, dish) if one.verb.split()[0] in GOES_BY_ITSELF]
    if found:
        name = _words(found[-1], dish)
    elif step.reading.in_the_oven:
        name = _words(Deed("bake", ""), dish)
    elif step.stage != "prep" and step.reading.heat.on:
        name = _words(Deed("cook", ""), dish)
    else:
        return step_name(step, dish)
    return name if len(name) <= LONGEST else step_name(step, dish)


def _words(deed: Deed, dish: Dish) -> str:
    text = f"{deed.verb} {deed.thing or f'the {dish.short or dish.name}'}"
    return text[:1].upper() + text[1:]
