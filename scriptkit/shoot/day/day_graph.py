"""The graph of the day: the steps of all its dishes, which of them must come before which, and what each takes over from which.

Within a dish the recipe's own graph says it (recipe/step_graph.py). Between dishes it is `from: {Dish/step: …}`, and a dish that
goes into another one. Schedule, order of filming, gates and mise en place ask this graph.
"""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.meal_takeovers import step_of
from scriptkit.recipe.step_graph import FROM, graph_of

StepKey = tuple[str, int]
"""A step of the day: the dish's file, and the step's number in it."""

PART = "part"
"""The dish goes into another one at this step."""


@dataclass(frozen=True, slots=True)
class DayEdge:
    """Step ``before`` is done before step ``later`` begins. ``takes``: the later one works on what the earlier one made."""

    before: StepKey
    later: StepKey
    reason: str
    takes: bool


class DayGraph:
    """The steps of the dishes of one day, and the edges between them."""

    def __init__(self, dishes: Sequence[Dish]) -> None:
        self.dishes = tuple(dishes)
        self.steps: dict[StepKey, tuple[Dish, Step]] = {(d.file, s.number): (d, s) for d in dishes for s in d.steps}
        self.edges = tuple(_edges(self.dishes))

    @functools.cached_property
    def _into(self) -> Mapping[StepKey, list[DayEdge]]:
        found: dict[StepKey, list[DayEdge]] = defaultdict(list)
        for edge in self.edges:
            found[edge.later].append(edge)
        return found

    def into(self, key: StepKey) -> Sequence[DayEdge]:
        """The edges that end at the step."""
        return self._into.get(key, [])

    def before(self, key: StepKey) -> frozenset[StepKey]:
        """All steps that must be done before this one."""
        return self._before(key)

    def taken_into(self, key: StepKey) -> frozenset[StepKey]:
        """All steps whose work is in what this one works on, through any number of others."""
        return self._taken(key)

    @functools.cached_property
    def _before(self) -> Callable[[StepKey], frozenset[StepKey]]:
        return self._closure(takes_only=False)

    @functools.cached_property
    def _taken(self) -> Callable[[StepKey], frozenset[StepKey]]:
        return self._closure(takes_only=True)

    def _closure(self, *, takes_only: bool) -> Callable[[StepKey], frozenset[StepKey]]:
        found: dict[StepKey, frozenset[StepKey]] = {}
        for key in self.in_order():
            direct = [e.before for e in self.into(key) if e.takes or not takes_only]
            found[key] = frozenset(direct).union(*(found.get(one, frozenset()) for one in direct))
        return lambda key: found.get(key, frozenset())

    def in_order(self, start_min: Mapping[StepKey, float] | None = None) -> tuple[StepKey, ...]:
        """All steps in an order that every edge allows: by their starts, where there are any; else all prep first, then dish after
        dish. Steps that wait for one another keep that order too."""
        starts = start_min or {}
        place = {d.file: n for n, d in enumerate(self.dishes)}

        def rank(key: StepKey) -> tuple[float, bool, int, int]:
            return starts.get(key, 0.0), self.steps[key][1].stage != "prep", place[key[0]], key[1]

        left = dict.fromkeys(sorted(self.steps, key=rank))
        done: list[StepKey] = []
        while left:
            free = (key for key in left if not any(e.before in left for e in self.into(key)))
            key = next(free, None) or next(iter(left))
            del left[key]
            done.append(key)
        return tuple(done)


def _edges(dishes: Sequence[Dish]) -> Iterable[DayEdge]:
    by_file = {d.file: d for d in dishes}
    for dish in dishes:
        for edge in graph_of(dish).edges:
            yield DayEdge((dish.file, edge.before), (dish.file, edge.later), edge.reason, edge.takes)
        for step in dish.steps:
            for one in step.takes:
                if one.dish and (found := step_of(dishes, one)) is not None and found[0] is not dish:
                    yield DayEdge((found[0].file, found[1].number), (dish.file, step.number), FROM, True)
            for addition in step.additions:
                part = addition.ingredient.dish
                if part is not None and part.file in by_file and part.file != dish.file:
                    for last in last_steps(by_file[part.file]):
                        yield DayEdge((part.file, last.number), (dish.file, step.number), PART, True)


def last_steps(dish: Dish) -> list[Step]:
    """The steps that no other step of the dish goes on with, prep only where nothing is cooked."""
    graph = graph_of(dish)
    ends = [s for s in dish.steps if not any(e.takes for e in graph.out_of[s.number])]
    return [s for s in ends if s.stage != "prep"] or ends
