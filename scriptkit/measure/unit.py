"""A unit as the kitchen counts in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Unit:
    """``factor`` of ``base`` make one: 1000 of gram a kilogram; exact."""

    name: str
    base: str
    factor: Fraction
