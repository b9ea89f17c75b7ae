"""Where the overlay would tell of each addition that is not on camera."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.rescue import overlay_text
from scriptkit.problems import Place
from scriptkit.timed_text.cue import Cue

Compose = Callable[[frozenset[Place]], Sequence[Cue]]
"""The cues of the overlay where the additions at these places are told as not filmed."""


def rescue_cues(coverage: Coverage, compose: Compose) -> Mapping[Place, Cue]:
    """By the addition's place in the recipe: the cue that says it is in the pan too, composed with everything else that the
    overlay says, so no cue runs into another, and each can be read twice; none before anything is shot."""
    gaps = coverage.gaps
    if not gaps or all(row.still_to_shoot and not row.begun for row in gaps) or coverage.other_video:
        return {}
    cues = compose(frozenset(row.addition.place for row in gaps))
    found: dict[Place, Cue] = {}
    for row in gaps:
        cue = next((c for c in _saying(overlay_text(row), cues) if c not in found.values()), None)
        if cue is not None:
            found[row.addition.place] = cue
    return found


def _saying(text: str, cues: Sequence[Cue]) -> Iterator[Cue]:
    """What says the text, as one cue where it takes several."""
    for first, cue in enumerate(cues):
        lines, last = cue.lines, first
        while (said := " ".join(lines)) != text and text.startswith(f"{said} ") and last + 1 < len(cues):
            last += 1
            lines += cues[last].lines
        if said == text:
            yield replace(cue, end_ms=cues[last].end_ms, lines=lines)
