"""Units against published figures: NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B.8 (both from memory), and the
imperial gallon of the Units of Measurement Regulations 1995 (4.546 09 l; from memory)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from scriptkit.measure.further_units import further_units
from scriptkit.measure.unit_table import unit_of

INCH_3 = Fraction(254, 100) ** 3
"""Millilitres in a cubic inch: an inch is 2.54 cm exactly."""
GALLON, IMPERIAL = 231 * INCH_3, Fraction(454_609, 100)
BUSHEL = Fraction("2150.42") * INCH_3
POUND = Fraction("453.59237")
GRAIN = POUND / 7000

PUBLISHED = {
    "us_pint": GALLON / 8, "us_gill": GALLON / 32, "us_quart": GALLON / 4, "us_gallon": GALLON, "us_cup": GALLON / 16,
    "us_fluid_ounce": GALLON / 128, "us_tablespoon": GALLON / 256, "us_teaspoon": GALLON / 768, "fluid_dram": GALLON / 1024,
    "imperial_pint": IMPERIAL / 8, "imperial_gill": IMPERIAL / 32, "imperial_quart": IMPERIAL / 4, "imperial_gallon": IMPERIAL,
    "imperial_fluid_ounce": IMPERIAL / 160, "imperial_fluid_drachm": IMPERIAL / 1280, "imperial_peck": IMPERIAL * 2,
    "imperial_bushel": IMPERIAL * 8, "us_bushel": BUSHEL, "us_peck": BUSHEL / 4, "dry_quart": BUSHEL / 32, "dry_pint": BUSHEL / 64,
    "avoirdupois_dram": POUND / 256, "apothecary_drachm": GRAIN * 60,
    "decigram": Fraction(1, 10), "decagram": Fraction(10), "hectogram": Fraction(100), "hectolitre": Fraction(100_000),
    "cubic_centimetre": Fraction(1),
}  # fmt: skip
COMMON = {"fifth": GALLON / 5, "jigger": GALLON / 128 * Fraction(3, 2), "imperial_cup": IMPERIAL / 16}
"""Common practice, no source: a fifth of a gallon, one and a half US fluid ounces, half an imperial pint."""

# NIST SP 811, Appendix B.8: factors to SI in seven digits (from memory), in millilitres and grams.
SP_811 = {
    "us_cup": 236.5882, "us_fluid_ounce": 29.57353, "us_gallon": 3785.412, "us_gill": 118.2941, "us_pint": 473.1765, "dry_pint": 550.6105,
    "us_quart": 946.3529, "dry_quart": 1101.221, "us_tablespoon": 14.78676, "us_teaspoon": 4.928922, "us_peck": 8809.768,
    "us_bushel": 35239.07, "imperial_gallon": 4546.09, "imperial_fluid_ounce": 28.41306, "imperial_gill": 142.0653,
    "avoirdupois_dram": 1.771845, "apothecary_drachm": 3.887935, "fluid_dram": 3.696691,
}  # fmt: skip


def test_every_unit_has_its_published_figure() -> None:
    assert {*PUBLISHED, *COMMON} == set(further_units())


@pytest.mark.parametrize(("unit", "factor"), [*PUBLISHED.items(), *COMMON.items()])
def test_a_unit_is_exactly_as_published(unit: str, factor: Fraction) -> None:
    assert unit_of(unit).factor == factor


@pytest.mark.parametrize(("unit", "factor"), SP_811.items())
def test_the_seven_digits_of_the_guide(unit: str, factor: float) -> None:
    assert float(unit_of(unit).factor) == pytest.approx(factor, rel=5e-7)


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("gallon", GALLON), ("quart", GALLON / 4), ("cup", GALLON / 16), ("fluid_ounce", GALLON / 128), ("pound", POUND), ("ounce", POUND / 16)],
)  # fmt: skip
def test_the_fast_table_is_as_published_too(unit: str, factor: Fraction) -> None:
    assert unit_of(unit).factor == factor
