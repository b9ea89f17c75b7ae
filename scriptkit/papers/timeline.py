"""The day as a time line down the page: a row for each task where it begins, and beside it the waits that go on meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_duration
from scriptkit.measure.unit_system import in_scale
from scriptkit.papers.cautions import marks_at
from scriptkit.papers.ovens import cautions_at, hours_after, switch_on, take_out
from scriptkit.recipe.dish import Dish
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.cooling import coolings_of
from scriptkit.shoot.day.oven_outs import OvenOut, oven_outs_of
from scriptkit.shoot.day.schedule import Schedule, Task
from scriptkit.shoot.day.to_the_boil import boil_wait_ms
from scriptkit.shoot.mise_en_place import KEPT, PreHeat, left_behind_lines

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
    counts them; ``preheats`` are rows of their own, for nobody is at work there; so is what
    comes out of the oven."""
    dish_names = tuple(dict.fromkeys([*(d.name for d in dishes), *(t.dish.name for t in schedule.tasks)]))
    several = len({t.cook for t in schedule.tasks if t.cook}) > 1

    def at(minute: float) -> str:
        return clock(minute, schedule, serve_at_min)

    def oven(row: int, one: PreHeat | OvenOut, minute: float) -> Moment:
        number = dish_names.index(one.dish.name) % len(SHAPES)
        out = isinstance(one, OvenOut)
        return Moment(
            row=row, minute=f"{minute:g}", at=at(minute), do=take_out(one) if isinstance(one, OvenOut) else switch_on(one),
            dish=one.dish.short, dish_number=number, shape=SHAPES[number], wait="", cook="", left_behind=(),
            marks=tuple(word for c in at_outs.get(id(one), ()) for word in marks_at([c], c.step)),
            where=f"{'the end of' if out else 'to be hot for'} step {one.step.number}",
        )  # fmt: skip

    def moment(row: int, task: Task) -> Moment:
        number = dish_names.index(task.dish.name)
        oven = in_scale(task.step.reading.heat.shown, task.step.units) if task.oven else ""
        burner = f"burner {task.burner}" if task.burner else ""
        wait = ""
        if task.hands_end_min < task.end_min:
            whole = format_duration(round((task.end_min - task.hands_end_min) * 60_000))
            goes_on = f"about {whole} to the boil, estimated," if boil_wait_ms(task.step) else f"{whole} by itself"
            wait = f"hands free at {at(task.hands_end_min)}, then {goes_on} until {at(task.end_min)}"
        if cools := cooling.get(id(task)):
            wait += f"{', then ' if wait else ''}off the heat to cool for {format_duration(round(cools * 60_000))}"
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
            marks=marks_at((c for c in cautions if id(c) not in told), task.step),
            left_behind=left_behind_lines(task.dish, task.step),
        )

    cooling = {id(one.before): one.minutes for one in coolings_of(schedule)}
    outs = oven_outs_of(schedule, preheats)
    at_outs = {id(one): cautions_at(one, cautions) for one in outs}
    told = {id(c) for some in at_outs.values() for c in some}
    # That an oven is left on is told where what is in it comes out.
    ovens: list[tuple[float, _Row]] = [(p.on_min, p) for p in preheats if p.on_min is not None and p.turn != KEPT]
    ovens += [(one.at_min, one) for one in outs]
    rows = sorted([*ovens, *((t.start_min, t) for t in schedule.tasks)], key=lambda r: (r[0], _RANK[type(r[1])]))
    moments = tuple(
        moment(row, one) if isinstance(one, Task) else oven(row, one, minute)
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


_Row = Task | PreHeat | OvenOut
_RANK: dict[type, int] = {OvenOut: 0, PreHeat: 1, Task: 2}
"""Of what is to be done at one time: food comes out before the oven is turned."""


def _waits(day: Sequence[_Row], dishes: Sequence[str], at: Callable[[float], str]) -> tuple[Wait, ...]:
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
