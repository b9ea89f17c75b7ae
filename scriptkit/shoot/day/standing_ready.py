"""What is ready hours before it is served, by the day's own schedule, and spoils: it stands in the fridge until then."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.english.kitchen_facts import tells
from scriptkit.measure.durations import format_duration
from scriptkit.pantry.kinds_by_name import category_of
from scriptkit.problems import Problem, warning
from scriptkit.recipe.step_graph import graph_of
from scriptkit.safety.state_conditions import SPOILS
from scriptkit.shoot.day.schedule import Schedule, Task

OUT_MIN = 120.0
"""FDA Food Code and USDA FSIS: food that spoils stands out for two hours at most (from memory)."""


def standing_problems(schedule: Schedule) -> Iterator[Problem]:
    """A warning for each dish of the meal whose last step ends two hours and more before the serving, where nothing says that it is
    put in the cold."""
    last: dict[str, Task] = {}
    for task in schedule.tasks:
        if task.dish.file not in last or task.end_min > last[task.dish.file].end_min:
            last[task.dish.file] = task
    for task in last.values():
        dish, step = task.dish, task.step
        stands = schedule.length_min - task.end_min
        spoils = [i.name for i in dish.ingredients if category_of(i.food) in SPOILS]
        if stands < OUT_MIN or not spoils or graph_of(dish).taken_on(step) or step.keeps_ms or dish.keeps_ms:
            continue
        if any(tells(text, "cold-place") for s in dish.steps for text in (s.reading.sentence, s.say, *s.reading.gear)):
            continue
        yield warning(
            step.place,
            "stands-ready",
            f"{dish.name} is ready {format_duration(round(stands * 60_000))} before the serving by the schedule, and {', '.join(spoils)} "
            "spoils: out of the fridge it stands for 2 h at most",
            f"write at step {step.number} ({step.id}) that it is chilled in the fridge until it is served; or `stage: cook` and `keeps: 1 h` "
            "there, and it is made later",
        )
