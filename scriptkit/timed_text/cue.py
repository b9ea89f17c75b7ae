"""A cue: text over the picture from one moment to another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from scriptkit.timed_text.title import Title


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """``lines`` from ``start_ms`` to ``end_ms`` of the cut. ``track`` tells what it is for: safety, addition, time,
    macros, sound, dialogue."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]
    track: str
    title: Title | None = field(default=None, compare=False)
    """The same for who draws it, figures first; None where it is only its lines."""

    @property
    def text(self) -> str:
        """Its lines, with a line feed between them."""
        return "\n".join(self.lines)


def must_be_in_order(cues: Sequence[Cue], *, overlapping: bool = False) -> None:
    """ValueError unless the cues are in order, do not overlap (where that is not allowed), and have text in every line: a
    player would drop or flash them, and a blank line ends a cue."""
    free_from = 0
    for cue in cues:
        blank = not cue.lines or any(not line.strip() for line in cue.lines)
        if cue.start_ms < free_from or cue.end_ms <= cue.start_ms or blank:
            raise ValueError(f"cue out of order, overlapping, empty or with a blank line: {cue}")
        free_from = cue.start_ms if overlapping else cue.end_ms
