"""Where raw meat, poultry or fish lies in a marinade, whatever the words call it, and which step throws that away."""

from __future__ import annotations

import re
from collections.abc import Iterable

from scriptkit.english.disposal import DISCARDED, POURED_OFF, SET_ASIDE, STRAINED, Disposal
from scriptkit.english.hours_said import hours_said
from scriptkit.english.marinades import is_of_a_marinade
from scriptkit.pantry.kinds_by_name import category_of, raw_class_of
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.recipe.evaporation import is_liquid
from scriptkit.recipe.step_graph import StepGraph

FLESH = frozenset(("whole-cut", "ground-meat", "poultry", "fish", "shellfish"))
"""Temperature classes of what a marinade is for."""
LIES_FROM_H = 0.5
"""From so long on what lies in a liquid has soaked in it (common practice, no source)."""
_WET = frozenset(("sauce", "condiment", "dairy"))
_WET_BY_NAME = re.compile(r"\b(?:juice|vinegar|soy sauce|cider|beer|brine|soya milk)\b", re.IGNORECASE)
_SOLID = re.compile(r"\b(?:butter|ghee|powder)\b", re.IGNORECASE)


def marinates(step: Step) -> bool:
    """Whether something is marinated, brined or cured at the step, by its words or its name, or raw flesh lies in a liquid for
    long: *lay the lamb in the wine and chill it overnight*."""
    return step.reading.marinates or is_of_a_marinade(step.id) or raw_flesh_soaks(step)


def raw_flesh_soaks(step: Step) -> bool:
    """Whether raw flesh goes into a liquid at the step and lies there, unheated, for half an hour or more."""
    here = _handled(step)
    if step.reading.may_heat or not any(raw_class_of(i.food) in FLESH for i in here) or not any(map(_is_wet, here)):
        return False
    waits_h = (step.wait_ms or 0) / 3_600_000
    return max(waits_h, hours_said(step.reading.sentence) or 0.0) >= LIES_FROM_H


def thrown_away_at(graph: StepGraph, step: Step) -> tuple[Step, ...]:
    """The steps of a marinade that the words of this one throw away: by its name or a liquid's, or as they drain what lay in it,
    still raw, and keep nothing of the rest. Empty where they throw none away."""
    into = graph.taken_into(step)
    made = tuple(s for s in graph.steps if s.number in into and marinates(s))
    if step.reading.throws_a_marinade_away:
        return made
    raw_yet = {
        s.number
        for s in made
        if not any(e.reading.heats_food for e in graph.steps if e.number in into & graph.taken_on(s))
    }
    return tuple(s for s in made if _lets_go(step, s, still_raw=s.number in raw_yet))


def _lets_go(step: Step, soaked: Step, *, still_raw: bool) -> bool:
    reading = step.reading
    liquids = [i for i in _handled(soaked) if _is_wet(i)]
    flesh = [i for i in _handled(soaked) if raw_class_of(i.food) in FLESH]
    if not liquids or not flesh:
        return False
    if any(d.how in (DISCARDED, POURED_OFF) and _names(d, liquids) for d in reading.disposed):
        return True
    kept = any(d.how in (SET_ASIDE, STRAINED) and _names(d, liquids) for d in reading.disposed)
    if not still_raw or kept or reading.names_a_marinade:
        return False
    return any(not d.what or _concerns(d, flesh) for d in reading.drained_unheated)


def _handled(step: Step) -> tuple[Ingredient, ...]:
    return (*step.uses, *(a.ingredient for a in step.additions))


def _is_wet(ingredient: Ingredient) -> bool:
    name = ingredient.food.name
    wet = category_of(ingredient.food) in _WET and not _SOLID.search(name)
    return is_liquid(ingredient) or wet or bool(_WET_BY_NAME.search(name))


def _concerns(disposal: Disposal, ingredients: Iterable[Ingredient]) -> bool:
    return any(disposal.concerns(i.name) or disposal.concerns(i.food.name) for i in ingredients)


def _names(disposal: Disposal, liquids: Iterable[Ingredient]) -> bool:
    return _concerns(disposal, liquids) or disposal.of_a_liquid
