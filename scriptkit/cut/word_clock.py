"""The word clock of the cut: when each addition is heard, and when the figures of each dish and of the plate are said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from scriptkit.cut.placement import Cut
from scriptkit.english.pan_juices import juices_named_at
from scriptkit.problems import Place

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.spoken_additions import SpokenAddition
    from scriptkit.cut.coverage.statuses import AdditionStatus
    from scriptkit.cut.transcript.transcript import Transcript

ONE_TELLING_MS = 20_000
"""Figures of one food within such a time are one telling of them (common sense, no source)."""

FIRST_WORD_MS, EARLIER_MS = 2_000, 10_000
"""A step begins so much before the first of its additions is named, which moves its beginning by so much at most (common sense, no
source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WordClock:
    """Milliseconds of the cut. ``additions``: by the addition's place in the recipe; ``figures``: by the dish's file, and by ``""`` for
    the whole plate. What is not heard is not in it."""

    additions: dict[Place, int] = field(default_factory=dict)
    figures: dict[str, int] = field(default_factory=dict)
    cores: dict[Place, int] = field(default_factory=dict)
    """By the step's place in the recipe, when the temperature inside the food is said."""
    not_there: dict[Place, tuple[int, str, str]] = field(default_factory=dict)
    """Additions that are said not to be in the dish, by their place: when that is said, what becomes of them (``left out``, ``later``,
    ``instead``), and what went in instead where that is said. They are not shown as going in."""
    juices: dict[Place, int] = field(default_factory=dict)
    """By the step's place, when the juices that it takes over are named."""


SILENT = WordClock()
"""Where nobody has listened."""


def word_clock_of(rows: Sequence[AdditionStatus], claims: Sequence[Claim]) -> WordClock:
    """Of the additions that are named about where their step stands, and of the figures that are a serving's or the plate's."""
    return WordClock(
        additions={
            row.addition.place: row.spoken_ms
            for row in rows
            if row.spoken_ms is not None and row.named_there and row.in_cut
        },
        figures=_figures(claims),
        cores=_cores(claims),
        not_there={
            row.addition.place: (row.told_ms, row.said, row.stand_in)
            for row in rows
            if row.not_there and row.told_ms is not None
        },
    )


def juices_heard(cut: Cut, transcript: Transcript) -> dict[Place, int]:
    """For each step of the cut that takes juices over, when they are first named while it is on."""
    found: dict[Place, int] = {}
    at_ms = cut.begins_ms
    placed = [p for p in cut.in_time if p.time_ms is not None]
    for n, one in enumerate(placed):
        if not any(t.juices for t in one.step.takes):
            continue
        begins = at_ms[one.step.place] - FIRST_WORD_MS
        ends = at_ms[placed[n + 1].step.place] if n + 1 < len(placed) else None
        for line in transcript.lines:
            at = juices_named_at(line.text)
            said = None if at is None else round(line.start_ms + (line.end_ms - line.start_ms) * at)
            if said is not None and begins <= said and (ends is None or said < ends):
                found.setdefault(one.step.place, said)
    return found


def _cores(claims: Sequence[Claim]) -> dict[Place, int]:
    """Of each step where the temperature inside the food is first said as the recipe has it."""
    said: dict[Place, int] = {}
    for claim in claims:
        if (
            claim.kind == "temperature"
            and claim.agrees
            and claim.step is not None
            and claim.subject.startswith("the core ")
        ):
            said[claim.step.place] = min(claim.time_ms, said.get(claim.step.place, claim.time_ms))
    return said


def _figures(claims: Sequence[Claim]) -> dict[str, int]:
    """Where the most figures of a food are told together; the first such place."""
    said: dict[str, list[int]] = {}
    for claim in claims:
        if claim.kind == "macros" and claim.agrees:
            if claim.dish is not None and "100 g of" not in claim.recipe and "whole batch" not in claim.recipe:
                said.setdefault(claim.dish.file, []).append(claim.time_ms)
            elif claim.dish is None and claim.recipe.startswith("the whole plate"):
                said.setdefault("", []).append(claim.time_ms)
    return {
        food: max(times, key=lambda t: (sum(t <= other <= t + ONE_TELLING_MS for other in times), -t))
        for food, times in said.items()
    }


def from_their_words(cut: Cut, heard: Sequence[SpokenAddition]) -> Cut:
    """The cut, with the beginnings of steps that are placed by what is said moved forward to where the first of their additions is
    named, if that is after the moment of the step before."""
    from scriptkit.cut.placing.mention_matcher import EXACT, MEANT

    named: dict[Place, list[int]] = {}
    for one in heard:
        if one.time_ms is not None and one.how in (EXACT, MEANT):
            named.setdefault(one.step.place, []).append(one.time_ms)
    begins: dict[Place, int] = {}
    before = 0
    for p in cut.in_time:
        if p.time_ms is None:
            break
        if p.start_ms is not None:
            words = [w for w in named.get(p.step.place, ()) if max(before, p.start_ms - EARLIER_MS) < w < p.start_ms]
            begins[p.step.place] = max(before, min(words) - FIRST_WORD_MS) if words else p.start_ms
        before = p.time_ms
    return replace(
        cut, placements=tuple(replace(p, start_ms=begins.get(p.step.place, p.start_ms)) for p in cut.placements)
    )
