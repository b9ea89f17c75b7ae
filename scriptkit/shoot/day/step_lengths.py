"""How long a step takes, in half minutes: the hands, what filming adds, and the food's own time."""

from __future__ import annotations

import math

from scriptkit.recipe.dish import Kitchen, Step
from scriptkit.shoot.day.to_the_boil import boil_wait_ms

TICK_MS = 30_000
"""The schedule counts in half minutes; what lasts longer by a part of one gets the whole."""
UNSTATED_MS = 60_000
"""Hands time of a step that states none (common practice, no source)."""


def ticks(ms: int) -> int:
    """Half minutes, rounded up."""
    return math.ceil(ms / TICK_MS)


def hands_ms(step: Step, kitchen: Kitchen) -> int:
    """Hands time with what filming adds to it."""
    if step.hands_ms is not None:
        stated = step.hands_ms
    else:
        stated = 0 if step.wait_ms else step.reading.tended_ms or (0 if step.reading.stands_ms else UNSTATED_MS)
    return stated + kitchen.filming_ms * len(step.additions)


def wait_ms(step: Step) -> int:
    """The food's own time after the hands: as `wait:` says, else as the words do (*let it cool 5 to 10 minutes*: 5; *bake for 40
    minutes*: 40), less what `hands:` has of it; 0 where neither does."""
    if step.wait_ms is not None:
        return step.wait_ms
    said = step.reading.stands_ms
    if said:
        return 0 if step.reading.stands_first else said[0]
    return max(step.reading.own_time_ms - (step.hands_ms or 0), 0)


def first_wait_ms(step: Step) -> int:
    """The food's own time before the hands, which no `wait:` states: of *let it cool 5 to 10 minutes, then blend* 5 minutes."""
    said = step.reading.stands_ms
    return said[0] if said and step.wait_ms is None and step.reading.stands_first else 0


def length_of(step: Step, kitchen: Kitchen) -> int:
    """Half minutes of a step: hands, filming, and the food's own time; where none is given, about how long it takes to the boil."""
    return ticks(hands_ms(step, kitchen)) + ticks(wait_ms(step) or boil_wait_ms(step))
