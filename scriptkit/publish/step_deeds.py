"""What a step does, by its words (english/deeds.py), to which food of its dish, called by its full name."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.english.deeds import DISH, Deed, DishNames, deeds_in, served_as
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of

_UNSAID = frozenset({"sauce", "fillet", "leaf"})
"""What a cook leaves out of a name: *the soy*."""


def deeds(step: Step, dish: Dish) -> list[Deed]:
    """What the step's words do, in their order."""
    names = DishNames(
        words_of=words_of,
        foods=frozenset(
            w for i in dish.ingredients for w in (*words_of(i.name), *words_of(i.food.name.partition(",")[0]))
        ),
        dish=frozenset(words_of(f"{dish.name} {dish.short}")),
        full_name=lambda said: _full_name(said, step, dish),
        participles=frozenset(w for i in dish.ingredients for w in words_of(i.food.name)),
        it=lambda: DISH if _is_dish(step, dish) else _heaviest(step),
        served=_served_as(step),
    )
    return deeds_in(step.do, names)


def best_deed(step: Step, dish: Dish) -> Deed | None:
    """What a viewer would search for first: the first of those that say most; None where the words do nothing."""
    return max(deeds(step, dish), key=lambda one: one.says, default=None)


def is_served(step: Step) -> bool:
    """Whether the step puts what is ready on plates, in bowls or in glasses, and heats nothing."""
    return bool(_served_as(step))


def _served_as(step: Step) -> str:
    if step.stage == "prep" or step.reading.heat.on:
        return ""
    return served_as(f"{step.do} {step.reading.written_vessel}")


def _is_dish(step: Step, dish: Dish) -> bool:
    """Whether what the step works on may be called by the dish's name: of a dish that is called by an ingredient, where that is in it."""
    called = [i for i in dish.ingredients if set(words_of(i.short_name)) & set(words_of(dish.short))]
    if not called or not any(s.additions for s in dish.steps):
        return True
    numbers = graph_of(dish).taken_into(step) | {step.number}
    there = {a.ingredient.key for s in dish.steps if s.number in numbers for a in s.additions}
    there |= {i.key for s in dish.steps if s.number in numbers for i in s.uses}
    return any(i.key in there for i in called) or not _heaviest(step)


def _heaviest(step: Step) -> str:
    weighed = [a for a in step.additions if a.grams]
    return f"the {max(weighed, key=lambda a: a.grams or 0.0).ingredient.short_name}" if weighed else DISH


def _full_name(said: str, step: Step, dish: Dish) -> str:
    """The name of the one food of the step, else of the dish, that the words name in part; empty where there is none."""
    own = [a.ingredient for a in step.additions] + list(step.uses)
    for among in (own, [i for i in dish.ingredients if i not in own]):
        named = {i.short_name for i in among if _names_part(words_of(said), words_of(i.short_name))}
        if len(named) == 1:
            return named.pop()
    return ""


def _names_part(words: Sequence[str], name: Sequence[str]) -> bool:
    """Whether the words are a part of the name that stands for it: *the soy*, *the legs*; *the lemon* is not its juice."""
    if not words or not set(words) < set(name):
        return False
    return name[-1] in words or name[-1] in _UNSAID
