"""The cook schedule: who does what when, so that the dishes land together, in as little time as can be."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.problems import Problem, error
from scriptkit.recipe.dish import Dish, Kitchen, Meal, Step
from scriptkit.shoot.kitchen_network import TICK_MS, Draft, draft_of, hands_ms, in_oven, length_of, on_burner, ticks
from scriptkit.shoot.plan import dishes_of
from scriptkit.shoot.sequencing import Impossible, Timing, shortest


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """``length_min`` from the first step to the serving; ``at_least_min`` is a length no schedule can undercut."""

    title: str
    tasks: tuple[Task, ...]
    length_min: float
    at_least_min: float

    @property
    def proven(self) -> bool:
        """Whether it is proven that no schedule is shorter."""
        return self.length_min <= self.at_least_min


class CannotSchedule(Exception):
    """No schedule keeps the kitchen's limits; ``problems`` say why."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(p.message for p in problems))
        self.problems = tuple(problems)


def schedule_of(source: Dish | Meal, *, most_nodes: int = 4_000) -> Schedule:
    """The shortest schedule of the dish or meal in its kitchen, or the best found with its gap.

    Raises CannotSchedule where there is none: a circle in what waits for what, or limits that contradict one another.
    """
    draft = draft_of(dishes_of(source), source.kitchen)
    try:
        timing = shortest(draft.network, most_nodes=most_nodes)
    except Impossible as wrong:
        raise CannotSchedule(_why(wrong, draft, source)) from None
    if timing is None:
        raise CannotSchedule(
            [
                error(
                    source.place,
                    "no-schedule",
                    "no schedule was found that keeps every limit",
                    "allow longer waits (`wait_at_most`), another cook or burner, or a wider landing",
                )
            ]
        )
    return _schedule(source, draft, timing)


def _schedule(source: Dish | Meal, draft: Draft, timing: Timing) -> Schedule:
    kitchen = source.kitchen
    spans = []
    for at, (dish, step) in enumerate(draft.steps, 1):
        start = timing.starts[at]
        spans.append((start, at, start + ticks(hands_ms(step, kitchen)), start + length_of(step, kitchen), dish, step))
    spans.sort(key=lambda s: s[:2])
    cooks = _places([(start, hands_end) for start, _, hands_end, *_ in spans])
    burner_of = _burners(draft, timing)
    minutes = TICK_MS / 60_000
    tasks = tuple(
        Task(
            dish=dish,
            step=step,
            start_min=start * minutes,
            hands_end_min=hands_end * minutes,
            end_min=end * minutes,
            vessel_free_min=(_emptied(draft, timing, at) or end) * minutes,
            cook=(cooks[n] - 1) % kitchen.cooks + 1 if cooks[n] else 0,
            vessel=step.vessel,
            burner=burner_of.get(at, 0),
            oven=in_oven(step),
        )
        for n, (start, at, hands_end, end, dish, step) in enumerate(spans)
    )
    return Schedule(
        title=source.name, tasks=tasks, length_min=timing.length * minutes, at_least_min=timing.at_least * minutes
    )


def _emptied(draft: Draft, timing: Timing, at: int) -> int | None:
    hold = draft.emptied.get(at)
    return None if hold is None else timing.starts[hold.last] + hold.length


def _places(spans: Sequence[tuple[int, int]]) -> list[int]:
    """Lowest free number from 1 for each span, in order of their starts; 0 for an empty one."""
    until: list[int] = []
    numbers = []
    for start, end in spans:
        if end <= start:
            numbers.append(0)
            continue
        free = next((n for n, busy in enumerate(until) if busy <= start), len(until))
        until[free : free + 1] = [end]
        numbers.append(free + 1)
    return numbers


def _burners(draft: Draft, timing: Timing) -> dict[int, int]:
    """Activity → burner, the same one while a pan stays on the heat."""
    holds = sorted((h for h in draft.holds if h.resource == "burner"), key=lambda h: timing.starts[h.first])
    numbers = _places([(timing.starts[h.first], timing.starts[h.last] + h.length) for h in holds])
    found = {}
    for hold, number in zip(holds, numbers, strict=True):
        for at in range(hold.first, hold.last + 1):
            if on_burner(draft.steps[at - 1][1]):
                found[at] = number
    return found


def _why(wrong: Impossible, draft: Draft, source: Dish | Meal) -> list[Problem]:
    in_circle = [draft.steps[i - 1] for i in wrong.circle if 1 <= i <= len(draft.steps)]
    if in_circle:
        names = ", ".join(f"{s.id} of {d.name}" for d, s in in_circle)
        return [
            error(
                in_circle[0][1].place,
                "circle",
                f"steps wait for one another, or cannot follow in time: {names}",
                "check `after:` and `wait_at_most:`",
            )
        ]
    kitchen = source.kitchen
    if any(h.resource == "oven" for h in draft.holds) and kitchen.ovens < 1:
        return [
            error(
                source.place, "no-oven", "a step needs an oven and the kitchen has none", "write `kitchen: {ovens: 1}`"
            )
        ]
    if kitchen.burners < 1 and any(h.resource == "burner" for h in draft.holds):
        return [
            error(
                source.place,
                "no-burner",
                "a step needs a burner and the kitchen has none",
                "write `kitchen: {burners: 4}`",
            )
        ]
    return [
        error(source.place, "no-schedule",
              f"no schedule lands every dish in time with {kitchen.cooks} cook(s), {kitchen.burners} burners and {kitchen.ovens} oven(s)",
              "allow a dish to be kept hot (`keeps:`), longer waits (`wait_at_most:`), another cook, burner or pan")
    ]  # fmt: skip


def with_fewer(source: Dish | Meal) -> Iterator[tuple[str, Schedule | None]]:
    """What each thing less would cost: a burner, a cook, one of a vessel, or a pan that two dishes then share; None where
    it cannot be done then."""
    kitchen = source.kitchen
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
        yield words, _or_none(replace(source, kitchen=fewer))
    shared = [
        (found.length_min, f"one pan fewer ({one} washed, and used for {other} too)", found)
        for one, other in itertools.combinations(_hob_vessels(source), 2)
        if (found := _or_none(_sharing(source, one, other))) is not None
    ]
    if shared:
        _, words, best = min(shared, key=lambda s: s[:2])
        yield words, best
    elif len(_hob_vessels(source)) > 1:
        yield "one pan fewer", None


def _or_none(source: Dish | Meal) -> Schedule | None:
    try:
        return schedule_of(source, most_nodes=1_000)
    except CannotSchedule:
        return None


def _hob_vessels(source: Dish | Meal) -> list[str]:
    """Vessels that stand on the hob, each once, in order of use."""
    steps = [s for dish in dishes_of(source) for s in dish.steps if on_burner(s)]
    return list({s.vessel.casefold(): s.vessel for s in steps}.values())


def _sharing(source: Dish | Meal, one: str, other: str) -> Dish | Meal:
    """The same with one vessel in place of two."""

    def shared(dish: Dish) -> Dish:
        steps = (replace(s, vessel=one) if s.vessel.casefold() == other.casefold() else s for s in dish.steps)
        return replace(dish, steps=tuple(steps))

    if isinstance(source, Dish):
        return shared(source)
    return replace(source, portions=tuple(replace(p, dish=shared(p.dish)) for p in source.portions))
