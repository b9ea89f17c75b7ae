"""The cook schedule: its page with the time line, a table for a terminal, and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_duration
from scriptkit.papers.ovens import AFTER_THE_FIRST, out_lines, oven_lines, setting_words
from scriptkit.papers.tables import Column, JsonObject, text_of
from scriptkit.papers.timeline import Timeline, clock, timeline_of
from scriptkit.problems import Problem
from scriptkit.publish.times import TotalTime
from scriptkit.recipe.dish import Dish
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.cooling import coolings_of
from scriptkit.shoot.day.lateness import late_words
from scriptkit.shoot.day.oven_outs import oven_outs_of
from scriptkit.shoot.day.schedule import Schedule, Task, WithLess
from scriptkit.shoot.day.to_the_boil import boil_wait_ms
from scriptkit.shoot.mise_en_place import PreHeat


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """A task in words. Its times are hours and minutes after the first step, or times of day. ``burner``: its number, or the oven."""

    task: Task
    start: str
    hands_end: str
    end: str
    cook: str
    vessel: str
    burner: str


COLUMNS: tuple[Column[TaskRow], ...] = (
    Column(name="from", value=lambda r: r.start),
    Column(name="hands free", value=lambda r: r.hands_end),
    Column(name="to", value=lambda r: r.end),
    Column(name="cook", value=lambda r: r.cook),
    Column(name="dish", value=lambda r: r.task.dish.name),
    Column(name="step", value=lambda r: r.task.step.id),
    Column(name="vessel", value=lambda r: r.vessel),
    Column(name="burner", value=lambda r: r.burner),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SchedulePage:
    """The values of schedule.html. ``total`` is the time that card and description print too; empty where it is not known.
    ``start`` and ``serve`` are times of day, empty where the serving's is not known."""

    line: Timeline
    total: str
    length: str
    start: str
    serve: str


def schedule_page_of(
    schedule: Schedule,
    serve_at_min: int | None = None,
    total: TotalTime | None = None,
    cautions: Sequence[Caution] = (),
    dishes: Sequence[Dish] = (),
    preheats: Sequence[PreHeat] = (),
) -> SchedulePage:
    """``serve_at_min``: minutes after midnight at which it is served. Steps are marked with their ``cautions``; ``dishes`` are in the
    order in which every page counts them."""
    timed = serve_at_min is not None
    return SchedulePage(
        line=timeline_of(schedule, serve_at_min, cautions, dishes, preheats),
        total=total.words if total else "",
        length=filmed_words(schedule),
        start=clock(0, schedule, serve_at_min) if timed else "",
        serve=clock(schedule.length_min, schedule, serve_at_min) if timed else "",
    )


def rows_of(schedule: Schedule, serve_at_min: int | None = None) -> tuple[TaskRow, ...]:
    """A row a task, in order of start."""

    def at(minute: float) -> str:
        return clock(minute, schedule, serve_at_min)

    return tuple(
        TaskRow(
            task=t,
            start=at(t.start_min),
            hands_end=at(t.hands_end_min),
            end=at(t.end_min),
            cook=str(t.cook or ""),
            vessel=t.vessel,
            burner="oven" if t.oven else str(t.burner or ""),
        )
        for t in schedule.tasks
    )


def schedule_text(
    schedule: Schedule,
    serve_at_min: int | None = None,
    total: TotalTime | None = None,
    preheats: Sequence[PreHeat] = (),
) -> str:
    """A line a task, in the order of the day: when, who, what, where; then the ovens to switch on, and how long it takes."""

    def at(minute: float) -> str:
        return clock(minute, schedule, serve_at_min)

    lines = [*text_of(rows_of(schedule, serve_at_min), COLUMNS), ""]
    lines += [AFTER_THE_FIRST] if serve_at_min is None else []
    of_day = None if serve_at_min is None else at
    lines += [
        f"{line}." for line in (*oven_lines(preheats, of_day), *out_lines(oven_outs_of(schedule, preheats), of_day))
    ]
    lines += [
        f"Step {t.step.number} of {t.dish.short}: about {_long(boil_wait_ms(t.step) / 60_000)} more to the boil, an estimate: write `wait:` if you know how long."
        for t in schedule.tasks
        if boil_wait_ms(t.step)
    ]
    lines += [
        f"Step {one.task.step.number} of {one.task.dish.short}: it cools for {_long(one.minutes)} first, off the heat from {at(one.before.end_min)}."
        for one in coolings_of(schedule)
    ]
    return "\n".join(
        [*lines, *([f"Total time: {total.words}."] if total and total.words else []), filmed_words(schedule)]
    )


