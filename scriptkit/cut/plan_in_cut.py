"""The plan laid on the edited video: each step where it stands in the cut, for what is timed by it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scriptkit.cut.placement import Cut
from scriptkit.problems import Problem, warning
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, STEP, Plan, Segment

_STEP_LEAD_MS = 2_000
"""A placement is a moment inside its step; the picture begins about so much earlier (common practice, no source)."""

Start = tuple[int, Segment]


def plan_in_cut(plan: Plan, cut: Cut) -> Plan:
    """The same segments at the times of the cut, in the order of time, none overlapping.

    A step runs from its moment to the next step's; one that is not placed has no segment. What closes a dish takes the end
    of its last step's time, as long as is planned where there is room; the opening is what comes before the first step.
    """
    starts = _starts(plan, cut)
    if not starts:
        return replace(plan, segments=())
    last, segment = starts[-1]
    end = cut.length_ms if cut.length_ms > last else last + segment.length_ms
    segments = [replace(s, start_ms=0, end_ms=starts[0][0]) for s in plan.segments[:1] if s.kind == OPENING]
    for n, (start, segment) in enumerate(starts):
        until = starts[n + 1][0] if n + 1 < len(starts) else end
        segments += _with_closing(plan, segment, start, until, starts[n + 1 :])
    return replace(plan, segments=tuple(s for s in segments if s.length_ms > 0))


def _starts(plan: Plan, cut: Cut) -> list[Start]:
    """Where each placed step begins: a little before its moment, but not before the moment of the step before it."""
    placed = {p.step.place: p.time_ms for p in cut.placements if p.time_ms is not None}
    steps = [s for s in plan.segments if s.kind == STEP and s.step is not None and s.step.place in placed]
    moments = sorted(((placed[s.step.place], s) for s in steps if s.step is not None), key=lambda one: one[0])
    before = [0, *(at for at, _ in moments)]
    return [(max(at - _STEP_LEAD_MS, before[n]), segment) for n, (at, segment) in enumerate(moments)]


def _with_closing(plan: Plan, segment: Segment, start: int, until: int, later: Sequence[Start]) -> list[Segment]:
    """The step's segment, and after it what closes its dish, or the meal, where it is the last."""
    closing = [] if any(s.dish is segment.dish for _, s in later) else [
        s for s in plan.segments if s.kind == CLOSING and s.dish is segment.dish
    ]  # fmt: skip
    closing += [] if later else [s for s in plan.segments if s.kind == MEAL_CLOSING]
    room = until - start
    now = start + max(min(segment.length_ms, room), room - sum(s.length_ms for s in closing))
    found = [replace(segment, start_ms=start, end_ms=now)]
    for one in closing:
        found.append(replace(one, start_ms=now, end_ms=min(now + one.length_ms, until)))
        now = found[-1].end_ms
    return found


def without_picture(planned: Plan, in_cut: Plan) -> list[Problem]:
    """A problem for each planned step that has no time of its own on the cut."""
    there = {s.step.place for s in in_cut.segments if s.step is not None}
    return [
        warning(
            s.step.place,
            "step-not-placed",
            f"step {s.step.number} ({s.step.id}) of {s.dish.name} gets no time in the cut: nothing of it is shown",
            "write its time in a cut file: `scriptkit coverage --help`",
        )
        for s in planned.segments
        if s.step is not None and s.dish is not None and s.step.place not in there
    ]
