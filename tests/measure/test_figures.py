"""Figures as people say them, read back: ranges, times, temperatures, shares and ratios."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.figures import CELSIUS, DEGREE, FAHRENHEIT, KCAL, MILLIMETRE, MS, PERCENT, TO_ONE, figures_in
from scriptkit.measure.words import number_words

MIN = 60_000


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("six or seven minutes", 6 * MIN, 7 * MIN, MS),
        ("five to ten minutes", 5 * MIN, 10 * MIN, MS),
        ("between six and seven minutes", 6 * MIN, 7 * MIN, MS),
        ("six, seven minutes", 6 * MIN, 7 * MIN, MS),
        ("five minutes to six minutes", 5 * MIN, 6 * MIN, MS),
        ("3-4 tablespoons", 3, 4, "tablespoon"),
        ("five to ten", 5, 10, ""),
        ("two and a quarter cups", Fraction(9, 4), Fraction(9, 4), "cup"),
        ("2 and 1/2 cups", Fraction(5, 2), Fraction(5, 2), "cup"),
        ("a quarter of a teaspoon", Fraction(1, 4), Fraction(1, 4), "teaspoon"),
        ("quarter of a teaspoon", Fraction(1, 4), Fraction(1, 4), "teaspoon"),
        ("a couple of tablespoons", 2, 2, "tablespoon"),
        ("a few minutes", 3 * MIN, 5 * MIN, MS),
        ("half a dozen eggs", 6, 6, ""),
        ("two dozen mussels", 24, 24, ""),
        ("a hundred and twenty mils", 120, 120, "millilitre"),
        ("eleven point three grams", Fraction(113, 10), Fraction(113, 10), "gram"),
        ("1,200 ml", 1200, 1200, "millilitre"),
        ("two point six to one", Fraction(13, 5), Fraction(13, 5), TO_ONE),
        ("a ratio of zero point six to one", Fraction(3, 5), Fraction(3, 5), TO_ONE),
        ("0.6:1 fat to protein", Fraction(3, 5), Fraction(3, 5), TO_ONE),
        ("half to one teaspoon", Fraction(1, 2), Fraction(1), "teaspoon"),
        ("2.6:1", Fraction(13, 5), Fraction(13, 5), TO_ONE),
        ("63 °C", 63, 63, CELSIUS),
        ("one hundred and eighty C", 180, 180, CELSIUS),
        ("four hundred Fahrenheit", 400, 400, FAHRENHEIT),
        ("145 degrees Fahrenheit", 145, 145, FAHRENHEIT),
        ("three fifty degrees", 350, 350, DEGREE),
        ("four twenty-five degrees", 425, 425, DEGREE),
        ("an hour and a half", 90 * MIN, 90 * MIN, MS),
        ("half an hour", 30 * MIN, 30 * MIN, MS),
        ("three quarters of an hour", 45 * MIN, 45 * MIN, MS),
        ("one minute thirty", MIN + 30_000, MIN + 30_000, MS),
        ("an hour and twenty minutes", 80 * MIN, 80 * MIN, MS),
        ("1 h 30 min", 90 * MIN, 90 * MIN, MS),
        ("seventy per cent", 70, 70, PERCENT),
        ("193 calories", 193, 193, KCAL),
        ("1-1/2 cups", Fraction(3, 2), Fraction(3, 2), "cup"),
        ("one and one half cups", Fraction(3, 2), Fraction(3, 2), "cup"),
        ("two table spoons", 2, 2, "tablespoon"),
        ("half a teaspoonful", Fraction(1, 2), Fraction(1, 2), "teaspoon"),
        ("an hour and fifteen", 75 * MIN, 75 * MIN, MS),
        ("seven or eight hundred degrees", 700, 800, DEGREE),
        ("two fourteen ounce cans", 28, 28, "ounce"),
        ("ten fifteen minutes", 10 * MIN, 15 * MIN, MS),
        ("four minutes five minutes", 4 * MIN, 5 * MIN, MS),
        ("one fifty grams", 150, 150, "gram"),
        ("fifteen millimetres", 15, 15, MILLIMETRE),
    ],
)
def test_a_figure_is_read_as_it_is_said(text: str, low: float, high: float, unit: str) -> None:
    (found,) = figures_in(f"so {text} then")
    assert (found.low, found.high, found.unit) == (low, high, unit)


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("about two cups", True),
        ("two cups or so", True),
        ("nearly two cups", True),
        ("two cups", False),
        ("a heaped cup", True),
    ],
)
def test_what_is_not_said_as_exact_is_marked(text: str, about: bool) -> None:
    assert figures_in(text)[0].about is about


@pytest.mark.parametrize(
    ("text", "grain"),
    [
        ("eleven point three grams", Fraction(1, 10)),
        ("eleven grams", 1),
        ("one point two to one", Fraction(1, 10)),
        ("0.25 g", Fraction(1, 100)),
    ],
)
def test_a_figure_knows_how_fine_it_is(text: str, grain: Fraction) -> None:
    assert figures_in(text)[0].grain == grain


def test_a_minute_is_often_no_time_and_a_pot_is_no_amount() -> None:
    assert figures_in("give me a minute")[0].idle
    assert not figures_in("one minute")[0].idle
    assert figures_in("the two-litre pot")[0].of_a_thing


@pytest.mark.parametrize(
    "text", ["", "the rest of the salt", "a spoon", "in a way", "minus", "one hundred percent of nothing °"]
)
def test_talk_without_figures_is_read_without_harm(text: str) -> None:
    assert all(f.unit in ("", PERCENT) for f in figures_in(text))


@settings(max_examples=60)
@given(st.integers(1, 999), st.integers(0, 9), st.sampled_from(["grams", "minutes", "degrees", "percent", "cups"]))
def test_any_number_that_is_spoken_is_read_back(whole: int, tenth: int, unit: str) -> None:
    value = Fraction(whole * 10 + tenth, 10)
    (found,) = figures_in(f"it takes {number_words(value)} {unit}")
    assert found.low == value * (MIN if unit == "minutes" else 1)


def test_a_decimal_comma_is_no_range() -> None:
    assert all(f.low <= f.high for f in figures_in("1,0 l or 5,0"))


@settings(max_examples=60)
@given(st.text(alphabet="0123456789 .,-/½¼:°CFaotn", max_size=40))
def test_no_text_is_too_odd_to_read(text: str) -> None:
    for found in figures_in(text):
        assert 0 <= found.start < found.end <= len(text)
        assert found.low <= found.high


def test_a_weight_to_another_weight_is_one_range() -> None:
    (found,) = figures_in("two grams to three grams of salt")
    assert (found.low, found.high, found.unit) == (2, 3, "gram")
    assert [f.low for f in figures_in("three grams to two grams")] == [3, 2]


def test_seconds_follow_their_minute_at_once_or_are_a_figure_of_their_own() -> None:
    assert [(f.low, f.unit) for f in figures_in("one minute thirty")] == [(90_000, MS)]
    assert [(f.low, f.unit) for f in figures_in("one minute and thirty")] == [(MIN, MS), (30, "")]
