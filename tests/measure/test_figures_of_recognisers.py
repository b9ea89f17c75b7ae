"""Figures as cooks say them and as recognisers write them: fractions in every way, stops and commas inside a figure."""

from __future__ import annotations

from fractions import Fraction

import pytest

from scriptkit.measure.figures import CELSIUS, DEGREE, MS, figures_in

MIN = 60_000


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("one fourth cup", Fraction(1, 4), Fraction(1, 4), "cup"),
        ("three-fourths of a cup", Fraction(3, 4), Fraction(3, 4), "cup"),
        ("quarter cup", Fraction(1, 4), Fraction(1, 4), "cup"),
        ("third of a cup", Fraction(1, 3), Fraction(1, 3), "cup"),
        ("two heaping tablespoons", 2, 2, "tablespoon"),
        ("seventy, five degrees", 75, 75, DEGREE),
        ("two and a, half cups", Fraction(5, 2), Fraction(5, 2), "cup"),
        ("point five litres", Fraction(1, 2), Fraction(1, 2), "litre"),
        ("kilo and a half of plums", Fraction(3, 2), Fraction(3, 2), "kilogram"),
        ("at this point five minutes", 5 * MIN, 5 * MIN, MS),
        ("twenty, eight ounces", 28, 28, "ounce"),
        ("hundred and eighty degrees, celsius", 180, 180, CELSIUS),
        ("three fifty three eighty", 350, 380, ""),
        ("ten more minutes", 10 * MIN, 10 * MIN, MS),
        ("four. hours", 240 * MIN, 240 * MIN, MS),
        ("half a. minute", MIN / 2, MIN / 2, MS),
        ("a minute or two", MIN, 2 * MIN, MS),
        ("minute or two", MIN, 2 * MIN, MS),
        ("an hour or two", 60 * MIN, 120 * MIN, MS),
        ("hour and a half", 90 * MIN, 90 * MIN, MS),
        ("a couple minutes", 2 * MIN, 2 * MIN, MS),
        ("forty and forty five minutes", 40 * MIN, 45 * MIN, MS),
        ("twenty minutes twenty five minutes", 20 * MIN, 25 * MIN, MS),
        ("five minutes, four minutes", 4 * MIN, 5 * MIN, MS),
        ("one four teaspoon", Fraction(1, 4), Fraction(1, 4), "teaspoon"),
        ("one third, a cup", Fraction(1, 3), Fraction(1, 3), "cup"),
        ("a half a cup", Fraction(1, 2), Fraction(1, 2), "cup"),
        ("one quarter. teaspoon", Fraction(1, 4), Fraction(1, 4), "teaspoon"),
        ("tablespoon and a half of salt", Fraction(3, 2), Fraction(3, 2), "tablespoon"),
        ("tablespoon, and a half of salt", Fraction(3, 2), Fraction(3, 2), "tablespoon"),
        ("teaspoon of salt", 1, 1, "teaspoon"),
        ("fifty grounds of sweetcorn", 50, 50, "gram"),
        ("three tablespoons to a quarter cup", Fraction(3, 16), Fraction(1, 4), "cup"),
        ("six nice fat cloves", 6, 6, "clove"),
        ("three lovely little spoons", 3, 3, ""),
        ("pinch of saffron", 1, 1, "pinch"),
        ("another minute", MIN, MIN, MS),
        ("another hour", 60 * MIN, 60 * MIN, MS),
        ("two small or medium sized leeks", 2, 2, ""),
        ("two medium sized leeks", 2, 2, "medium"),
        ("two to for cups", 2, 4, "cup"),
        ("one or our spoons", 1, 1, ""),
    ],
)
def test_a_figure_is_read_as_cooks_say_it(text: str, low: float, high: float, unit: str) -> None:
    (found,) = figures_in(f"so {text} then")
    assert (found.low, found.high, found.unit) == (low, high, unit)


def test_a_pint_is_between_that_of_the_united_states_and_that_of_britain() -> None:
    """473.176 473 ml and 568.261 25 ml (NIST SP 811, appendix B.8)."""
    (found,) = figures_in("half a pint of stock")
    assert (float(found.low), float(found.high), found.unit) == (236.5882365, 284.130625, "millilitre")
    assert found.about


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("twenty, five eggs", ["20", "5"]),
        ("thirty, two portions", ["30", "2"]),
        ("a cup, and a half teaspoon of salt", ["1", "1/2"]),
        ("the third cup of milk", []),
        ("per teaspoon of salt", []),
        ("the last minute or two", ["2"]),
        ("it takes four. Minutes later it is done", ["4"]),
        ("one four eggs", ["1", "4"]),
        ("another cup of tea", []),
        ("pinch the edges together", []),
        ("two for cups of coffee", ["2"]),
    ],
)
def test_two_figures_beside_one_another_stay_two(text: str, read: list[str]) -> None:
    assert [str(f.low) for f in figures_in(text)] == read
