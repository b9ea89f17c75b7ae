"""Gates: which additions must have a circled take before a shot, and from which moment an addition cannot be filmed any more.

An addition is due before a step that takes over what it went into, in whatever order the cook works; what no step takes over is due
when the day ends. The stage page, coverage and tests ask this, and nobody else decides it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from scriptkit.problems import Place
from scriptkit.recipe.dish import Addition, Dish
from scriptkit.shoot.day.day_graph import DayGraph, StepKey
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING
from scriptkit.shoot.shots.shots import Shot


@dataclass(frozen=True, slots=True, kw_only=True)
class DueAddition:
    """An addition with the shots that show it, in the order of the list."""

    addition: Addition
    dish: Dish
    step: StepKey
    shots: tuple[Shot, ...]


class Gates:
    """The gates of one list of shots."""

    def __init__(self, shots: Sequence[Shot], graph: DayGraph | None = None) -> None:
        self.shots = tuple(shots)
        self.graph = graph or DayGraph(tuple({s.dish.file: s.dish for s in shots if s.dish is not None}.values()))
        shown: dict[Place, list[Shot]] = defaultdict(list)
        for shot in shots:
            for addition in shot.additions:
                shown[addition.place].append(shot)
        self.additions = tuple(
            DueAddition(addition=a, dish=dish, step=key, shots=tuple(shown[a.place]))
            for key, (dish, step) in self.graph.steps.items()
            for a in step.additions
            if a.place in shown
        )
        """Every addition that a shot shows."""

    def due_before(self, shot: Shot) -> tuple[DueAddition, ...]:
        """The additions that must be circled before anything of this shot's step is filmed; of a shot without a step, none."""
        key = key_of(shot)
        if key is None:
            return ()
        taken = self.graph.taken_into(key)
        return tuple(one for one in self.additions if one.step in taken)

    def missing_before(self, shot: Shot, circled: Collection[Place]) -> tuple[DueAddition, ...]:
        """Of what is due before the shot, what has no circled take; ``circled`` are the places of additions."""
        return tuple(one for one in self.due_before(shot) if one.addition.place not in circled)

    def missing_at_the_end(self, circled: Collection[Place]) -> tuple[DueAddition, ...]:
        """What has no circled take when the day is over."""
        return tuple(one for one in self.additions if one.addition.place not in circled)

    def too_late(self, filmed: Iterable[Shot]) -> frozenset[StepKey]:
        """The steps whose additions cannot be filmed as they go in any more, once these shots are: a step that works on what they went
        into is under way, or the day is over. ``filmed`` are those of takes in which anything was done (Take.films)."""
        numbers = {shot.number for shot in filmed}
        ends = [shot.number for shot in self.shots if shot.stage in (CLOSING, MEAL_CLOSING)]
        if ends and numbers.issuperset(ends):
            return frozenset(self.graph.steps)
        begun = {key for shot in self.shots if shot.number in numbers and (key := key_of(shot)) is not None}
        return frozenset(due for key in begun for due in self.graph.taken_into(key))

    def too_late_from(self, addition: Addition) -> tuple[Shot, ...]:
        """The first shot of each step that works on what the addition went into: from any of them it is too late. Empty: until
        the day ends."""
        step = next((one.step for one in self.additions if one.addition.place == addition.place), None)
        first: dict[StepKey, Shot] = {}
        for shot in self.shots:
            key = key_of(shot)
            if key is not None and step is not None and step in self.graph.taken_into(key):
                first.setdefault(key, shot)
        return tuple(first.values())


def key_of(shot: Shot) -> StepKey | None:
    """The step of the day that the shot is of; None of an opening or a closing."""
    return None if shot.step is None or shot.dish is None else (shot.dish.file, shot.step.number)
