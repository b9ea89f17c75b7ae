"""Two figures beside one another that are one: *two fourteen ounce cans*, *an hour and twenty minutes*, *two to three cups*."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind, canonical_unit
from scriptkit.measure.figure import MS, TIMES, Figure

_PACKED = frozenset({"ounce", "fluid_ounce", "pound", "gram", "kilogram", "millilitre", "litre"})
"""What packs are measured in: *two fourteen ounce cans* are 28 ounces."""
_SECONDS = frozenset({10, 15, 20, 30, 40, 45, 50})
"""After minutes, these are seconds without a word: *one minute thirty*."""


def joined(one: Figure, other: Figure, text: str) -> Figure | None:
    """Two figures that are one: *two fourteen ounce cans*, *two cups to three cups*, and times."""
    between = text[one.end : other.start].casefold().strip()
    if one.is_range:
        return None
    if one.unit == MS:
        return _joined_times(one, other, between)
    if weighed := _in_packs_or_pounds(one, other, between):
        return weighed
    if one.unit == other.unit and one.unit and between in ("to", "or") and other.low > one.high:
        return replace(one, high=other.high, end=other.end, about=one.about or other.about)
    if (
        between == "to"
        and one.unit != other.unit
        and (low := _in_unit(one, other.unit)) is not None
        and low < other.low
    ):
        return replace(other, low=low, start=one.start, about=True)  # three tablespoons to a quarter cup
    return None


def _in_packs_or_pounds(one: Figure, other: Figure, between: str) -> Figure | None:
    """*Two fourteen ounce cans*, *one pound eight ounces*."""
    if one.unit == "" and between == "" and other.unit in _PACKED and 1 < one.low <= 24 and one.low.denominator == 1:
        return replace(other, low=one.low * other.low, high=one.low * other.high, start=one.start)
    pounds = (one.unit, other.unit) == ("pound", "ounce") and between in ("", "and", ",")
    if pounds and not other.is_range and other.low < 16:
        return replace(other, low=one.low * 16 + other.low, high=one.high * 16 + other.high, start=one.start)
    return None


def _in_unit(one: Figure, unit: str) -> Fraction | None:
    """Its value in another measure of volume; None where either is none."""
    if not all(u and canonical_unit(u) == u and Amount(Fraction(1), u).kind is Kind.VOLUME for u in (one.unit, unit)):
        return None
    return Fraction(Amount(one.low, one.unit).millilitres / Amount(Fraction(1), unit).millilitres).limit_denominator(
        10_000
    )


def _joined_times(one: Figure, other: Figure, between: str) -> Figure | None:
    """*An hour and twenty minutes*, *an hour and fifteen*, *one minute thirty*, *five minutes to six minutes*."""
    minute, hour = TIMES["m"], TIMES["h"]
    if other.unit == MS and not other.is_range:
        whole = one.grain >= minute and one.low % one.grain == 0 and other.low < one.grain
        if whole and between in ("", "and", ","):
            return _and_so_much(one, other.low, other.grain, other.end)
        fives = one.low % (5 * minute) == 0 and other.low == one.low + 5 * minute
        next_to_it = between in ("", ",") and (other.low == one.low + minute or fives)
        if between in ("", ",") and other.low == one.low - minute >= minute and not whole:  # five minutes, four minutes
            return replace(one, low=other.low, end=other.end, about=True)
        if (between in ("to", "or") or next_to_it) and other.low > one.low:
            return replace(one, high=other.high, end=other.end, idle=False, about=one.about or other.about)
    if other.unit == "" and other.low in _SECONDS:
        if one.grain == hour and between in ("", "and"):
            return _and_so_much(one, other.low * minute, Fraction(minute), other.end)
        if one.grain == minute and between == "":
            return _and_so_much(one, other.low * 1_000, Fraction(1_000), other.end)
    return None


def _and_so_much(one: Figure, more_ms: Fraction, grain: Fraction, end: int) -> Figure:
    whole = one.low + more_ms
    return replace(one, low=whole, high=whole, end=end, idle=False, grain=grain)
