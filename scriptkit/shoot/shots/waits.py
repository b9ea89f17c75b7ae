"""Which pictures of a step belong to the end of its wait: how the cook sees that it is done."""

from __future__ import annotations

from scriptkit.english.stems import stems_in
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.written_shots import WrittenShot
from scriptkit.shoot.day.step_lengths import wait_ms
from scriptkit.shoot.shots.framing import LOOKS, doneness_shot


def in_the_pan(step: Step, dish: Dish) -> bool:
    """Whether it cooks on the hob from its last addition on: nothing else comes to it from another vessel."""
    if not step.reading.takes_a_burner:
        return False
    vessels = {s.reading.written_vessel for s in dish.steps if s.id in {t.step for t in step.takes}}
    return vessels <= {"", step.reading.written_vessel}


def has_wait(step: Step) -> bool:
    """Whether the food goes on by itself when the hands of the step are free."""
    return wait_ms(step) > 0


def tells_done(shot: WrittenShot, step: Step) -> bool:
    """Whether a written shot shows that it is done: by its kind, or in the words of the step's own cue."""
    done = doneness_shot(step)
    if done is None:
        return False
    kind = shot.kind.casefold()
    if kind == LOOKS["texture"].kind or (kind == LOOKS["probe"].kind and step.core_c is not None):
        return True
    until = step.reading.until
    told = set(stems_in(shot.picture))
    inside = "" if step.core_c is None else in_scale(format_temperature(step.core_c), step.units)
    return bool(told & set(stems_in(until.cue if until else ""))) or bool(inside and inside in shot.picture)
