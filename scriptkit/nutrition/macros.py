"""Macros of some food: figures that add and scale, and remember what is not known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from scriptkit.pantry.food import NUTRIENTS, Composition

PRINTED = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "polyols_g", "net_carbs_g", "alcohol_g")
"""The figures of a macro table, in order; the rest of ``NUTRIENTS`` stands on the card."""


@dataclass(frozen=True, slots=True)
class Macros:
    """``weight_g`` grams of food. ``known`` holds the sum of what is known of each nutrient; a nutrient in ``unknown``
    lacks at least one part, so its sum is a lower bound and :meth:`figure` gives None for it."""

    weight_g: float = 0.0
    known: tuple[float, ...] = (0.0,) * len(NUTRIENTS)
    unknown: frozenset[str] = field(default_factory=frozenset)

    def figure(self, nutrient: str) -> float | None:
        """Grams, milligrams or kcal as the name says; None where any part of it is unknown."""
        return None if nutrient in self.unknown else self.at_least(nutrient)

    def at_least(self, nutrient: str) -> float:
        """The sum of the known parts."""
        return self.known[NUTRIENTS.index(nutrient)]

    def with_figure(self, nutrient: str, figure: float | None) -> Macros:
        """The same with another figure for one nutrient; None makes it unknown."""
        at = NUTRIENTS.index(nutrient)
        known = (*self.known[:at], figure or 0.0, *self.known[at + 1 :])
        return Macros(self.weight_g, known, self.unknown - {nutrient} | ({nutrient} if figure is None else set()))

    def __add__(self, other: Macros) -> Macros:
        return Macros(
            self.weight_g + other.weight_g,
            tuple(a + b for a, b in zip(self.known, other.known, strict=True)),
            self.unknown | other.unknown,
        )

    def times(self, factor: float) -> Macros:
        """``factor`` times as much of the same food; of nothing, everything is known to be zero."""
        if factor == 0:
            return Macros()
        return Macros(self.weight_g * factor, tuple(k * factor for k in self.known), self.unknown)

    def weighing(self, grams: float) -> Macros:
        """``grams`` of the same food. Raises ZeroDivisionError where the food weighs nothing."""
        return self.times(grams / self.weight_g)


def macros_of(composition: Composition, grams: float) -> Macros:
    """Macros of ``grams`` of the edible part."""
    figures = [getattr(composition, n) for n in NUTRIENTS]
    return Macros(
        grams,
        tuple((f or 0.0) * grams / 100 for f in figures),
        frozenset(n for n, f in zip(NUTRIENTS, figures, strict=True) if f is None) if grams else frozenset(),
    )


def total(parts: Iterable[Macros]) -> Macros:
    return sum(parts, Macros())
