"""Figures as num2words spells them, read back: another hand's words for the same number."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.figures import MS, figures_in

num2words = pytest.importorskip("num2words").num2words
UNITS = {"grams": 1, "cups": 1, "minutes": 60_000, "degrees": 1}


@settings(max_examples=150)
@given(value=st.integers(1, 9_999), unit=st.sampled_from(sorted(UNITS)), lang=st.sampled_from(["en", "en_GB"]))
def test_a_whole_number_is_read_as_it_is_spelt(value: int, unit: str, lang: str) -> None:
    """With its hyphens and commas, and as a recogniser writes it, without them."""
    spelt = num2words(value, lang=lang)
    for text in (spelt, spelt.replace("-", " ").replace(",", "")):
        (found,) = figures_in(f"give it {text} {unit} now")
        assert found.low == found.high == value * UNITS[unit], text


@settings(max_examples=100)
@given(hundredths=st.integers(101, 99_999))
def test_a_decimal_is_read_as_it_is_spelt(hundredths: int) -> None:
    text = num2words(hundredths / 100)
    (found,) = figures_in(f"that is {text} grams of it")
    assert found.low == Fraction(hundredths, 100), text


@settings(max_examples=60)
@given(low=st.integers(1, 90), more=st.integers(1, 30))
def test_a_range_of_minutes_is_read_as_it_is_spelt(low: int, more: int) -> None:
    text = f"{num2words(low)} to {num2words(low + more)} minutes"
    (found,) = figures_in(f"simmer for {text} or until soft")
    assert (found.low, found.high, found.unit) == (low * 60_000, (low + more) * 60_000, MS)
