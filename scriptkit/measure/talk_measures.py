"""What talk measures in beside the kitchen's units: per cent, calories, lengths, mils and pints."""

from __future__ import annotations

import re
from fractions import Fraction

from scriptkit.measure.figure import KCAL, MILLIMETRE, PERCENT, Figure
from scriptkit.patterns import LazyPattern

_OTHERS = (
    (LazyPattern(r"\s*(?:%|per\s?cent\b)", re.IGNORECASE), PERCENT, 1),
    (LazyPattern(r"\s*(?:kcals?|k?calories|cals?|kilocalories?)\b", re.IGNORECASE), KCAL, 1),
    (LazyPattern(r"[\s-]*(?:mm|millimet(?:re|er)s?)\b", re.IGNORECASE), MILLIMETRE, 1),
    (LazyPattern(r"[\s-]*(?:cm|centimet(?:re|er)s?)\b", re.IGNORECASE), MILLIMETRE, 10),
)
_PINTS = LazyPattern(r"[\s-]*(?:an?\s+)?pints?\b", re.IGNORECASE)
_PINT_ML = Fraction(473_176_473, 1_000_000), Fraction(568_261_25, 100_000)
"""A liquid pint of the United States and one of Britain (NIST SP 811, appendix B.8): who speaks does not say which."""
_MILLILITRES = LazyPattern(r"\s*mi?ls?\b", re.IGNORECASE)
_HEARD_GRAMS = LazyPattern(r"\s+grounds\b(?=\s+of\b)", re.IGNORECASE)
"""*Fifty grounds of sweetcorn*: as recognisers hear grams."""


def in_a_measure_of_talk(
    text: str, values: tuple[Fraction, Fraction], about: bool, span: tuple[int, int], grain: Fraction
) -> Figure | None:
    """Pints, *grounds*, per cent, calories, lengths and *mils*: what talk measures in beside the kitchen's units."""
    (low, high), (start, end) = values, span

    def figure(
        unit: str, until: int, factor: Fraction | int = 1, *, most: Fraction | None = None, loose: bool = False
    ) -> Figure:
        ends = low * factor, high * (most or factor)
        return Figure(
            low=ends[0], high=ends[1], unit=unit, grain=grain * factor, about=about or loose, start=start, end=until
        )

    if found := _PINTS.match(text, end):
        small, large = _PINT_ML
        return figure("millilitre", found.end(), small, most=large, loose=True)
    if found := _HEARD_GRAMS.match(text, end):
        return figure("gram", found.end(), loose=True)
    for pattern, unit, factor in _OTHERS:
        if found := pattern.match(text, end):
            return figure(unit, found.end(), factor)
    if found := _MILLILITRES.match(text, end):
        return figure("millilitre", found.end())
    return None
