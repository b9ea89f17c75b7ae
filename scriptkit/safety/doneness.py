"""Doneness: a core temperature as the cook states it, the published minimum beside it, and when to take it off the heat."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.data_files import Shape, made_of_entries
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.temperatures import celsius_to_fahrenheit, fahrenheit_to_celsius, format_temperature
from scriptkit.measure.unit_system import US, in_scale
from scriptkit.measure.words import number_words
from scriptkit.pantry.kinds_by_name import raw_class_of
from scriptkit.recipe.dish import Ingredient, Step

USUAL_MM = 30.0
"""Where nothing says how thick it is: a chop or a fillet (common practice, no source)."""
_DRY_HEAT = frozenset(("sear", "fry", "roast", "bake", "grill", "deep-fry"))
"""What lies in liquid goes on cooking in it, and is not pulled."""
_RESTS = frozenset(("whole-cut", "poultry", "fish"))
_NEAR_C = 0.5
"""145 °F is 62.8 °C: the figures of a chart are rounded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doneness:
    """The stated ``target_c`` of a step beside the published ``minimum_c``. ``pull_c``: from and to which temperature it is
    taken off the heat, so that it rises to the target; None where it is not taken off to rest, or may not be taken off
    before the target is read."""

    target_c: float
    minimum_c: float
    rest_min: float | None
    pull_c: tuple[float, float] | None
    rise_c: tuple[int, int] | None
    units: str = ""
    """What leads in its words."""

    @property
    def below(self) -> bool:
        """Below the published minimum: the cook's choice."""
        return self.target_c < self.minimum_c - _NEAR_C

    @property
    def at_minimum(self) -> bool:
        """Less than 0.5 °C from the published minimum, which is as good as at it."""
        return abs(self.target_c - self.minimum_c) < _NEAR_C

    @property
    def _target(self) -> str:
        return self._degrees(self.target_c)

    def _degrees(self, low: float, high: float | None = None) -> str:
        """One temperature, or from one to another, in the scale that leads; of Fahrenheit Celsius stands in brackets."""
        celsius = _range((low, low if high is None else high))
        if self.units != US:
            return f"{celsius} °C"
        there = _range((celsius_to_fahrenheit(low), celsius_to_fahrenheit(low if high is None else high)))
        return f"{there} °F ({celsius} °C)"

    def _bare(self, low: float, high: float | None = None) -> str:
        """The same without brackets."""
        return self._degrees(low, high).partition(" (")[0]

    def line(self) -> str:
        """For the overlay, at most 42 characters."""
        pull = f"off at {self._bare(*self.pull_c)}" if self.pull_c else ""
        if self.below:
            return (
                f"Cook's choice {self._bare(self.target_c)}: {pull}" if pull else f"Cook's choice {self._target} inside"
            )
        if pull:
            return f"{_capital(pull)}, rests to {self._target}"
        return in_scale(f"Inside: {format_temperature(self.target_c)}", self.units)

    def printed(self) -> str:
        """Sentences for the papers, beside the published minimum."""
        out = []
        if self.below:
            chosen = f"This step takes it to {format_temperature(self.target_c)}, the cook's choice; {format_temperature(self.minimum_c)} is published."
            out.append(in_scale(chosen, self.units))
        if self.pull_c and self.rise_c:
            out.append(
                f"For {self._target} take it off the heat at {self._degrees(*self.pull_c)}: it rises {self._rise} "
                "while it rests, more the thicker it is (common practice, no source)."
            )
        elif self.rise_c:
            out.append(
                f"Take it off the heat at {self._target} and not before: the published minimum is read before the rest, in "
                f"which it rises another {self._rise} (common practice, no source)."
            )
        return " ".join(out)

    @property
    def _rise(self) -> str:
        span = self.rise_c or (0, 0)
        return f"{_range(_in_fahrenheit(span))} °F" if self.units == US else f"{_range(span)} °C"

    def spoken(self) -> str:
        """What is said in place of the rule's line, where the cook's figure is another; else nothing."""
        said = self._said
        off = said(*self.pull_c) if self.pull_c else ""
        also = "" if self.units == US else f", {_said(self.minimum_c * 9 / 5 + 32)} Fahrenheit"
        if off and not self.below:
            return (
                f"I take it off at {off} degrees inside, and it rests to {said(self.target_c)}. "
                f"The published minimum is {said(self.minimum_c)}{also}."
            )
        if not self.below:
            return ""
        pull = f" I take it off at {off}." if off else ""
        return (
            f"{_capital(said(self.target_c))} degrees inside is my choice; the published minimum is {said(self.minimum_c)}"
            f"{also}.{pull}"
        )

    def _said(self, *ends_c: float) -> str:
        """A temperature, or from and to, in the scale that leads."""
        ends = [end * 9 / 5 + 32 if self.units == US else end for end in ends_c]
        return " to ".join(dict.fromkeys(_said(end) for end in ends))


