"""The rules of a day in words, for any schedule of dishes that take over from one another: what it breaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.step_graph import AFTER, FOLLOWS, FROM
from scriptkit.shoot.day.day_graph import DayGraph
from scriptkit.shoot.day.schedule import Schedule, Task


def broken(source: Dish | Meal, schedule: Schedule) -> Iterator[str]:
    """Each rule that the schedule breaks: what must come before, how long it may stand, and how many of a thing there are."""
    graph = DayGraph(dishes_of_the_day(source))
    at = {(t.dish.file, t.step.number): t for t in schedule.tasks}
    if set(at) != set(graph.steps):
        yield "a step is not on the schedule, or twice"
        return
    place = {key: n for n, key in enumerate(at)}
    starts = [t.start_min for t in schedule.tasks]
    if starts != sorted(starts):
        yield "the tasks do not stand in the order in which they begin"
    for edge in graph.edges:
        before, later = at[edge.before], at[edge.later]
        if later.start_min < before.end_min:
            yield f"{later.step.id} begins before {before.step.id} is over ({edge.reason})"
        if place[edge.later] < place[edge.before]:
            yield f"{later.step.id} stands before {before.step.id}"
        goes_on = edge.takes and edge.reason in (FROM, AFTER, FOLLOWS) and edge.before[0] == edge.later[0]
        most = _stands_min(before) if goes_on else None
        if most is not None and later.start_min > before.end_min + most + 1e-9:
            yield f"{before.step.id} stands for longer than {most:g} min"
    for task in schedule.tasks:
        if task.start_min < 0 or task.end_min > schedule.length_min + 1e-9:
            yield f"{task.step.id} is not between the beginning and the serving"
    yield from _crowded(source, schedule.tasks)


def _stands_min(before: Task) -> float | None:
    step = before.step
    if step.keeps_ms is not None:
        return step.keeps_ms / 60_000
    if step.wait_at_most_ms is None:
        return None
    own = step.wait_ms or 0
    more = step.wait_at_most_ms - own if step.wait_at_most_ms >= own else step.wait_at_most_ms
    return more / 60_000


def _crowded(source: Dish | Meal, tasks: Sequence[Task]) -> Iterator[str]:
    kitchen = source.kitchen
    counted = {name.casefold(): count for name, count in kitchen.vessels}
    for moment in sorted({t.start_min for t in tasks}):
        hands = [t for t in tasks if t.start_min <= moment < t.hands_end_min]
        if len(hands) > kitchen.cooks * kitchen.attended:
            yield f"at {moment:g} min {len(hands)} pairs of hands are wanted"
        burning = [t for t in tasks if t.burner and t.start_min <= moment < t.end_min]
        if len(burning) > kitchen.burners or len({t.burner for t in burning}) < len({t.dish.file for t in burning}):
            yield f"at {moment:g} min {len(burning)} burners are wanted"
        taken: dict[str, set[str]] = {}
        for t in tasks:
            if t.step.stage != "prep" and t.step.reading.vessel.key and t.start_min <= moment < t.end_min:
                taken.setdefault(t.step.reading.vessel.key, set()).add(f"{t.dish.file} {t.step.number}")
        for vessel, steps in taken.items():
            if len(steps) > counted.get(vessel, 1):
                yield f"at {moment:g} min {len(steps)} of {vessel} are wanted"
