"""The day as a time line down the page: a row for each task where it begins, and beside it the waits that go on meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_duration
from scriptkit.measure.unit_system import in_scale
from scriptkit.papers.cautions import marks_at
from scriptkit.papers.ovens import hours_after, switch_on
from scriptkit.recipe.dish import Dish
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.schedule import Schedule, Task
from scriptkit.shoot.mise_en_place import PreHeat, left_behind_lines

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


def timeline_of(
    schedule: Schedule,
    serve_at_min: int | None = None,
    cautions: Sequence[Caution] = (),
    dishes: Sequence[Dish] = (),
    preheats: Sequence[PreHeat] = (),
) -> Timeline:
    """``serve_at_min``: minutes after midnight at which it is served, for times of day. ``dishes``: in the order in which every page
    counts them; ``preheats`` are rows of their own, for nobody is at work there."""
    dish_names = tuple(dict.fromkeys([*(d.name for d in dishes), *(t.dish.name for t in schedule.tasks)]))
    several = len({t.cook for t in schedule.tasks if t.cook}) > 1

    def at(minute: float) -> str:
        return clock(minute, schedule, serve_at_min)

    def oven_on(row: int, one: PreHeat, minute: float) -> Moment:
        number = dish_names.index(one.dish.name) % len(SHAPES)
        return Moment(
            row=row, minute=f"{minute:g}", at=at(minute), do=switch_on(one), dish=one.dish.short, dish_number=number,
            shape=SHAPES[number], where=f"to be hot for step {one.step.number}", wait="", cook="", marks=(), left_behind=(),
        )  # fmt: skip

    def moment(row: int, task: Task) -> Moment:
        number = dish_names.index(task.dish.name)
        oven = in_scale(task.step.reading.heat.shown, task.step.units) if task.oven else ""
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

    ovens: list[tuple[float, Task | PreHeat]] = [(p.on_min, p) for p in preheats if p.on_min is not None]
    rows = sorted([*ovens, *((t.start_min, t) for t in schedule.tasks)], key=lambda r: (r[0], isinstance(r[1], Task)))
    moments = tuple(
        moment(row, one) if isinstance(one, Task) else oven_on(row, one, minute)
        for row, (minute, one) in enumerate(rows, 1)
    )
    waits = _waits([one for _, one in rows], dish_names, at)
    return Timeline(
        moments=moments,
        waits=waits,
        lanes=max((w.lane for w in waits), default=0),
        end=at(schedule.length_min),
        end_minute=f"{schedule.length_min:g}",
        end_row=len(moments) + 1,
        dishes=tuple((SHAPES[n % len(SHAPES)], name) for n, name in enumerate(dish_names)),
    )


def _waits(day: Sequence[Task | PreHeat], dishes: Sequence[str], at: Callable[[float], str]) -> tuple[Wait, ...]:
    """Each wait from its row to the row before the first task that begins when it is over; those that overlap side by side."""
    found: list[Wait] = []
    ends: list[float] = []
    for row, task in enumerate(day, 1):
        if not isinstance(task, Task) or task.hands_end_min >= task.end_min:
            continue
        later = (n for n, t in enumerate(day, 1) if isinstance(t, Task) and t.start_min >= task.end_min)
        after = next(later, len(day) + 1)
        lane = next((n for n, end in enumerate(ends) if end <= task.start_min), len(ends))
        ends[lane : lane + 1] = [task.end_min]
        found.append(
            Wait(
                first=row, after=max(after, row + 1), lane=lane + 1, dish_number=dishes.index(task.dish.name) % len(SHAPES),
                words=f"until {at(task.end_min)}",
            )
        )  # fmt: skip
    return tuple(found)


def clock(minute: float, schedule: Schedule, serve_at_min: int | None) -> str:
    """``1:05`` after the first step, or the time of day where the serving's is known; half minutes as ``:30``."""
    if serve_at_min is None:
        return hours_after(minute)
    seconds = round((serve_at_min - schedule.length_min + minute) * 60) % 86_400
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours:02d}:{minutes:02d}" + (f":{seconds:02d}" if seconds else "")
