"""How long it takes one cook who is not filming; a time of which a part is not stated is not known, and never zero."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from scriptkit.recipe.dish import Dish, Kitchen, Meal
from scriptkit.shoot.day.schedule import CannotSchedule, schedule_of
from scriptkit.shoot.plan import dishes_of

MOST_NODES = 100
"""Of the sequencer: enough for a figure in minutes."""


@dataclass(frozen=True, slots=True)
class Times:
    """Milliseconds; None is not known. ``prep_ms`` and ``cook_ms`` make the whole, of one dish."""

    prep_ms: int | None
    cook_ms: int | None
    total_ms: int | None


def times_of(source: Dish | Meal) -> Times:
    """Prep and cooking of a dish; of a meal, whose dishes are prepared in each other's waits, only the whole."""
    steps = [s for dish in dishes_of(source) for s in dish.steps]
    if not steps or any(s.hands_ms is None and s.wait_ms is None for s in steps):
        return Times(None, None, None)
    try:
        total = round(schedule_of(_alone(source), most_nodes=MOST_NODES).length_min * 60_000)
    except CannotSchedule:
        return Times(None, None, None)
    if isinstance(source, Meal):
        return Times(None, None, total)
    prep = sum(s.length_ms for s in steps if s.stage == "prep")
    return Times(prep, total - prep, total) if 0 <= prep <= total else Times(None, None, total)


def _alone(source: Dish | Meal) -> Dish | Meal:
    """In the same kitchen, cooked by one and not filmed."""

    def kitchen(of: Kitchen) -> Kitchen:
        return dataclasses.replace(of, cooks=1, attended=1, filming_ms=0)

    return dataclasses.replace(source, kitchen=kitchen(source.kitchen))


def iso_duration(ms: int) -> str:
    """ISO 8601, every unit between the largest and the smallest, whole seconds.

    >>> iso_duration(600_000), iso_duration(3_630_000), iso_duration(3_600_000), iso_duration(0)
    ('PT10M', 'PT1H0M30S', 'PT1H', 'PT0S')
    """
    hours, rest = divmod(round(ms / 1000), 3600)
    minutes, seconds = divmod(rest, 60)
    figures = [(hours, "H"), (minutes, "M"), (seconds, "S")]
    there = [n for n, (value, _) in enumerate(figures) if value] or [2]
    return "PT" + "".join(f"{value}{unit}" for value, unit in figures[there[0] : there[-1] + 1])
