"""Oven and core temperatures, held in degrees Celsius."""

from __future__ import annotations

import re

_TEMPERATURE = re.compile(
    r"^(-?\d{1,4}(?:\.\d{1,2})?)\s*(?:°\s*|deg(?:rees)?\s*)?(c|f|celsius|fahrenheit)$", re.IGNORECASE
)


class NotATemperature(ValueError):
    """A temperature that cannot be understood; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def parse_temperature(text: str) -> float:
    """Degrees Celsius of ``63 °C``, ``63 C``, ``145 °F``.

    >>> parse_temperature("212 °F")
    100.0

    Raises NotATemperature where the scale is missing (63 of what?) or the figure lies outside -50 to 600 °C.
    """
    found = _TEMPERATURE.match(text.strip())
    if not found:
        bare = re.fullmatch(r"(\d{1,3})(?:\s*(?:°|deg(?:ree)?s?))?", text.strip(), re.IGNORECASE)
        hint = (
            f"write the scale too: `{bare[1]} °C` or `{bare[1]} °F`"
            if bare
            else "write the scale too, such as 63 °C or 145 °F"
        )
        raise NotATemperature(f"“{text}” is not a temperature", hint)
    value = float(found.group(1))
    celsius = value if found.group(2)[0] in "cC" else fahrenheit_to_celsius(value)
    if not -50 <= celsius <= 600:
        raise NotATemperature(f"“{text}” is hotter or colder than any kitchen gets", "check the figure and the scale")
    return celsius


def fahrenheit_to_celsius(fahrenheit: float) -> float:
    """Exact, not rounded: 32 °F is 0 °C, and 9 °F are 5 °C."""
    return (fahrenheit - 32) * 5 / 9


def celsius_to_fahrenheit(celsius: float) -> float:
    """Exact, not rounded: 0 °C is 32 °F, and 5 °C are 9 °F."""
    return celsius * 9 / 5 + 32


def format_temperature(celsius: float) -> str:
    """Both scales, whole degrees: ``63 °C (145 °F)``."""
    return f"{celsius:.0f} °C ({celsius_to_fahrenheit(celsius):.0f} °F)"
