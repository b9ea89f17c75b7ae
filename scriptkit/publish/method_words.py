"""A step of the method as it is published: on the card, in the description and in linked data."""

from __future__ import annotations

from scriptkit.measure.durations import format_duration
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale
from scriptkit.recipe.dish import Step


def heat_words(step: Step) -> str:
    """``medium heat``, ``oven 180 °C``; empty where the heat is not written, or off."""
    heat = step.reading.heat
    return in_scale(heat.shown, step.units) if heat.on and heat.written else ""


def method_words(step: Step) -> str:
    """What is done, with the heat, the temperature inside and how long the food takes."""
    more = [heat_words(step)]
    more.append(in_scale(f"{format_temperature(step.core_c)} inside", step.units) if step.core_c is not None else "")
    more.append(format_duration(step.wait_ms) if step.wait_ms else "")
    said = ", ".join(one for one in more if one)
    do = step.do.strip()
    if not said:
        return do
    return f"{do[:-1]} ({said})." if do.endswith(".") else f"{do} ({said})"
