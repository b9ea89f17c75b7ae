"""One pan in place of two: it is washed between what was in it and what comes next."""

from __future__ import annotations

from dataclasses import replace

from scriptkit.recipe.dish import Kitchen
from scriptkit.shoot.day.kitchen_constraints import ModelBuilder
from scriptkit.shoot.day.scheduling_model import Hold
from scriptkit.shoot.day.step_lengths import hands_ms, ticks

WASH_MS = 2 * 60_000
"""To wash and dry a pan (common practice, no source)."""


def share_one_pan(draft: ModelBuilder, one: str, other: str, kitchen: Kitchen) -> None:
    """Adds to the draft that the vessels of these two names are one and the same: it is emptied and washed before it is used for the
    other's food."""
    first, second = ([h for h in draft.holds if h.resource == f"vessel {key.casefold()}"] for key in (one, other))
    for n, (a, b) in enumerate((a, b) for a in first for b in second):
        if a.last == b.first or b.last == a.first:
            continue  # the food goes straight from the one into the other: it stays where it is
        pair = (replace(hold, resource=f"one pan {n}", length=_washed(draft, hold, kitchen)) for hold in (a, b))
        draft.holds += pair


def _washed(draft: ModelBuilder, hold: Hold, kitchen: Kitchen) -> int:
    """How long after its last activity begins it can be used again: the hands that empty it are done, and it is washed."""
    if hold.last > len(draft.steps):
        return hold.length  # nobody needs it after the serving
    emptied = 0 if hold.length else ticks(hands_ms(draft.steps[hold.last - 1][1], kitchen))
    return hold.length + emptied + ticks(WASH_MS)
