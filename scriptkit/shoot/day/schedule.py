"""The cook schedule: who does what when, so that the dishes land together, in as little time as can be."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from scriptkit.english.vessels import stands_in_for
from scriptkit.problems import Problem
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Kitchen, Meal, Step
from scriptkit.shoot.day.day_graph import StepKey
from scriptkit.shoot.day.infeasibility import why_not
from scriptkit.shoot.day.kitchen_constraints import ModelBuilder, More, draft_of
from scriptkit.shoot.day.oven_stretches import goes_in_after
from scriptkit.shoot.day.scheduling_model import Impossible, Timing
from scriptkit.shoot.day.step_lengths import TICK_MS, hands_ms, length_of, ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One step on the schedule, in minutes from the beginning. ``cook`` and ``burner`` count from 1; 0 is none.
    Hands are free from ``hands_end_min``, the vessel from ``vessel_free_min``: what is held in it waits there."""

    dish: Dish
    step: Step
    start_min: float
    hands_end_min: float
    end_min: float
    vessel_free_min: float
    cook: int
    vessel: str
    burner: int
    oven: bool
    goes_in_min: float
    """When the dish is in the oven; of a step at no oven, its beginning."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """What a step made stands ready for ``stands_min``, and ``at_most_min`` is allowed: until ``then`` goes on with it, or until the
    serving where that is None."""

    dish: Dish
    step: Step
    then: Step | None
    stands_min: float
    at_most_min: float

    @property
    def over_min(self) -> float:
        """How much too long that is."""
        return self.stands_min - self.at_most_min


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """``tasks`` stand in the order of the day, which is everybody's. ``length_min`` from the first step to the serving; ``at_least_min`` is a length no schedule can undercut."""

    title: str
    tasks: tuple[Task, ...]
    length_min: float
    at_least_min: float
    late: tuple[Late, ...] = ()
    """What stands for longer than it may, where no order keeps every limit; the longest first."""

    @functools.cached_property
    def start_min(self) -> Mapping[StepKey, float]:
        """The minute at which each step begins."""
        return {(t.dish.file, t.step.number): t.start_min for t in self.tasks}

    @functools.cached_property
    def end_min(self) -> Mapping[StepKey, float]:
        """The minute at which each step is over, its wait too."""
        return {(t.dish.file, t.step.number): t.end_min for t in self.tasks}

    @property
    def proven(self) -> bool:
        """Whether it is proven that no schedule is shorter."""
        return self.length_min <= self.at_least_min


@dataclass(frozen=True, slots=True, kw_only=True)
class WithLess:
    """What a kitchen with something less makes of it. No ``schedule``: there is none, or (not ``impossible``) none was found."""

    words: str
    schedule: Schedule | None
    impossible: bool = False

    def longer_min(self, than: Schedule) -> float | None:
        """Minutes more than the other schedule takes; None where there is no schedule."""
        return None if self.schedule is None else self.schedule.length_min - than.length_min

    def sure(self, than: Schedule) -> bool:
        """Whether no search could find another answer."""
        return self.impossible if self.schedule is None else self.schedule.proven and than.proven


