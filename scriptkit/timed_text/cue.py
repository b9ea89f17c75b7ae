"""A cue: text over the picture from one moment to another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """``lines`` from ``start_ms`` to ``end_ms`` of the cut. ``track`` tells what it is for: safety, addition, time, macros."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]
    track: str

    @property
    def text(self) -> str:
        return "\n".join(self.lines)


def must_be_in_order(cues: Sequence[Cue]) -> None:
    """ValueError unless the cues are in order, do not overlap, and have text in every line: a player would drop or flash
    them, and a blank line ends a cue."""
    end = 0
    for cue in cues:
        blank = not cue.lines or any(not line.strip() for line in cue.lines)
        if cue.start_ms < end or cue.end_ms <= cue.start_ms or blank:
            raise ValueError(f"cue out of order, overlapping, empty or with a blank line: {cue}")
        end = cue.end_ms
