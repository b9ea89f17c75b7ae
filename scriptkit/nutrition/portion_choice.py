"""A dish whose portion may change, a bound that the plate must keep, and the bound's weight in a plate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.measure.amounts import Amount, format_grams
from scriptkit.nutrition.limits import WEIGHT
from scriptkit.nutrition.macros import Macros, total
from scriptkit.nutrition.ratios import RATIOS

_EPSILON = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A dish whose portion may change. ``per_gram`` is one gram as served; the portion is a whole number of ``step_g``
    from ``least_g`` to ``most_g``, or the usual one, which is served anyway."""

    name: str
    per_gram: Macros
    usual_g: float
    step_g: float
    least_g: float
    most_g: float
    step: Amount | None = None
    """The step as the cook measures it, where it is not weighed."""
    pot_g: float = math.inf
    """What the whole pot weighs as served."""
    usual: Macros | None = None
    """The usual portion as it is served: a share of a pot that nobody weighed is surer than as many grams of it; None: so many grams."""
    serves: float = math.inf
    """How many the pot is cooked for."""

    def said(self, grams: float) -> str:
        """The portion in the cook's own steps: ``¾ cup``; empty where it is no whole number of them."""
        steps = round(grams / self.step_g)
        if self.step is None or steps < 1 or abs(steps * self.step_g - grams) > 1e-6:
            return ""
        return str(self.step.times(steps))

    def words(self, grams: float) -> str:
        """``180 g (¾ cup)``, or ``180 g`` where no measure says it."""
        said = self.said(grams)
        return format_grams(grams) + (f" ({said})" if said else "")

    def served(self, grams: float) -> Macros:
        """So many grams of it on a plate."""
        if self.usual is not None and abs(grams - self.usual_g) < _EPSILON:
            return self.usual
        return self.per_gram.times(grams)

    @property
    def steps(self) -> range:
        """The numbers of steps that may be served."""
        return range(
            math.ceil(self.least_g / self.step_g - _EPSILON), math.floor(self.most_g / self.step_g + _EPSILON) + 1
        )

    @property
    def usual_serves(self) -> bool:
        """Whether the usual portion lies within the bounds."""
        return self.least_g - _EPSILON <= self.usual_g <= self.most_g + _EPSILON

    @property
    def servings(self) -> list[float]:
        """Every portion that may be served, in grams: nearest to the usual one first, the smaller first where two are as
        near."""
        grams = {n * self.step_g for n in self.steps} | ({self.usual_g} if self.usual_serves else set())
        return sorted(grams, key=lambda g: (abs(g - self.usual_g), g))

    def change(self, grams: float) -> float:
        """How far a portion is from the usual one: the share by which it differs, squared, so that two dishes that each give
        a little are nearer than one that gives all. A step counts as the least that it can be measured against."""
        return ((grams - self.usual_g) / max(self.usual_g, self.step_g)) ** 2

    def pot_for(self, plates: float) -> Choice:
        """The same dish, of which no portion is more than its pot has for each of so many plates; the usual one always is."""
        return replace(self, most_g=min(self.most_g, max(self.pot_g / plates, self.usual_g)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """At most or at least ``figure`` of a macro, a ratio or the weight, on one plate."""

    name: str
    at_most: bool
    figure: float


def plate_of(choices: Sequence[Choice], grams: Sequence[float]) -> Macros:
    """The plate with these portions."""
    return total(c.served(g) for c, g in zip(choices, grams, strict=True))


def weights_of(bound: Bound, macros: Macros) -> tuple[float, float]:
    """The bound as ``sum(coefficient x grams) <= 0`` or ``<= right side``: (coefficient of this food per gram x its
    weight, right side). Raises ValueError where the figure is unknown."""
    if bound.name == WEIGHT:
        coefficient, right = macros.weight_g, bound.figure
    elif bound.name in RATIOS:
        excess = RATIOS[bound.name].excess(macros, bound.figure)
        if excess is None:
            raise ValueError(f"a figure of {bound.name} is unknown")
        coefficient, right = excess, 0.0
    else:
        coefficient, right = known_of(macros, bound.name), bound.figure
    return (coefficient, right) if bound.at_most else (-coefficient, -right)


def known_of(macros: Macros, nutrient: str) -> float:
    """The figure of the nutrient, in its unit. Raises ValueError where it is unknown."""
    figure = macros.figure(nutrient)
    if figure is None:
        raise ValueError(f"{nutrient} is unknown")
    return figure
