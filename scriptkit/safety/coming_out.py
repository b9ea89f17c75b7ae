"""Cautions of what was in the oven are told where it comes out, and not where it went in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of

if TYPE_CHECKING:
    from scriptkit.safety.rule_matching import Caution

_OF_WHAT_COMES_OUT = frozenset({"oven-hot-handle"})


def where_it_comes_out(found: Sequence[Caution]) -> list[Caution]:
    """The cautions in the order of their steps, those of what comes out at the step that goes on with it; where none does, at the
    step in the oven."""
    told = [replace(c, step=_taken_at(c.dish, c.step)) if is_told_there(c) else c for c in found]
    if all(a is b for a, b in zip(told, found, strict=True)):
        return list(found)
    return sorted(told, key=lambda c: float("inf") if c.step is None else c.step.number)


def is_told_there(caution: Caution) -> bool:
    """Whether it is of what comes out of the oven."""
    return caution.rule.id in _OF_WHAT_COMES_OUT and caution.step is not None


def _taken_at(dish: Dish, step: Step | None) -> Step | None:
    """The first step of cooking out of the oven that goes on with what was in it."""
    graph, by_number = graph_of(dish), {s.number: s for s in dish.steps}
    at = step
    while at is not None and at.reading.in_the_oven:
        later = sorted(e.later for e in graph.out_of[at.number] if e.takes and by_number[e.later].stage != "prep")
        at = by_number[later[0]] if later and later[0] > at.number else None
    return at or step
