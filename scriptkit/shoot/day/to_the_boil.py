"""How long it takes to bring what goes into a pot to the boil, where the file gives no time: an estimate from its mass and the heat."""

from __future__ import annotations

from scriptkit.english.heat import HOB
from scriptkit.english.simmering import brings_to_the_boil, is_called_hot, is_poured_in_hot
from scriptkit.recipe.dish import Step

WATER_KJ = 4.19
"""To warm 1 kg of water by 1 °C (its specific heat, from memory); what else is in the pot takes less, so that the estimate is rather long."""
FROM_C, TO_C = 15.0, 100.0
"""From the tap to the boil."""
INTO_THE_POT_KW = {"high": 0.75, "medium-high": 0.65, "medium": 0.5, "medium-low": 0.4, "low": 0.3}
"""What of a ring's heat the pot takes: half of 1.5 kW on high, and less lower down (an assumption; common practice, no source)."""
USUAL_LEVEL = "high"
LEAST_G = 200.0
"""Less is at the boil before the hands are done (common practice, no source)."""
_MINUTE_MS = 60_000


def boil_ms(step: Step) -> int:
    """About how long what goes in takes to the boil on the hob, in whole minutes; 0 where the words bring nothing to the boil, where they
    or the file give a time, and where it is hot already or too little to tell."""
    reading = step.reading
    if step.wait_ms is not None or reading.own_time_ms or reading.stands_ms or not reading.cooks:
        return 0
    if reading.heat.source != HOB or not brings_to_the_boil(reading.said):
        return 0
    foods = (f"{a.ingredient.name} {a.ingredient.prep}" for a in step.additions)
    if is_poured_in_hot(reading.said) or any(map(is_called_hot, foods)):
        return 0
    grams = sum(a.grams or 0.0 for a in step.additions)
    if grams < LEAST_G:
        return 0
    kilowatts = INTO_THE_POT_KW.get(reading.heat.level, INTO_THE_POT_KW[USUAL_LEVEL])
    seconds = grams / 1000 * WATER_KJ * (TO_C - FROM_C) / kilowatts
    return max(round(seconds / 60), 1) * _MINUTE_MS


def boil_wait_ms(step: Step) -> int:
    """What of that is left when the hands of the step are free: it warms while they are at it."""
    return max(boil_ms(step) - (step.hands_ms or 0), 0)
