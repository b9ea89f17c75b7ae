"""Macros of some food: figures that add and scale, and remember what is not known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from scriptkit.nutrition.intervals import BOUNDED, Parts, intervals
from scriptkit.pantry.food import NUTRIENTS, Composition

PRINTED = (
    "energy_kcal",
    "fat_g",
    "protein_g",
    "carbohydrate_g",
    "fibre_g",
    "deducted_sweeteners_g",
    "net_carbs_g",
    "alcohol_g",
)
"""The figures of a macro table, in order; the rest of ``NUTRIENTS`` stands on the card."""


MEDICAL = "Arithmetic, not medical advice: a medical diet is supervised by a doctor or a dietitian."
"""Stands wherever ratios do."""

SPREAD_SEEN_G = 0.05
"""Tables that differ by less agree: the printed figure is no finer."""


def words_of_macro(nutrient: str) -> str:
    """``net carbs`` of ``net_carbs_g``, for a sentence."""
    name = nutrient.rsplit("_", 1)[0].replace("_", " ")
    return {"saturated": "saturated fat"}.get(name, name)


@dataclass(frozen=True, slots=True)
class Macros:
    """``weight_g`` grams of food. ``known`` holds the sum of what is known of each nutrient; a nutrient in ``unknown``
    lacks at least one part, so its sum is a lower bound and :meth:`figure` gives None for it. ``net_low_g`` and
    ``net_high_g`` bound the known net carbs where good tables disagree about a food."""

    weight_g: float = 0.0
    known: tuple[float, ...] = (0.0,) * len(NUTRIENTS)
    unknown: frozenset[str] = field(default_factory=frozenset)
    net_low_g: float = 0.0
    net_high_g: float = 0.0
    parts: Parts = field(default=(), compare=False, repr=False)
    """What is not sure of it, by part."""

    def figure(self, nutrient: str) -> float | None:
        """Grams, milligrams or kcal as the name says; None where any part of it is unknown. Raises KeyError as :meth:`at_least`."""
        return None if nutrient in self.unknown else self.at_least(nutrient)

    def at_least(self, nutrient: str) -> float:
        """The sum of the known parts, in the unit that ends the name. Raises KeyError, with the names that there are, for another."""
        if nutrient not in NUTRIENTS:
            raise KeyError(f"there is no “{nutrient}”: {', '.join(NUTRIENTS)}")
        return self.known[NUTRIENTS.index(nutrient)]

    @property
    def net_spread_g(self) -> tuple[float, float] | None:
        """Least and most net carbs across the published tables; None where they agree to 0.05 g, or where it is unknown."""
        if "net_carbs_g" in self.unknown or self.net_high_g - self.net_low_g < SPREAD_SEEN_G:
            return None
        return self.net_low_g, self.net_high_g

    @property
    def ranges(self) -> dict[str, tuple[float, float]]:
        """Low and high of energy, fat, protein, carbohydrate, fibre and net carbs (90 %), in kcal and grams; worked out again each
        time. Where a part of a figure is unknown, the bounds that it must have are in it."""
        if not self.parts:
            return {n: (self.at_least(n), self.at_least(n)) for n in BOUNDED}
        return intervals(self.at_least, self.parts)

    def with_figure(self, nutrient: str, known: float, *, unknown: bool = False) -> Macros:
        """The same with another figure for one nutrient; ``unknown`` makes ``known`` a lower bound."""
        at = NUTRIENTS.index(nutrient)
        rest = self.unknown - {nutrient}
        return replace(
            self,
            known=(*self.known[:at], known, *self.known[at + 1 :]),
            unknown=rest | {nutrient} if unknown else rest,
        )

    def __add__(self, other: Macros) -> Macros:
        return Macros(
            self.weight_g + other.weight_g,
            tuple(a + b for a, b in zip(self.known, other.known, strict=True)),
            self.unknown | other.unknown,
            self.net_low_g + other.net_low_g,
            self.net_high_g + other.net_high_g,
            self.parts + other.parts,
        )

    def times(self, factor: float) -> Macros:
        """``factor`` times as much of the same food, below zero what is taken away; of nothing, everything is known to be
        zero."""
        if factor == 0:
            return Macros()
        low, high = sorted((self.net_low_g * factor, self.net_high_g * factor))
        parts = tuple((times * factor, source) for times, source in self.parts)
        return Macros(self.weight_g * factor, tuple(k * factor for k in self.known), self.unknown, low, high, parts)

    def weighing(self, grams: float) -> Macros:
        """``grams`` of the same food. Raises ZeroDivisionError where the food weighs nothing."""
        return self.times(grams / self.weight_g)


def macros_of(composition: Composition, grams: float, second_net_carbs_g: float | None = None) -> Macros:
    """Macros of ``grams`` of the edible part. ``second_net_carbs_g``: net carbs per 100 g in a second published table."""
    net = composition.net_carbs_g
    nets = [0.0] if net is None else [net, net if second_net_carbs_g is None else second_net_carbs_g]
    figures = [getattr(composition, n) for n in NUTRIENTS]
    known = dict(zip(NUTRIENTS, ((f or 0.0) for f in figures), strict=True))
    # A label without fibre still has as much carbohydrate as its net carbs; a row without fibre has the rest as fibre.
    if net is not None:
        deducted = known["deducted_sweeteners_g"]
        if composition.carbohydrate_g is None:
            known["carbohydrate_g"] = net + known["fibre_g"] + deducted
        elif composition.fibre_g is None:
            known["fibre_g"] = max(composition.carbohydrate_g - net - deducted, 0.0)
    return Macros(
        grams,
        tuple(known[n] * grams / 100 for n in NUTRIENTS),
        frozenset(n for n, f in zip(NUTRIENTS, figures, strict=True) if f is None) if grams else frozenset(),
        min(nets) * grams / 100,
        max(nets) * grams / 100,
    )


def total(parts: Iterable[Macros]) -> Macros:
    """Of nothing, nothing: 0 g, with every figure known."""
    return sum(parts, Macros())
