"""The day as a time line down the page: a row for each task where it begins, and beside it the waits that go on meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_duration
from scriptkit.papers.cautions import marks_at
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.schedule import Schedule, Task
from scriptkit.shoot.mise_en_place import left_behind_lines

SHAPES = "●■▲◆"
"""A shape a dish, beside its colour: black and white, and whoever sees no red, tell dishes apart by it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A task where it begins. ``at`` is its time in words, ``minute`` from the beginning; ``row`` counts from 1. ``wait``: until
    when the food goes on by itself, and since when hands are free; ``cook``: who, where there are several."""

    row: int
    minute: str
    at: str
    do: str
    dish: str
    dish_number: int
    shape: str
    where: str
    wait: str
    cook: str
    marks: tuple[str, ...]
    left_behind: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """An interval in which food goes on by itself: from row ``first`` up to the end of row ``last``, in lane ``lane``."""

    first: int
    after: int
    lane: int
    dish_number: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """Everything that the drawing needs; ``lanes`` is how many waits go on at once at most. ``end`` is when it is served."""

    moments: tuple[Moment, ...]
    waits: tuple[Wait, ...]
    lanes: int
    end: str
    end_minute: str
    end_row: int
    dishes: tuple[tuple[str, str], ...]
    """Shape and name."""


def timeline_of(schedule: Schedule, serve_at_min: int | None = None, cautions: Sequence[Caution] = ()) -> Timeline:
    """``serve_at_min``: minutes after midnight at which it is served, for times of day."""
    dishes = tuple(dict.fromkeys(t.dish.name for t in schedule.tasks))
    several = len({t.cook for t in schedule.tasks if t.cook}) > 1

    def at(minute: float) -> str:
        return hours_at(minute, schedule, serve_at_min)

    def moment(row: int, task: Task) -> Moment:
        number = dishes.index(task.dish.name)
        oven = "oven" if task.oven and "oven" not in task.vessel else ""
        burner = f"burner {task.burner}" if task.burner else ""
        wait = ""
        if task.hands_end_min < task.end_min:
            whole = format_duration(round((task.end_min - task.hands_end_min) * 60_000))
            wait = f"hands free at {at(task.hands_end_min)}, then {whole} by itself until {at(task.end_min)}"
        return Moment(
            row=row,
            minute=f"{task.start_min:g}",
            at=at(task.start_min),
            do=task.step.do,
            dish=task.dish.short,
            dish_number=number % len(SHAPES),
            shape=SHAPES[number % len(SHAPES)],
            where=" · ".join(part for part in (task.vessel, burner, oven) if part),
            wait=wait,
            cook=f"cook {task.cook}" if several and task.cook else "",
            marks=marks_at(cautions, task.step),
            left_behind=left_behind_lines(task.dish, task.step),
        )

    moments = tuple(moment(row, task) for row, task in enumerate(schedule.tasks, 1))
    waits = _waits(schedule, dishes, at)
    return Timeline(
        moments=moments,
        waits=waits,
        lanes=max((w.lane for w in waits), default=0),
        end=at(schedule.length_min),
        end_minute=f"{schedule.length_min:g}",
        end_row=len(moments) + 1,
        dishes=tuple((SHAPES[n % len(SHAPES)], name) for n, name in enumerate(dishes)),
    )


def _waits(schedule: Schedule, dishes: Sequence[str], at: Callable[[float], str]) -> tuple[Wait, ...]:
    """Each wait from its row to the row before the first task that begins when it is over; those that overlap side by side."""
    found: list[Wait] = []
    ends: list[float] = []
    for row, task in enumerate(schedule.tasks, 1):
        if task.hands_end_min >= task.end_min:
            continue
        after = next(
            (n for n, t in enumerate(schedule.tasks, 1) if t.start_min >= task.end_min), len(schedule.tasks) + 1
        )
        lane = next((n for n, end in enumerate(ends) if end <= task.start_min), len(ends))
        ends[lane : lane + 1] = [task.end_min]
        found.append(
            Wait(
                first=row, after=max(after, row + 1), lane=lane + 1, dish_number=dishes.index(task.dish.name) % len(SHAPES),
                words=f"until {at(task.end_min)}",
            )
        )  # fmt: skip
    return tuple(found)


def hours_at(minute: float, schedule: Schedule, serve_at_min: int | None) -> str:
    """``1:05`` after the first step, or the time of day where the serving's is known; half minutes as ``:30``."""
    if serve_at_min is not None:
        return clock(minute, schedule, serve_at_min)
    seconds = round(minute * 60)
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}" + (f":{seconds % 60:02d}" if seconds % 60 else "")


def clock(minute: float, schedule: Schedule, serve_at_min: int | None) -> str:
    """``12 min`` from the start, or the time of day where the serving's is known; half minutes as ``:30``."""
    if serve_at_min is None:
        return f"{minute:g} min"
    seconds = round((serve_at_min - schedule.length_min + minute) * 60) % 86_400
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours:02d}:{minutes:02d}" + (f":{seconds:02d}" if seconds else "")
