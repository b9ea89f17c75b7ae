"""What a step does before anything of it goes in: *tip it into the dish*, then the crumbs go over it; and between two additions."""

from __future__ import annotations

import functools

from scriptkit.english.acts_between import acts_between
from scriptkit.english.leading_words import Parted, parted
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.shoot.day.step_lengths import wait_ms

_LEAST_OF_A_NAME = 4
"""Letters by which a part of a compound names it: *the crumbs* are the breadcrumbs."""


def is_named(ingredient: Ingredient, text: str) -> bool:
    """Whether the text names it, by a word of its name or the end of one."""
    food = ingredient.food.name.partition(",")[0]
    names = _words_of(ingredient.key, ingredient.name, ingredient.short_name, food)
    return any(w in names or (len(w) >= _LEAST_OF_A_NAME and any(n.endswith(w) for n in names)) for w in words_of(text))


@functools.lru_cache(maxsize=1024)
def _words_of(*names: str) -> frozenset[str]:
    return frozenset(word for name in names for word in words_of(name.replace("_", " ")))


def leading_act(step: Step) -> Parted | None:
    """What the words do to food that is there before the first addition goes in; None where they begin with an addition, and where
    they do not tell when each goes in. Juices that it takes over go in first."""
    foods = [functools.partial(is_named, a.ingredient) for a in step.additions]
    act = parted(step.do, step.reading.clauses, foods, wait_ms=wait_ms(step))
    if act is None and step.additions and (juices := juices_into(step)):
        vessel = step.reading.written_vessel
        pour = f"Pour the {juices}{f' into the {vessel}' if vessel else ' in'}."
        return Parted(first=pour, rest=step.do, adds=False, waited=False, once=True)
    return act


def juices_into(step: Step) -> str:
    """The juices that go on here: ``juices of the pork loin``; empty where none do."""
    return " and ".join(one.juices_name for one in step.takes if one.juices)


def between(step: Step) -> dict[int, Parted]:
    """After which of the step's additions, counted from 0, something is cooked before the next one goes in, and the rest of the words."""
    foods = [functools.partial(is_named, a.ingredient) for a in step.additions]
    return acts_between(step.do, step.reading.clauses, foods, wait_ms=wait_ms(step)) if len(foods) > 1 else {}
