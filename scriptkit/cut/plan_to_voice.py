"""The planned cut made to a recorded voice: measured seconds in place of planned ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scriptkit.cut.placement import VOICE, Cut, Placement
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.plan import Plan, Segment

Span = tuple[int, int]


def plan_to_voice(plan: Plan, spans: Sequence[Span | None], length_ms: int) -> Plan:
    """The plan's segments at the times of the voice, in the order in which their lines are read. ``spans``: when the line of each segment
    begins and ends, in ms; None for one without a line, or whose line is not read: it gets a share of the pause before the next line,
    by its planned length. What comes after the last line goes on as planned."""
    order = _order(spans)
    if not order or all(s is None for s in spans):
        return plan
    blocks: list[list[int]] = []
    for n in order:
        if not blocks or spans[n] is not None:
            blocks.append([])
        blocks[-1].append(n)
    starts = [0, *((spans[block[0]] or (0, 0))[0] for block in blocks[1:])]
    segments: list[Segment] = []
    for at, block in enumerate(blocks):
        last = at == len(blocks) - 1
        planned = sum(plan.segments[n].length_ms for n in block[1:])
        until = starts[at + 1] if not last else max(length_ms, (spans[block[0]] or (0, 0))[1] + planned)
        segments += _in_block(plan, block, spans, starts[at], until)
    kept = [s for s in segments if s.length_ms > 0]
    return replace(plan, segments=tuple(replace(s, scene=n) for n, s in enumerate(kept, 1)))


def _order(spans: Sequence[Span | None]) -> list[int]:
    """The numbers of the segments by when they are read; one without a line stays after the one before it."""
    now, keys = 0, []
    for n, span in enumerate(spans):
        now = span[0] if span is not None else now
        keys.append((now, n))
    return [n for _, n in sorted(keys)]


def _in_block(plan: Plan, block: Sequence[int], spans: Sequence[Span | None], start: int, until: int) -> list[Segment]:
    """One line's segment and those without a line after it, up to where the next line begins."""
    first = plan.segments[block[0]]
    span = spans[block[0]]
    spoken = None if span is None else span[1] - span[0]
    silent = [plan.segments[n] for n in block[1:]]
    planned = sum(s.length_ms for s in silent)
    room = until - start
    pause = max(0, until - span[1]) if span is not None else room - first.length_ms
    share = min(planned, max(pause, room * planned // max(1, planned + first.length_ms) // 2)) if planned else 0
    now = until - share
    found = [replace(first, start_ms=start, end_ms=now, spoken_ms=spoken)]
    for n, segment in enumerate(silent):
        end = until if n == len(silent) - 1 else now + share * segment.length_ms // planned
        found.append(replace(segment, start_ms=now, end_ms=end))
        now = end
    return found


def cut_to_voice(source: Dish | Meal, plan: Plan, length_ms: int) -> Cut:
    """Where each step begins by the voice, with full confidence: its line is heard there."""
    begins = {s.step.place: s.start_ms for s in plan.segments if s.step is not None}
    placements = [
        Placement(
            dish=dish,
            step=step,
            time_ms=begins.get(step.place),
            start_ms=begins.get(step.place),
            confidence=1.0 if step.place in begins else 0.0,
            known_from=VOICE,
        )
        for dish in dishes_of_the_day(source)
        for step in dish.in_shoot_order
    ]
    return Cut(
        title=source.name, length_ms=max(length_ms, plan.length_ms), placements=tuple(placements), confidence=1.0
    )