def filmed_words(schedule: Schedule) -> str:
    """``length_words``, of this plan: filmed, and with so many cooks; then what is late, where it cannot land."""
    cooks = len({t.cook for t in schedule.tasks if t.cook})
    late = late_words(schedule)
    told = f" {late[:1].upper()}{late[1:]}." if late else ""
    return f"{length_words(schedule)} Filmed, with {cooks} cook{'' if cooks == 1 else 's'}.{told}"


def length_words(schedule: Schedule) -> str:
    """How long it takes and how sure it is that it cannot be shorter."""
    about = "about " if any(boil_wait_ms(t.step) for t in schedule.tasks) else ""
    length = f"{about}{_long(schedule.length_min)}"
    if schedule.late:
        return f"Ready in {length}."
    if schedule.proven:
        return f"Ready in {length} (the shortest possible)."
    gap = schedule.length_min - schedule.at_least_min
    return (
        f"Ready in {length}, the shortest found; the shortest possible is at least "
        f"{_long(schedule.at_least_min)} ({_long(gap)} less)."
    )


def _long(minutes: float) -> str:
    """``61.5 min``; from 100 min on in hours."""
    return f"{minutes:g} min" if minutes < 100 else format_duration(round(minutes) * 60_000)


def cost_words(less: WithLess, than: Schedule) -> str:
    """What it costs to have less of a resource: ``+12 min``."""
    longer = less.longer_min(than)
    if longer is None:
        if less.impossible:
            return "cannot be done without being later" if than.late else "cannot be done"
        return "no order was found, nor shown that there is none"
    return f"{longer:+g} min" + ("" if less.sure(than) else " in the best orders found")


def schedule_json(
    schedule: Schedule,
    serve_at_min: int | None,
    costs: Sequence[WithLess] = (),
    total: TotalTime | None = None,
    preheats: Sequence[PreHeat] = (),
) -> JsonObject:
    """For machines: minutes from the beginning, tasks in the order of the day; what there is none of is null. ``length_min`` is of
    the filmed day, ``total_time_min`` of ``total_time_cooks`` who do not film."""
    out: JsonObject = {
        "length_min": schedule.length_min,
        "proven": schedule.proven,
        "at_least_min": schedule.at_least_min,
        "total_time_min": None if total is None or total.times.total_ms is None else total.times.total_ms / 60_000,
        "total_time_cooks": None if total is None or total.times.total_ms is None else total.cooks,
    }
    if serve_at_min is not None:
        out["start"] = clock(0, schedule, serve_at_min)
        out["serve"] = clock(schedule.length_min, schedule, serve_at_min)
    if schedule.late:
        out["late"] = [
            {
                "dish": one.dish.name, "step": one.step.id, "then": one.then.id if one.then else None, "stands_min": one.stands_min,
                "at_most_min": one.at_most_min,
            }
            for one in schedule.late
        ]  # fmt: skip
    out["tasks"] = [
        {
            "dish": t.dish.name,
            "step": t.step.id,
            "start_min": t.start_min,
            "end_min": t.end_min,
            "hands_end_min": t.hands_end_min,
            "cook": t.cook or None,
            "vessel": t.vessel or None,
            "burner": t.burner or None,
            "oven": t.oven,
            "to_the_boil_about_min": boil_wait_ms(t.step) / 60_000 or None,
        }
        for t in schedule.tasks
    ]
    if preheats:
        out["ovens"] = [
            {
                "dish": p.dish.name, "step": p.step.id, "setting": setting_words(p), "on_min": p.on_min, "hot_min": p.needed_min,
                "turn": p.turn or "on",
            }
            for p in preheats
        ]  # fmt: skip
    if outs := oven_outs_of(schedule, preheats):
        out["out_of_the_oven"] = [
            {
                "dish": one.dish.name, "step": one.step.id, "at_min": one.at_min,
                "oven_left_on_for": None if one.kept_for is None else one.kept_for.dish.name,
            }
            for one in outs
        ]  # fmt: skip
    if costs:
        out["fewer"] = [
            {"what": c.words, "longer_min": c.longer_min(schedule), "proven": c.sure(schedule)} for c in costs
        ]
    return out


# --- where no order lands ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why no order of the work lands, and what would help, as sentences without their stop."""

    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSchedule:
    """The values of no-schedule.html."""

    why: tuple[Reason, ...]


def no_schedule_of(problems: Sequence[Problem]) -> NoSchedule:
    """A reason for each problem."""
    return NoSchedule(
        why=tuple(Reason(message=_sentence(p.message), hint=_sentence(p.hint.replace("`", ""))) for p in problems)
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
