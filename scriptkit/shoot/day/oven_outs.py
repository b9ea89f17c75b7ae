"""When food comes out of the oven, and whether the oven stays on for another dish."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.english.oven_changes import takes_out
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of
from scriptkit.shoot.day.schedule import Schedule, Task
from scriptkit.shoot.mise_en_place import KEPT, PreHeat


@dataclass(frozen=True, slots=True, kw_only=True)
class OvenOut:
    """What was in the oven until ``step`` of the ``dish`` is over comes out at ``at_min``; ``kept_for``: the oven is left on for it."""

    dish: Dish
    step: Step
    at_min: float
    kept_for: PreHeat | None = None


def oven_outs_of(schedule: Schedule | None, preheats: Sequence[PreHeat] = ()) -> tuple[OvenOut, ...]:
    """Each end of a stretch in the oven, in the order of the day. None where the words of what comes next, or its own, say it."""
    if schedule is None:
        return ()
    found = [_out(task, preheats, schedule) for task in schedule.tasks if task.oven and not _said(task, schedule)]
    return tuple(sorted(found, key=lambda one: one.at_min))


def _said(task: Task, schedule: Schedule) -> bool:
    """Whether it stays in the oven, or a step says that it comes out."""
    if takes_out(task.step.reading.said):
        return True
    return any(
        later.oven or (later.start_min <= task.end_min and takes_out(later.step.reading.said))
        for later in _goes_on(task, schedule)
    )


def _goes_on(task: Task, schedule: Schedule) -> Iterator[Task]:
    """The tasks of the dish that go on with what was in the oven."""
    edges = graph_of(task.dish).out_of[task.step.number]
    numbers = {edge.later for edge in edges if edge.takes}
    return (t for t in schedule.tasks if t.dish.file == task.dish.file and t.step.number in numbers)


def _out(task: Task, preheats: Sequence[PreHeat], schedule: Schedule) -> OvenOut:
    """With what the oven is left on for: what is in it already at the same setting, or goes in next."""
    ends = schedule.end_min
    kept = next(
        (
            p for p in preheats
            if p.turn == KEPT and p.step is not task.step and ends.get((p.dish.file, p.step.number), 0.0) > task.end_min
        ),
        None,
    )  # fmt: skip
    same = kept is not None and kept.step.reading.heat.setting_key == task.step.reading.heat.setting_key
    turned = any(
        p.turn not in ("", KEPT)
        and p.on_min is not None
        and kept
        and task.end_min <= p.on_min < (kept.needed_min or 0.0)
        for p in preheats
    )
    return OvenOut(dish=task.dish, step=task.step, at_min=task.end_min, kept_for=kept if same and not turned else None)