class CannotSchedule(Exception):
    """No schedule keeps the kitchen's limits; ``problems`` say why."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(p.message for p in problems))
        self.problems = tuple(problems)


def schedule_of(source: Dish | Meal, *, most_nodes: int = 2_500) -> Schedule:
    """The shortest schedule of the dish or meal in its kitchen, or the best found with its gap.

    Raises CannotSchedule where there is none: a circle in what waits for what, or limits that contradict one another.
    """
    try:
        found = searched(source, most_nodes)
    except Impossible as wrong:
        raise CannotSchedule(why_not(source, wrong.circle)) from None
    if found is None:
        raise CannotSchedule(why_not(source, proven=False))
    return found


USUAL_NODES = 600
"""Enough to find a schedule, not always to prove it."""


def usual_schedule(source: Dish | Meal) -> Schedule | None:
    """The schedule that the papers and the checks of a source share; None where it has no steps. Raises
    CannotSchedule where there is none."""
    steps = any(dish.steps for dish in dishes_of_the_day(source))
    return schedule_of(source, most_nodes=USUAL_NODES) if steps else None


def searched(
    source: Dish | Meal,
    most_nodes: int,
    more: More | None = None,
    *,
    first: bool = False,
    one_pan: tuple[str, str] | None = None,
) -> Schedule | None:
    """The shortest schedule, or the best found; None where none was found in so many nodes. ``more``: how much longer than it should
    food may stand; ``first``: any will do; ``one_pan``: two vessels that are one. Raises Impossible where there is none."""
    from scriptkit.shoot.day.schedule_shift import settled
    from scriptkit.shoot.day.sequencing import shortest  # numpy, and only where a schedule is made
    from scriptkit.shoot.day.shared_pan import share_one_pan

    draft = draft_of(dishes_of_the_day(source), source.kitchen, more)
    if one_pan is not None:
        share_one_pan(draft, *one_pan, source.kitchen)
    timing = shortest(draft.network, most_nodes=most_nodes, first=first)
    if timing is None:
        return None
    prep = [at for at, (_, step) in enumerate(draft.steps, 1) if step.stage == "prep"]
    return _schedule(source, draft, replace(timing, starts=settled(draft.network, timing.starts, prep)))


def _schedule(source: Dish | Meal, draft: ModelBuilder, timing: Timing) -> Schedule:
    kitchen = source.kitchen
    spans = []
    for at, (dish, step) in enumerate(draft.steps, 1):
        start = timing.starts[at]
        spans.append((start, at, start + ticks(hands_ms(step, kitchen)), start + length_of(step, kitchen), dish, step))
    minutes = TICK_MS / 60_000
    of_the_day = draft.graph.in_order({key: timing.starts[at] * minutes for key, at in draft.number.items()})
    place = {key: n for n, key in enumerate(of_the_day)}
    spans.sort(key=lambda s: place[s[4].file, s[5].number])
    slots = _places([(start, hands_end) for start, _, hands_end, *_ in spans], [dish.file for *_, dish, _ in spans])
    burner_of = _burners(draft, timing)
    tasks = tuple(
        Task(
            dish=dish,
            step=step,
            start_min=start * minutes,
            hands_end_min=hands_end * minutes,
            end_min=end * minutes,
            vessel_free_min=(_emptied(draft, timing, at) or end) * minutes,
            cook=(slots[n] - 1) % kitchen.cooks + 1 if slots[n] else 0,  # a cook who attends to two tasks has two slots
            vessel=step.reading.written_vessel,
            burner=burner_of.get(at, 0),
            oven=step.reading.in_the_oven,
            goes_in_min=(start + (goes_in_after(dish, step, kitchen) if step.reading.in_the_oven else 0)) * minutes,
        )
        for n, (start, at, hands_end, end, dish, step) in enumerate(spans)
    )
    return Schedule(
        title=source.name,
        tasks=tasks,
        length_min=timing.length * minutes,
        at_least_min=timing.at_least * minutes,
        late=_late(draft, timing.starts),
    )


def _late(draft: ModelBuilder, starts: Sequence[int]) -> tuple[Late, ...]:
    minutes = TICK_MS / 60_000
    found = []
    for at, then, length, slack in draft.stands:
        stands = starts[then] - starts[at] - length
        if stands > slack:
            dish, step = draft.steps[at - 1]
            on = draft.steps[then - 1][1] if then <= len(draft.steps) else None
            late = Late(dish=dish, step=step, then=on, stands_min=stands * minutes, at_most_min=slack * minutes)
            found.append(late)
    return tuple(sorted(found, key=lambda one: (one.then is not None, -one.over_min)))


def _emptied(draft: ModelBuilder, timing: Timing, at: int) -> int | None:
    hold = draft.emptied.get(at)
    return None if hold is None else timing.starts[hold.last] + hold.length


def _places(spans: Sequence[tuple[int, int]], kinds: Sequence[str] | None = None) -> list[int]:
    """A free number from 1 for each span, in order of their starts; 0 for an empty one. Of the free ones the one whose last
    span was of the same kind, so that a cook stays with a dish; else the lowest."""
    until: list[int] = []
    last: list[str] = []
    numbers = []
    for (start, end), kind in zip(spans, kinds or [""] * len(spans), strict=True):
        if end <= start:
            numbers.append(0)
            continue
        free = [n for n, busy in enumerate(until) if busy <= start] or [len(until)]
        number = next((n for n in free if n < len(until) and last[n] == kind), free[0])
        until[number : number + 1], last[number : number + 1] = [end], [kind]
        numbers.append(number + 1)
    return numbers


def _burners(draft: ModelBuilder, timing: Timing) -> dict[int, int]:
    """Activity → burner, the same one while a pan stays on the heat."""
    holds = sorted((h for h in draft.holds if h.resource == "burner"), key=lambda h: timing.starts[h.first])
    numbers = _places([(timing.starts[h.first], timing.starts[h.last] + h.length) for h in holds])
    number_of = {id(hold): number for hold, number in zip(holds, numbers, strict=True)}
    return {at: number_of[id(hold)] for at, hold in draft.burner_of.items()}


_FEWER_NODES = 500
"""For each thing less: there are many to try."""


def with_fewer(source: Dish | Meal, schedule: Schedule | None = None) -> Iterator[WithLess]:
    """What each thing less would cost: a burner, a cook, one of a vessel, or a pan that is then used for two things. ``schedule``: of
    the source; where that is late, what is as late does."""
    kitchen, more = source.kitchen, None if schedule is None else _as_late(schedule)
    changes: dict[str, Kitchen] = {}
    if kitchen.burners > 1:
        changes["one burner fewer"] = replace(kitchen, burners=kitchen.burners - 1)
    if kitchen.cooks > 1:
        changes["one cook fewer"] = replace(kitchen, cooks=kitchen.cooks - 1)
    for name, count in kitchen.vessels:
        if count > 1:
            less = tuple((n, c - (n == name)) for n, c in kitchen.vessels)
            changes[f"one {name} fewer"] = replace(kitchen, vessels=less)
    for words, fewer in changes.items():
        yield _with_less(words, replace(source, kitchen=fewer), more)
    shared = [
        _with_less(f"one pan fewer ({one} washed, and used for {other} too)", source, more, (one, other))
        for one, other in itertools.combinations(_hob_vessels(source), 2)
        if stands_in_for(one, other)
    ]
    found = [(less.schedule.length_min, less.words, less) for less in shared if less.schedule is not None]
    if found:
        yield min(found, key=lambda f: f[:2])[2]
    elif shared:
        yield WithLess(words="one pan fewer", schedule=None, impossible=all(less.impossible for less in shared))


def _as_late(schedule: Schedule) -> More | None:
    """How late the schedule is; None where it is in time."""
    if not schedule.late:
        return None
    landing = max((one.over_min for one in schedule.late if one.then is None), default=0.0)
    waits = max((one.over_min for one in schedule.late if one.then is not None), default=0.0)
    return More(landing=ticks(round(landing * 60_000)), waits=ticks(round(waits * 60_000)))


def _with_less(
    words: str, source: Dish | Meal, more: More | None = None, one_pan: tuple[str, str] | None = None
) -> WithLess:
    try:
        return WithLess(words=words, schedule=searched(source, _FEWER_NODES, more, one_pan=one_pan))
    except Impossible:
        return WithLess(words=words, schedule=None, impossible=True)


def _hob_vessels(source: Dish | Meal) -> list[str]:
    """Vessels that stand on the hob, each once, in order of use."""
    steps = [s for dish in dishes_of_the_day(source) for s in dish.steps if s.reading.takes_a_burner]
    return list({s.reading.vessel.key: s.reading.written_vessel for s in steps}.values())
