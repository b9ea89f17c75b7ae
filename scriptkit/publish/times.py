"""How long it takes those who cook and do not film; a time of which a part is not stated is not known, and never zero.

Card, description, linked data and schedule print this one total.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from scriptkit.measure.durations import format_duration
from scriptkit.measure.words import number_words
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.day.schedule import CannotSchedule, schedule_of
from scriptkit.shoot.day.to_the_boil import boil_wait_ms

MOST_NODES = 100
"""Of the sequencer: enough for a figure in minutes."""


@dataclass(frozen=True, slots=True)
class Times:
    """Milliseconds; None is not known. ``prep_ms`` and ``cook_ms`` make the whole, of one dish."""

    prep_ms: int | None
    cook_ms: int | None
    total_ms: int | None


@dataclass(frozen=True, slots=True)
class TotalTime:
    """The times, and how many cooks they are for: the fewest who can do it."""

    times: Times
    cooks: int = 1
    about: bool = False
    """Whether an estimate is in it: how long a pot takes to the boil."""

    @property
    def words(self) -> str:
        """``44 min for one cook``, *about* where an estimate is in it; empty where it is not known."""
        return "" if self.times.total_ms is None else f"{self.total_words} for {self.cooks_words}"

    @property
    def total_words(self) -> str:
        """``44 min``, ``about 44 min``; empty where it is not known."""
        total_ms = self.times.total_ms
        return "" if total_ms is None else f"{'about ' if self.about else ''}{format_duration(total_ms)}"

    @property
    def cooks_words(self) -> str:
        """``one cook``, ``two cooks``."""
        return f"{number_words(self.cooks)} cook{'' if self.cooks == 1 else 's'}"


def times_of(source: Dish | Meal) -> Times:
    """The times of ``total_time_of``."""
    return total_time_of(source).times


def total_time_of(source: Dish | Meal) -> TotalTime:
    """Prep and cooking of a dish; of a meal, whose dishes are prepared in each other's waits, only the whole."""
    steps = [s for dish in dishes_of_the_day(source) for s in dish.steps]
    if not steps or any(s.hands_ms is None and s.wait_ms is None for s in steps):
        return TotalTime(Times(None, None, None))
    about = any(boil_wait_ms(s) for s in steps)
    for cooks in range(1, source.kitchen.cooks + 1):  # the fewest who can do it
        try:
            total = round(schedule_of(_with(source, cooks), most_nodes=MOST_NODES).length_min * 60_000)
        except CannotSchedule:
            continue
        if isinstance(source, Meal):
            return TotalTime(Times(None, None, total), cooks, about)
        prep = sum(s.length_ms for s in steps if s.stage == "prep")
        known = 0 <= prep <= total
        return TotalTime(Times(prep if known else None, total - prep if known else None, total), cooks, about)
    return TotalTime(Times(None, None, None))


def _with(source: Dish | Meal, cooks: int) -> Dish | Meal:
    """In the same kitchen, cooked by so many and not filmed."""
    kitchen = dataclasses.replace(source.kitchen, cooks=cooks, attended=1, filming_ms=0)
    return dataclasses.replace(source, kitchen=kitchen)


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
