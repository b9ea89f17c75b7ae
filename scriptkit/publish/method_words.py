"""A step of the method as it is published: on the card, in the description and in linked data."""

from __future__ import annotations

import re

from scriptkit.measure.durations import format_duration
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale
from scriptkit.recipe.dish import Step


def heat_words(step: Step) -> str:
    """``medium heat``, ``oven 180 °C``; empty where the heat is not written, or off."""
    heat = step.reading.heat
    return in_scale(heat.shown, step.units) if heat.on and heat.written else ""


def method_words(step: Step) -> str:
    """What is done, with the heat, the temperature inside and how long the food takes, where the words do not say it themselves."""
    do, inside = _with_both_scales(step.do.strip(), step)
    heat = heat_words(step)
    wait = format_duration(step.wait_ms) if step.wait_ms and step.wait_ms not in step.reading.times_ms else ""
    said = ", ".join(one for one in ("" if heat.casefold() in do.casefold() else heat, inside, wait) if one)
    if not said:
        return do
    return f"{do[:-1]} ({said})." if do.endswith(".") else f"{do} ({said})"


def _with_both_scales(do: str, step: Step) -> tuple[str, str]:
    """The words with the temperature inside in both scales where they say it in one; and what stands behind them where they do not
    say it at all."""
    if step.core_c is None:
        return do, ""
    both = in_scale(format_temperature(step.core_c), step.units)
    figures = re.findall(r"[\d.]+ °[CF]", both)
    said = [re.search(rf"\b{figure.replace(' ', ' ?')}", do) for figure in figures]
    if all(said):
        return do, ""
    for found in said:
        if found:
            return do[: found.start()] + both + do[found.end() :], ""
    return do, f"{both} inside"
