"""Where the steps stand in the cut."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from scriptkit.problems import Place, Problem
from scriptkit.recipe.dish import Dish, Step

HAND, MARKER, TAKE, VOICE, TRANSCRIPT = "hand", "marker", "take", "voice", "transcript"
"""What a placement is known from, the surest first."""
FRAMES_MS = 120
"""A step begins so much before its first word (three frames; common practice, no source)."""
_LEAD_MS = 2_000
"""What is heard is a moment inside its step; the picture begins about so much earlier (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A step of a dish in the cut. ``time_ms`` is a moment inside the step, from a person or a marker the one at which it begins, and
    None where it could not be placed; ``start_ms`` where it most likely begins, None where nothing tells; ``confidence``: of placements that are as sure, the share
    (0 to 1) in which the step is on screen within 5 s."""

    dish: Dish = field(hash=False)
    """It and the step take long to hash, and placements are told apart without them."""
    step: Step = field(hash=False)
    time_ms: int | None
    confidence: float
    known_from: str = TRANSCRIPT
    start_ms: int | None = None
    elsewhere_ms: int | None = None
    """Where it seems to be spoken of instead, before a step that it comes after or after one that it comes before."""

    @property
    def is_left_out(self) -> bool:
        """Whether a person says that it is not in the cut."""
        return self.time_ms is None and self.known_from == HAND

    def begins_ms(self, not_before_ms: int = 0) -> int:
        """Where its picture begins: at the moment that a person or a marker gives, and a little before one that is heard, but not before
        the moment of the step before it. The same for captions, clips, markers and chapters."""
        at = self.time_ms or 0
        early = _LEAD_MS if self.known_from in {VOICE, TRANSCRIPT} else 0
        start = at - early if self.start_ms is None else self.start_ms
        return min(max(start, not_before_ms), max(at, not_before_ms))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The placements of all steps of a dish or meal, in the order in which the recipe cooks them. ``length_ms`` is the
    cut's, 0 where it is not known; ``confidence`` is that of the whole: low where the transcript is of another video."""

    title: str
    length_ms: int
    placements: tuple[Placement, ...]
    confidence: float
    problems: tuple[Problem, ...] = ()
    """What a person must be told of how the steps were placed."""
    additions: Mapping[Place, int] = field(default_factory=dict, compare=False)
    """When the circled take of an addition is on screen, in ms, by the addition's place: where the log and the editor's cut tell."""
    written_at: Mapping[Place, Place] = field(default_factory=dict, compare=False)
    """Where a cut file tells the time of a step, by the step's place."""

    @property
    def begins_ms(self) -> dict[Place, int]:
        """Where each step that is placed begins, by the step's place, none before the moment of the one before it."""
        found, before = {}, 0
        for p in self.in_time:
            if p.time_ms is not None:
                found[p.step.place] = p.begins_ms(before)
                before = p.time_ms
        return found

    @property
    def in_time(self) -> tuple[Placement, ...]:
        """The placements in the order in which the cut shows the steps; those that are not placed last, as planned."""
        return tuple(sorted(self.placements, key=lambda p: (p.time_ms is None, p.time_ms or 0)))

    @property
    def order_words(self) -> str:
        """The order of the steps that are placed, by their numbers: ``bisque 1–3, hake 1–2, bisque 4–8``; of one dish without
        its name."""
        runs: list[tuple[Dish, list[tuple[int, int]]]] = []
        for p in self.in_time:
            if p.time_ms is None:
                continue
            if not runs or runs[-1][0] is not p.dish:
                runs.append((p.dish, []))
            ranges = runs[-1][1]
            if ranges and p.step.number == ranges[-1][1] + 1:
                ranges[-1] = (ranges[-1][0], p.step.number)
            else:
                ranges.append((p.step.number, p.step.number))
        several = len({p.dish.name for p in self.placements}) > 1
        return ", ".join(
            (f"{dish.short} " if several else "") + ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in ranges)
            for dish, ranges in runs
        )
