"""In which order to film: as it is cooked, or with the repeatable shots batched by camera setup; and what each costs."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageOrder:
    """``cooked``: every shot when the cooking comes to it. ``grouped``: what cannot be repeated stays in that order, and
    what can is filmed with its camera setup."""

    cooked: tuple[Shot, ...]
    grouped: tuple[Shot, ...]

    @property
    def moves_cooked(self) -> int:
        """How often the camera moves in the order of the cooking."""
        return camera_moves(self.cooked)

    @property
    def moves_grouped(self) -> int:
        """How often the camera moves where the shots are batched."""
        return camera_moves(self.grouped)


def camera_moves(shots: Sequence[Shot]) -> int:
    """How often the camera setup changes from a shot to the next."""
    return sum(a.camera_setup != b.camera_setup for a, b in itertools.pairwise(shots))


def order_of(shots: Sequence[Shot], schedule: Schedule | None = None) -> CoverageOrder:
    """Both orders. With a schedule, the cooking is as it says; else prep first, then dish by dish."""
    cooked = cook_order(shots, schedule)
    return CoverageOrder(cooked=cooked, grouped=grouped(cooked))


def cook_order(shots: Sequence[Shot], schedule: Schedule | None = None) -> tuple[Shot, ...]:
    """A dish is finished when it is plated, so the opening's picture of it comes last, unless a hero stands in for it."""
    starts: dict[tuple[str, int], float] = {}
    ends: dict[str, float] = defaultdict(float)
    for task in schedule.tasks if schedule else ():
        starts[task.dish.file, task.step.number] = task.start_min
        ends[task.dish.file] = max(ends[task.dish.file], task.end_min)

    def when(shot: Shot) -> tuple[int, float, int]:
        if shot.stage == OPENING:
            return (0 if shot.repeatable else 2), 0.0, shot.number
        if shot.stage == MEAL_CLOSING or shot.dish is None:
            return 1, float("inf"), shot.number
        if shot.stage == CLOSING or shot.step is None:
            return 1, ends[shot.dish.file], shot.number
        return 1, starts.get((shot.dish.file, shot.step.number), 0.0), shot.number

    return tuple(sorted(shots, key=when))


def grouped(cooked: Sequence[Shot]) -> tuple[Shot, ...]:
    """The repeatable shots batched: where the camera already stands right for one, it is filmed then; the others stand,
    setup by setup, at the beginning. Prep moves only forward, as what is cut must be there when it goes in."""
    fixed = [s for s in cooked if not s.repeatable]
    before: dict[int, list[Shot]] = defaultdict(list)
    blocks: dict[int, list[Shot]] = defaultdict(list)
    passed = 0
    for shot in cooked:
        if not shot.repeatable:
            passed += 1
            continue
        latest = passed if shot.stage == "prep" else len(fixed)
        fits = [n for n in range(latest + 1) if shot.camera_setup in _beside(fixed, n)]
        if fits:
            _, nearest = min((abs(n - passed), n) for n in fits)
            before[nearest].append(shot)
        else:
            blocks[shot.camera_setup].append(shot)
    order = [shot for block in blocks.values() for shot in block]
    for n in range(len(fixed) + 1):
        standing = fixed[n - 1].camera_setup if n else None
        order += [shot for shot in before[n] if shot.camera_setup == standing]
        order += [shot for shot in before[n] if shot.camera_setup != standing]
        order += fixed[n : n + 1]
    return tuple(order)


def _beside(fixed: Sequence[Shot], n: int) -> set[int]:
    """The setups of the shots before and after the ``n``-th gap."""
    return {s.camera_setup for s in fixed[max(n - 1, 0) : n + 1]}
