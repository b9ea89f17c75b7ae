"""How long hot food cools before it is blended in a jug, as its caution says, where the file gives it no time of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.english.kitchen_facts import tells
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of
from scriptkit.safety.jug_fill import COOLS_MS
from scriptkit.safety.kitchen_state import states_of
from scriptkit.shoot.day.step_lengths import wait_ms

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule, Task


@dataclass(frozen=True, slots=True)
class Cooling:
    """What ``before`` made cools for ``minutes`` from its end, until ``task`` blends it at the earliest."""

    before: Task
    task: Task
    minutes: float


def coolings_of(schedule: Schedule) -> Iterator[Cooling]:
    """Each time that something hot cools before it is blended, in the order of the day."""
    tasks = {(t.dish.file, t.step.number): t for t in schedule.tasks}
    for task in schedule.tasks:
        for edge in graph_of(task.dish).into[task.step.number]:
            before = tasks[task.dish.file, edge.before]
            if edge.takes and (cools := cooling_ms(task.dish, before.step, task.step)):
                yield Cooling(before, task, cools / 60_000)


def cooling_ms(dish: Dish, before: Step, step: Step) -> int:
    """Between the step ``before`` and the one that blends what it made: 0 where that is cold, is blended in its pot, or has cooled."""
    reading = step.reading
    if "blend" not in reading.methods or reading.stands_first or before.reading.stands_ms:
        return 0
    if any(tells(text, "immersion-blender") for text in (reading.sentence, *reading.gear)):
        return 0
    if not states_of(dish)[step.number].hot_at_blend:
        return 0
    return COOLS_MS if before.reading.heats_food else max(COOLS_MS - wait_ms(before), 0)
