"""Which step must come before which, by the graph of the day. What that leaves open, a cut may show in any order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from scriptkit.cut.step_names import Pair
from scriptkit.recipe.step_graph import FIRST
from scriptkit.shoot.day.day_graph import DayGraph

Before = Sequence[frozenset[int]]
"""For each step, numbered from 0 in the order of the plan, those that it must come after."""


def predecessors(pairs: Sequence[Pair]) -> Before:
    """For each step those that it must come after, and all that those must come after. Prep of which nothing tells what it is for may
    be shown at any time: that it comes first is a preference."""
    number = {(dish.file, step.number): n for n, (dish, step) in enumerate(pairs)}
    graph = DayGraph(list({dish.file: dish for dish, _ in pairs}.values()))
    straight: dict[int, set[int]] = {n: set() for n in range(len(pairs))}
    for edge in graph.edges:
        if edge.reason != FIRST and edge.before in number and edge.later in number:
            straight[number[edge.later]].add(number[edge.before])
    known = _closed(straight)
    return [known[n] for n in range(len(pairs))]


def of_each_dish(pairs: Sequence[Pair]) -> list[list[int]]:
    """The numbers of each dish's steps, in the order of the plan."""
    found: dict[tuple[str, str], list[int]] = {}
    for n, (dish, _) in enumerate(pairs):
        found.setdefault((dish.file, dish.name), []).append(n)
    return list(found.values())


def _closed(straight: Mapping[int, set[int]]) -> dict[int, frozenset[int]]:
    """With what comes before those; steps in a circle wait for nothing of it."""
    found: dict[int, frozenset[int]] = {}
    for n in straight:
        seen: set[int] = set()
        open_ = list(straight[n])
        while open_:
            if (m := open_.pop()) not in seen:
                seen.add(m)
                open_ += straight[m]
        found[n] = frozenset(seen)
    circle = {n for n, before in found.items() if n in before}
    return {n: before - circle if n in circle else before for n, before in found.items()}
