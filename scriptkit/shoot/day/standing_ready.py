"""What is ready hours before it is served, or before the next step goes on with it, by the day's own schedule, and spoils: it stands in the
fridge until then."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.english.kitchen_facts import tells
from scriptkit.measure.durations import format_duration
from scriptkit.pantry.kinds_by_name import category_of
from scriptkit.problems import Problem, warning
from scriptkit.recipe.step_graph import graph_of
from scriptkit.safety.kitchen_state import is_heated, states_of
from scriptkit.safety.state_conditions import SPOILS, spoiling
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


def waiting_problems(schedule: Schedule) -> Iterator[Problem]:
    """A warning for each step whose work stands two hours and more before another goes on with it, where nothing says that it stands
    in the cold, and it spoils."""
    ends = {(task.dish.file, task.step.number): task for task in schedule.tasks}
    told: set[tuple[str, int]] = set()
    for task in sorted(schedule.tasks, key=lambda t: t.start_min):
        for edge in graph_of(task.dish).into[task.step.number]:
            ready = ends.get((task.dish.file, edge.before))
            if ready is None or not edge.takes or (task.dish.file, edge.before) in told:
                continue
            stands = task.start_min - ready.end_min
            if stands >= OUT_MIN and (names := _standing_out(ready, task)):
                told.add((task.dish.file, edge.before))
                yield warning(
                    ready.step.place,
                    "stands-waiting",
                    f"{task.dish.name}: by the schedule what step {ready.step.number} ({ready.step.id}) makes stands {format_duration(round(stands * 60_000))} before "
                    f"step {task.step.number} ({task.step.id}) goes on with it, and {', '.join(names)} spoils: out of the fridge it stands for 2 h at most",
                    f"write at step {ready.step.number} that it is chilled in the fridge until then; or `keeps: 1 h` there, and it is made later",
                )


def _standing_out(ready: Task, then: Task) -> list[str]:
    """What spoils of a step's work where nothing says that it stands in the cold, or how long it keeps."""
    step = ready.step
    texts = (step.reading.sentence, step.say, *step.reading.gear, then.step.reading.sentence)
    if step.keeps_ms or any(tells(text, fact) for text in texts for fact in ("cold-place", "cold-thing")):
        return []
    state = states_of(ready.dish)[step.number]
    if state.keeps_dry:
        return []  # baked goods
    return [i.name for i in spoiling(state.foods, state.was_heated or state.hot_after or is_heated(step.reading))]
