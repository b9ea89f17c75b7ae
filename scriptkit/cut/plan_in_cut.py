"""The plan laid on the edited video: each step where it stands in the cut, for what is timed by it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from scriptkit.cut.placement import HAND, Cut
from scriptkit.problems import Problem, warning
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, Plan, Segment

_LEAST_CLOSING = 0.5
"""The share of the time after the start of a dish's last step that its closing has at least (common sense, no source)."""

Start = tuple[int, Segment]


def plan_in_cut(plan: Plan, cut: Cut) -> Plan:
    """The same segments at the times of the cut, in the order of time, none overlapping.

    A step runs from where it begins to where the next one does; one that is not placed has no segment. What closes a dish takes the
    end of its last step's time, as long as is planned where there is room, and never nothing; the opening is what comes before
    the first step. Of a cut whose length nobody knows, the last step and what closes it are as long as planned.
    """
    starts = _starts(plan, cut)
    if not starts:
        return replace(plan, segments=())
    last, segment = starts[-1]
    end = cut.length_ms if cut.length_ms > last else last + segment.length_ms + _closing_ms(plan, segment)
    starts = _apart(starts, end)
    segments = [replace(s, start_ms=0, end_ms=starts[0][0]) for s in plan.segments[:1] if s.kind == OPENING]
    for n, (start, segment) in enumerate(starts):
        until = starts[n + 1][0] if n + 1 < len(starts) else end
        segments += _with_closing(plan, segment, start, until, starts[n + 1 :])
    return replace(plan, segments=tuple(s for s in segments if s.length_ms > 0))


def _starts(plan: Plan, cut: Cut) -> list[Start]:
    """Where each placed step begins, in the order of time."""
    placed = {p.step.place: p for p in cut.placements if p.time_ms is not None}
    steps = [(placed[s.step.place], s) for s in plan.segments if s.step is not None and s.step.place in placed]
    steps.sort(key=lambda one: (one[0].time_ms or 0, one[0].known_from != HAND))
    before = [0, *(p.time_ms or 0 for p, _ in steps)]
    return [(p.begins_ms(before[n]), segment) for n, (p, segment) in enumerate(steps)]


def _apart(starts: Sequence[Start], end: int) -> list[Start]:
    """The same, those that begin at one moment with equal parts of the time until the next: none goes without a picture."""
    found: list[Start] = []
    for start, group in itertools.groupby(starts, key=lambda one: one[0]):
        same = list(group)
        until = next((other for other, _ in starts if other > start), end)
        found += [(start + (until - start) * n // len(same), segment) for n, (_, segment) in enumerate(same)]
    return found


def _closing_ms(plan: Plan, segment: Segment) -> int:
    """How long is planned for what closes the dish, and the meal."""
    return sum(s.length_ms for s in plan.segments if s.kind == MEAL_CLOSING or _closes(s, segment))


def _closes(closing: Segment, segment: Segment) -> bool:
    return closing.kind == CLOSING and closing.dish is segment.dish


def _with_closing(plan: Plan, segment: Segment, start: int, until: int, later: Sequence[Start]) -> list[Segment]:
    """The step's segment, and after it what closes its dish, or the meal, where it is the last."""
    closing = [] if any(s.dish is segment.dish for _, s in later) else [s for s in plan.segments if _closes(s, segment)]
    closing += [] if later else [s for s in plan.segments if s.kind == MEAL_CLOSING]
    room = until - start
    wanted = sum(s.length_ms for s in closing)
    scale = min(1.0, max(room - segment.length_ms, room * _LEAST_CLOSING) / wanted) if wanted else 0.0
    now = until - round(wanted * scale)
    found = [replace(segment, start_ms=start, end_ms=now)]
    for n, one in enumerate(closing):
        end = until if n == len(closing) - 1 else now + round(one.length_ms * scale)
        found.append(replace(one, start_ms=now, end_ms=end))
        now = end
    return found


def without_picture(planned: Plan, in_cut: Plan) -> list[Problem]:
    """A problem for each planned step that has no time of its own on the cut, and for what closes a dish or the meal."""
    there = {s.step.place for s in in_cut.segments if s.step is not None}
    closed = {(s.kind, s.dish.place if s.dish else None) for s in in_cut.segments}
    cards = [
        warning(
            s.dish.place if s.dish else (planned.meal or planned.dishes[0]).place,
            "card-no-time",
            f"the figures of {s.dish.name if s.dish else 'the whole plate'} get no time in the cut: no step of it is found there",
            "write the time of its last step in a cut file: `scriptkit coverage --help`",
        )
        for s in planned.segments
        if s.kind in (CLOSING, MEAL_CLOSING) and (s.kind, s.dish.place if s.dish else None) not in closed
    ]
    return cards + [
        warning(
            s.step.place,
            "step-not-placed",
            f"step {s.step.number} ({s.step.id}) of {s.dish.name} gets no time in the cut: nothing of it is shown",
            "write its time in a cut file: `scriptkit coverage --help`",
        )
        for s in planned.segments
        if s.step is not None and s.dish is not None and s.step.place not in there
    ]
