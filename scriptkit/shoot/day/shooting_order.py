"""In which order to film: as the day goes, or with the repeatable shots batched by camera setup; and what each costs."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.recipe.dish import Dish
from scriptkit.shoot.day.day_graph import DayGraph
from scriptkit.shoot.day.gates import key_of
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING
from scriptkit.shoot.shots.framing import FIRST_BITE
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageOrder:
    """``cooked``: every shot when the day comes to it. ``grouped``: what cannot be repeated stays in that order, and what can
    is filmed with its camera setup, as far as the gates allow. ``start_min``: the minute of the schedule at which each shot's step
    begins, or is over where the shot shows that, by the shot's number; empty where there is no schedule."""

    cooked: tuple[Shot, ...]
    grouped: tuple[Shot, ...]
    start_min: Mapping[int, float]

    @property
    def listed(self) -> tuple[Shot, ...]:
        """The order of the printed list: prep, then cooking, plating and what is filmed of the plate, each in the order of the day."""
        return tuple(sorted(self.cooked, key=block_of))

    @property
    def moves_cooked(self) -> int:
        """How often the camera moves in the order of the day."""
        return camera_moves(self.cooked)

    @property
    def moves_grouped(self) -> int:
        """How often the camera moves where the shots are batched."""
        return camera_moves(self.grouped)


def block_of(shot: Shot) -> int:
    """The block of the printed list in which the shot stands: 0 prep, 1 cooking, plating and what is filmed of the plate."""
    return 0 if shot.stage == "prep" else 1


def camera_moves(shots: Sequence[Shot]) -> int:
    """How often the camera setup changes from a shot to the next."""
    return sum(a.camera_setup != b.camera_setup for a, b in itertools.pairwise(shots))


def order_of(shots: Sequence[Shot], schedule: Schedule | None = None) -> CoverageOrder:
    """Both orders. With a schedule, the day is as it says; else prep first, then dish by dish, as the graph of the day allows."""
    graph = graph_of_shots(shots)
    cooked = cook_order(shots, schedule, graph)
    ends = _ends(schedule)
    start_min = {s.number: at for s in shots if (at := _minute(s, ends, schedule)) is not None}
    return CoverageOrder(cooked=cooked, grouped=grouped(cooked, graph), start_min=start_min)


def graph_of_shots(shots: Sequence[Shot]) -> DayGraph:
    """The graph of the dishes that are filmed."""
    dishes: dict[str, Dish] = {}
    for shot in shots:
        if shot.dish is not None:
            dishes.setdefault(shot.dish.file, shot.dish)
    return DayGraph(tuple(dishes.values()))


def _ends(schedule: Schedule | None) -> dict[str, float]:
    ends: dict[str, float] = defaultdict(float)
    for task in schedule.tasks if schedule else ():
        ends[task.dish.file] = max(ends[task.dish.file], task.end_min)
    return ends


def _minute(shot: Shot, ends: Mapping[str, float], schedule: Schedule | None) -> float | None:
    """The minute of the day at which the shot is filmed at the earliest; None where it may be at any."""
    key = key_of(shot)
    if schedule is None or (shot.stage == OPENING and shot.repeatable):
        return None
    if _is_bite(shot):
        return schedule.length_min
    if key is not None:
        return (schedule.end_min if shot.when_over else schedule.start_min).get(key)
    return ends.get(shot.dish.file, schedule.length_min) if shot.dish is not None else schedule.length_min


def _is_bite(shot: Shot) -> bool:
    """Whether the finished dish is bitten into."""
    return shot.look.kind == FIRST_BITE and key_of(shot) is None


def cook_order(
    shots: Sequence[Shot], schedule: Schedule | None = None, graph: DayGraph | None = None
) -> tuple[Shot, ...]:
    """A dish is finished when it is plated, so the opening's picture of it comes after all that, unless a hero stands in for it; and no
    dish is bitten into before every picture of it, whole, has been taken. What shows that a step is done stands where its wait is over,
    after what is filmed meanwhile."""
    starts = schedule.start_min if schedule else {}
    ends = _ends(schedule)
    steps = (graph or graph_of_shots(shots)).in_order(starts)
    place = {key: n for n, key in enumerate(steps)}
    last: dict[str, int] = {file: n for n, (file, _) in enumerate(steps)}

    def plated(dish: Dish) -> float:
        """Where among the steps the finished dish is filmed: before the first one that begins when it is done."""
        after = last.get(dish.file, -1)
        return before_next(after, ends[dish.file]) if starts else after + 0.5

    def before_next(after: int, minute: float) -> float:
        later = (n for n, key in enumerate(steps) if n > after and starts.get(key, 0.0) >= minute)
        return next(later, len(steps)) - 0.5

    def when(shot: Shot) -> tuple[int, float, float, int]:
        key = key_of(shot)
        if _is_bite(shot):
            return 3, 0.0, 0.0, shot.number
        if shot.stage == OPENING:
            return (0 if shot.repeatable else 2), 0.0, 0.0, shot.number
        if key is not None and key in place:
            over = schedule.end_min.get(key) if schedule and shot.when_over else None
            at = float(place[key]) if over is None else before_next(place[key], over)
            return 1, at, over or 0.0, shot.number
        if shot.stage == CLOSING and shot.dish is not None:
            return 1, plated(shot.dish), ends[shot.dish.file], shot.number
        return 1, float("inf") if shot.stage == MEAL_CLOSING or shot.dish is None else -1.0, 0.0, shot.number

    return tuple(sorted(shots, key=when))


def grouped(cooked: Sequence[Shot], graph: DayGraph | None = None) -> tuple[Shot, ...]:
    """The repeatable shots batched: where the camera already stands right for one, it is filmed then; the others stand,
    setup by setup, at the beginning. Prep moves only forward, as what is cut must be there when it goes in; and nothing is
    filmed before what its step goes on with, so that every gate holds."""
    fixed = [s for s in cooked if not s.repeatable]
    before: dict[int, list[Shot]] = defaultdict(list)
    blocks: dict[int, list[Shot]] = defaultdict(list)
    passed = 0
    for shot in cooked:
        if not shot.repeatable:
            passed += 1
            continue
        first = _earliest(shot, fixed, graph)
        latest = passed if shot.stage == "prep" else len(fixed)
        fits = [n for n in range(first, latest + 1) if shot.camera_setup in _beside(fixed, n)]
        if fits:
            _, nearest = min((abs(n - passed), n) for n in fits)
            before[nearest].append(shot)
        elif first:
            before[max(first, passed)].append(shot)
        else:
            blocks[shot.camera_setup].append(shot)
    order = [shot for block in blocks.values() for shot in block]
    for n in range(len(fixed) + 1):
        standing = fixed[n - 1].camera_setup if n else None
        order += [shot for shot in before[n] if shot.camera_setup == standing]
        order += [shot for shot in before[n] if shot.camera_setup != standing]
        order += fixed[n : n + 1]
    return tuple(order) if camera_moves(order) <= camera_moves(cooked) else tuple(cooked)


def _earliest(shot: Shot, fixed: Sequence[Shot], graph: DayGraph | None) -> int:
    """After how many of the fixed shots it can be filmed: after all of what its step goes on with."""
    key = key_of(shot)
    if graph is None or key is None:
        return 0
    needed = graph.before(key)
    return max((n for n, one in enumerate(fixed, 1) if key_of(one) in needed), default=0)


def _beside(fixed: Sequence[Shot], n: int) -> set[int]:
    """The setups of the shots before and after the ``n``-th gap."""
    return {s.camera_setup for s in fixed[max(n - 1, 0) : n + 1]}
