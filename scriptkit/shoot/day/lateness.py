"""Where no order lands: the schedule that is least late, and what in it stands for longer than it should."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from scriptkit.measure.durations import format_duration
from scriptkit.problems import Problem, Severity, warning
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.day.infeasibility import kitchen_text
from scriptkit.shoot.day.kitchen_constraints import More, draft_of
from scriptkit.shoot.day.schedule import USUAL_NODES, Late, Schedule, searched
from scriptkit.shoot.day.scheduling_model import Impossible
from scriptkit.shoot.day.step_lengths import ticks

_TRIED_NODES = 150
"""For each lateness that is tried."""
_TRIED_MIN = (1, 2, 3, 5, 8, 12, 20, 30, 45, 60, 90, 120, 240)
_MOST_TOLD = 3


def late_schedule(source: Dish | Meal, *, most_nodes: int = USUAL_NODES) -> Schedule | None:
    """Of a source that no schedule lands: the shortest of those that are least late, with what is ``late``. First the serving alone is
    late, then steps wait as well. None where even that does not help, such as without an oven."""
    for change in (_at_the_serving, _everywhere):
        late = _least_late(source, change)
        if late is not None:
            more = _fewest_late(source, change(late))
            return searched(source, most_nodes, more) or searched(source, _TRIED_NODES, more, first=True)
    return None


def _fewest_late(source: Dish | Meal, more: More) -> More:
    """The same lateness for as few dishes as can be, tried in their order."""
    dishes = dishes_of_the_day(source)
    for dish in dishes if len(dishes) > 1 else ():
        fewer = replace(more, in_time=more.in_time | {dish.file})
        if _possible(source, fewer):
            more = fewer
    return more


def _possible(source: Dish | Meal, more: More) -> bool:
    from scriptkit.shoot.day.sequencing import shortest  # numpy, and only where a schedule is made

    network = draft_of(dishes_of_the_day(source), source.kitchen, more).network
    try:
        return shortest(network, most_nodes=_TRIED_NODES, first=True) is not None
    except Impossible:
        return False


def _at_the_serving(minutes: int) -> More:
    return More(landing=ticks(minutes * 60_000))


def _everywhere(minutes: int) -> More:
    return More(landing=ticks(minutes * 60_000), waits=ticks(minutes * 60_000))


def _least_late(source: Dish | Meal, change: Callable[[int], More]) -> int | None:
    """Minutes; None where more than the longest that is tried would be needed."""
    wide = next((m for m in _TRIED_MIN if _possible(source, change(m))), None)
    if wide is None:
        return None
    narrow = max((m for m in _TRIED_MIN if m < wide), default=0)
    while wide - narrow > 1:
        middle = (narrow + wide) // 2
        narrow, wide = (narrow, middle) if _possible(source, change(middle)) else (middle, wide)
    return wide


def late_words(schedule: Schedule) -> str:
    """``6 min late: Roast carrots stands ready for 9 min before it is served, and 3 min is the most``; empty where nothing is late."""
    if not schedule.late:
        return ""
    landing = [one for one in schedule.late if one.then is None]
    head = f"{_long(max(one.over_min for one in landing))} late" if landing else "food waits too long"
    told = [_one(one) for one in schedule.late[:_MOST_TOLD]]
    more = len(schedule.late) - _MOST_TOLD
    return f"{head}: {'; '.join(told)}{f'; and {more} more' if more > 0 else ''}"


def _one(late: Late) -> str:
    most = f"and {_long(late.at_most_min)} is the most"
    if late.then is None:
        return f"{late.dish.name} stands ready for {_long(late.stands_min)} before it is served, {most}"
    return (
        f"{late.dish.name} waits {_long(late.stands_min)} after step {late.step.number} ({late.step.id}) for step "
        f"{late.then.number} ({late.then.id}), {most}"
    )


def _long(minutes: float) -> str:
    return format_duration(round(minutes * 60_000)) or "0 s"


def late_problems(source: Dish | Meal, schedule: Schedule, why: Sequence[Problem] = ()) -> list[Problem]:
    """A warning for the serving, and one for each step that waits too long, each with the key that allows it. ``why`` no order lands
    is told with the serving: one cause, one warning."""
    problems = [replace(p, severity=Severity.WARNING) for p in why]
    landing = [one for one in schedule.late if one.then is None]
    if landing:
        words = late_words(replace(schedule, late=tuple(landing)))
        key = _allowing(source, landing)
        late = warning(source.place, "lands-late", f"the best order is {words}", f"write {key} if that is good enough")
        problems = [_in_one(late, key, problems[0]), *problems[1:]] if problems else [late]
    for one in schedule.late:
        if one.then is not None:
            needs = format_duration((one.step.wait_ms or 0) + math.ceil(one.stands_min) * 60_000)
            hint = f"write `wait_at_most: {needs}` at this step if that is good enough"
            problems.append(warning(one.step.place, "waits-too-long", f"in the best order {_one(one)}", hint))
    return problems


def _allowing(source: Dish | Meal, late: Sequence[Late]) -> str:
    """The keys that allow it: the `keeps:` of a dish that keeps for too short a time, and the landing of the kitchen for all else."""
    keys = []
    for one in late:
        if one.dish.keeps_ms is not None and one.dish.keeps_ms < one.stands_min * 60_000:
            keys.append(f"`keeps: {_long(math.ceil(one.stands_min))}` at {one.dish.name}")
    plated = [o.stands_min for o in late if o.dish.keeps_ms is None or o.step.reading.plates_up]
    if plated and max(plated) * 60_000 > source.kitchen.landing_ms:
        allowed = replace(source.kitchen, landing_ms=math.ceil(max(plated)) * 60_000)
        keys.append(f"`{kitchen_text(source.kitchen, allowed)}`")
    return " and ".join(keys)


def _in_one(late: Problem, key: str, why: Problem) -> Problem:
    """How late it is, and why, with all that would help."""
    hint = why.hint if key in why.hint else f"{why.hint}; or {late.hint}"
    return replace(why, message=f"{late.message}; {why.message}", hint=hint)
