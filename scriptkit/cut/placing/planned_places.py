"""Where in the cut each step is planned, in the plan's own order and in any other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.step_names import Pair
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.plan import CLOSING, OPENING, STEP, plan_of

FIRST_STEP, STEPS_SHARE = 0.10, 0.82
"""Where steps stand in a cut of which no time is planned, as shares of it: learned from the benchmark's videos."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """Shares of the cut, 0 to 1: ``middles`` of each step in the plan's order; ``lengths`` of it, and ``closings`` of what closes its
    dish where it is the last step; ``opening``. ``stated``: whether the recipe plans any screen time."""

    middles: tuple[float, ...]
    lengths: tuple[float, ...]
    closings: tuple[float, ...]
    opening: float
    stated: bool


def planned_in(source: Dish | Meal, pairs: Sequence[Pair]) -> Planned:
    """Of the steps, in the order of the plan; evenly spread where no screen time is stated."""
    count = len(pairs)
    usual = [FIRST_STEP + STEPS_SHARE * (n + 0.5) / count for n in range(count)]
    even = tuple(STEPS_SHARE / count for _ in pairs)
    none = (0.0,) * count
    if not any(step.screen_ms is not None for _, step in pairs):
        return Planned(middles=tuple(usual), lengths=even, closings=none, opening=FIRST_STEP, stated=False)
    plan = plan_of(source)
    whole = plan.length_ms
    at = {s.step.place: s for s in plan.segments if s.kind == STEP and s.step is not None}
    closing = {s.dish.name: s.length_ms / whole for s in plan.segments if s.kind == CLOSING and s.dish is not None}
    last = {dish.name: n for n, (dish, _) in enumerate(pairs)}
    return Planned(
        middles=tuple(
            (s.start_ms + s.end_ms) / 2 / whole if (s := at.get(step.place)) else u
            for (_, step), u in zip(pairs, usual, strict=True)
        ),
        lengths=tuple(s.length_ms / whole if (s := at.get(step.place)) else 0.0 for _, step in pairs),
        closings=tuple(closing.get(d.name, 0.0) if last[d.name] == n else 0.0 for n, (d, _) in enumerate(pairs)),
        opening=sum(s.length_ms for s in plan.segments if s.kind == OPENING) / whole,
        stated=True,
    )