def doneness_of(
    step: Step, foods: Sequence[Ingredient], minimum_c: float, rest_min: float | None = None
) -> Doneness | None:
    """The step's stated doneness for these foods; None where it states none.

    A published minimum is read *before* food leaves the heat (FoodSafety.gov chart, 2019), so a target that keeps it is never
    undercut by pulling early; below it, the cook has chosen.
    """
    if step.core_c is None:
        return None
    rests = step.reading.method in _DRY_HEAT and any(raw_class_of(i.food) in _RESTS for i in foods)
    rise = rise_of(foods) if rests else None
    pull = None
    if rise is not None:
        pull = _pull(step.core_c, minimum_c, rise, step.units)
    return Doneness(
        target_c=step.core_c, minimum_c=minimum_c, rest_min=rest_min, pull_c=pull, rise_c=rise, units=step.units
    )


def _pull(core_c: float, minimum_c: float, rise_c: tuple[int, int], units: str) -> tuple[float, float] | None:
    """Between what it is taken off the heat, in Celsius. It is counted in whole degrees of the scale that leads, so that what is printed adds up."""
    fahrenheit = units == US
    core, minimum = (celsius_to_fahrenheit(c) if fahrenheit else c for c in (core_c, minimum_c))
    least, most = _in_fahrenheit(rise_c) if fahrenheit else rise_c
    target = round_half_up(core)
    floor = round_half_up(minimum) if core_c >= minimum_c - _NEAR_C else target - most
    low, high = max(target - most, floor), max(target - least, floor)
    if high >= target:
        return None
    return (fahrenheit_to_celsius(low), fahrenheit_to_celsius(high)) if fahrenheit else (low, high)


def _in_fahrenheit(rise_c: tuple[int, int]) -> tuple[int, int]:
    return round_half_up(rise_c[0] * 9 / 5), round_half_up(rise_c[1] * 9 / 5)


@functools.cache
def _bands() -> tuple[tuple[float | None, tuple[int, int]], ...]:
    shape = Shape(required=frozenset({"up_to_mm", "rise_c"}))
    return tuple(made_of_entries("scriptkit.safety", "doneness.yaml", shape, _band))


def _band(row: dict[str, Any]) -> tuple[float | None, tuple[int, int]]:
    low, high = row["rise_c"]
    return row["up_to_mm"], (low, high)


def rise_of(foods: Sequence[Ingredient]) -> tuple[int, int]:
    """How many degrees Celsius the thickest of them rises while it rests, least and most."""
    thick = max((i.mm for i in foods if i.mm is not None), default=USUAL_MM)
    return next(rise for up_to, rise in _bands() if up_to is None or thick <= up_to)


def _range(span: tuple[float, float]) -> str:
    low, high = round_half_up(span[0]), round_half_up(span[1])
    return f"{low}–{high}" if low != high else f"{low}"


def _said(figure: float) -> str:
    return number_words(round_half_up(figure))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
