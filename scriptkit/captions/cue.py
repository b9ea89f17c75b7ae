"""A cue: text over the picture from one moment to another."""

from __future__ import annotations

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
