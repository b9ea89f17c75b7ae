"""Figures as people say them, read back: ranges, times, temperatures, shares and ratios."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import Cups
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
        ("eleven point three to four grams", Fraction(113, 10), Fraction(114, 10), "gram"),
        ("one point one to point three litres", Fraction(11, 10), Fraction(13, 10), "litre"),
        ("point five to one teaspoon", Fraction(1, 2), Fraction(1), "teaspoon"),
        ("one point five or two cups", Fraction(3, 2), Fraction(2), "cup"),
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


# --- what is said around a figure, and how far it reaches -------------------------------------------------------------


def as_read(text: str) -> list[tuple[str, str, str]]:
    """Of every figure of the text: ``low`` or ``low..high``, its unit, and the words it was read from."""
    return [
        (f"{f.low}..{f.high}" if f.is_range else str(f.low), f.unit, text[f.start : f.end]) for f in figures_in(text)
    ]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        # a range rises, and its ends follow each other
        ("2-3 cups", [("2..3", "cup", "2-3 cups")]),
        ("six–seven grams", [("6..7", "gram", "six–seven grams")]),
        ("six—seven grams", [("6..7", "gram", "six—seven grams")]),
        ("between six and seven", [("6..7", "", "six and seven")]),
        ("between six to seven", [("6..7", "", "six to seven")]),
        ("between six or seven", [("6..7", "", "six or seven")]),
        ("six and seven, between", [("6", "", "six"), ("7", "", "seven")]),
        ("six and seven grams", [("6", "", "six"), ("7", "gram", "seven grams")]),
        ("seven to six grams", [("7", "", "seven"), ("6", "gram", "six grams")]),
        ("Salt, six to seven grams", [("6..7", "gram", "six to seven grams")]),
        ("six. Seven grams", [("6", "", "six"), ("7", "gram", "Seven grams")]),
        ("fifty-five sixty", [("55..60", "", "fifty-five sixty")]),
        ("sixty sixty-one", [("60", "", "sixty"), ("61", "", "sixty-one")]),
        ("zero five", [("0", "", "zero"), ("5", "", "five")]),
        ("four and a half five", [("9/2", "", "four and a half"), ("5", "", "five")]),
        ("one to one and a half cups", [("1..3/2", "cup", "one to one and a half cups")]),
        # hundreds that are said once
        ("one or two hundred grams", [("100..200", "gram", "one or two hundred grams")]),
        ("five hundred to six hundred grams", [("500..600", "gram", "five hundred to six hundred grams")]),
        ("ten to two hundred grams", [("10..200", "gram", "ten to two hundred grams")]),
        ("ten to twelve hundred grams", [("1000..1200", "gram", "ten to twelve hundred grams")]),
        ("10 to 1200 grams", [("10..1200", "gram", "10 to 1200 grams")]),
        ("two to one hundred grams", [("2..100", "gram", "two to one hundred grams")]),
        ("one to one hundred", [("1..100", "", "one to one hundred")]),
        ("nine fifty grams", [("950", "gram", "nine fifty grams")]),
        ("nine ninety-nine grams", [("999", "gram", "nine ninety-nine grams")]),
        ("four ten degrees", [("410", DEGREE, "four ten degrees")]),
        ("four, ten degrees", [("4", "", "four"), ("10", DEGREE, "ten degrees")]),
        ("four ten and a half degrees", [("4", "", "four"), ("21/2", DEGREE, "ten and a half degrees")]),
        ("four one hundred", [("4", "", "four"), ("100", "", "one hundred")]),
        ("1-1.5 cups", [("1..3/2", "cup", "1-1.5 cups")]),
        ("2-1 cups", [("2", "", "2"), ("1", "cup", "1 cups")]),
        ("1.5-1/2 cups", [("3/2", "", "1.5"), ("1/2", "cup", "1/2 cups")]),
        # ratios
        ("1.5 to one", [("3/2", TO_ONE, "1.5 to one")]),
        ("0.6:1", [("3/5", TO_ONE, "0.6:1")]),
        ("0.6 to 1 fat to protein", [("3/5", TO_ONE, "0.6 to 1")]),
        ("Ratio of 0.6 to 1", [("3/5", TO_ONE, "0.6 to 1")]),
        ("a ratio of one to one", [("1", TO_ONE, "one to one")]),
        ("1:1", [("1", TO_ONE, "1:1")]),
        ("the ratio: 1 cup", [("1", "cup", "1 cup")]),
        ("one to one cup", [("1", "cup", "one to one cup")]),
        # packs
        ("about two fourteen ounce cans", [("28", "ounce", "two fourteen ounce")]),
        ("24 eight ounce cans", [("192", "ounce", "24 eight ounce")]),
        ("25 eight ounce cans", [("25", "", "25"), ("8", "ounce", "eight ounce")]),
        ("one eight ounce can", [("1", "", "one"), ("8", "ounce", "eight ounce")]),
        ("one fourteen ounce can", [("1", "", "one"), ("14", "ounce", "fourteen ounce")]),
        ("two, then fourteen ounces", [("2", "", "two"), ("14", "ounce", "fourteen ounces")]),
        ("two cups or three cups", [("2..3", "cup", "two cups or three cups")]),
        # loosely counted
        ("several eggs", [("3..8", "", "several")]),
        ("several of them", [("3..8", "", "several of")]),
        ("a couple of eggs", [("2", "", "a couple of")]),
        ("half a dozen eggs and two cups", [("6", "", "half a dozen"), ("2", "cup", "two cups")]),
        ("two dozen eggs", [("24", "", "two dozen")]),
        # with an article
        ("an ounce of butter", [("1", "ounce", "an ounce")]),
        ("a fluid ounce of cream", [("1", "fluid_ounce", "a fluid ounce")]),
        ("a tea spoon of salt", [("1", "teaspoon", "a tea spoon")]),
        ("an extra large egg", [("1", "extra_large", "an extra large")]),
        ("a full cup", [("1", "cup", "a full cup")]),
        ("a level teaspoon", [("1", "teaspoon", "a level teaspoon")]),
        ("so, a cup and a half", [("3/2", "cup", "a cup and a half")]),
        ("two cups and a half", [("5/2", "cup", "two cups and a half")]),
        ("a cup, then", [("1", "cup", "a cup")]),
        ("an, ounce", []),
        ("a good idea, a full bowl, a table, an and, a", []),
        # parts and sizes
        ("2 cm", [("20", MILLIMETRE, "2 cm")]),
        ("2 to 3 cm", [("20..30", MILLIMETRE, "2 to 3 cm")]),
        ("six-seven eight", [("6..7", "", "six-seven"), ("8", "", "eight")]),
    ],
)  # fmt: skip
def test_figures_reach_as_far_as_they_are_said(text: str, read: list[tuple[str, str, str]]) -> None:
    assert as_read(text) == read


def in_seconds(text: str) -> list[tuple[float, float, str]]:
    """The times of the text, in seconds, and the words they were read from."""
    return [
        (float(f.low / 1000), float(f.high / 1000), text[f.start : f.end]) for f in figures_in(text) if f.unit == MS
    ]


@pytest.mark.parametrize(
    ("text", "times"),
    [
        ("a sec", [(1, 1, "a sec")]),
        ("in an hr", [(3600, 3600, "an hr")]),
        ("a minute, then", [(60, 60, "a minute")]),
        ("a, minute", []),
        ("Half An Hour", [(1800, 1800, "Half An Hour")]),
        ("4 m", [(240, 240, "4 m")]),
        ("4 H", [(14400, 14400, "4 H")]),
        ("30 s", [(30, 30, "30 s")]),
        ("several minutes", [(180, 480, "several minutes")]),
        ("two minutes and a half", [(150, 150, "two minutes and a half")]),
        ("Well, two minutes and a half", [(150, 150, "two minutes and a half")]),
        ("a six-minute rest", [(360, 360, "six-minute")]),
        ("two minutes and half, then", [(150, 150, "two minutes and half")]),
        ("an hour, and a half", [(3600, 3600, "an hour")]),
        ("an hour then a half", [(3600, 3600, "an hour")]),
        ("an hour and one egg", [(3600, 3600, "an hour")]),
        ("an hour and half a minute", [(3630, 3630, "an hour and half a minute")]),
        ("one hour, twenty minutes", [(4800, 4800, "one hour, twenty minutes")]),
        ("one hour thirty, then", [(5400, 5400, "one hour thirty")]),
        ("one minute thirty of it", [(90, 90, "one minute thirty")]),
        ("one hour sixty minutes", [(3600, 3600, "one hour"), (3600, 3600, "sixty minutes")]),
        ("1.5 hours and ten minutes", [(5400, 5400, "1.5 hours"), (600, 600, "ten minutes")]),
        ("four minutes and five seconds, then", [(245, 245, "four minutes and five seconds")]),
        ("one minute thirty grams", [(60, 60, "one minute")]),
        ("four minutes, five minutes", [(240, 300, "four minutes, five minutes")]),
        ("four minutes or five minutes", [(240, 300, "four minutes or five minutes")]),
        ("four minutes, nine minutes", [(240, 240, "four minutes"), (540, 540, "nine minutes")]),
        ("four minutes then five minutes", [(240, 240, "four minutes"), (300, 300, "five minutes")]),
        ("ten minutes, one minute", [(600, 600, "ten minutes"), (60, 60, "one minute")]),
        ("five minutes to five minutes", [(300, 300, "five minutes"), (300, 300, "five minutes")]),
    ],
)  # fmt: skip
def test_times_reach_as_far_as_they_are_said(text: str, times: list[tuple[float, float, str]]) -> None:
    assert in_seconds(text) == times


@pytest.mark.parametrize(
    "said",
    [
        "seven minutes", "six or seven minutes", "63 °C", "20 per cent", "2 cm", "20 ml", "two grams", "two-litre pot",
        "one fourteen ounce can", "1.5 to one", "a cup", "an hour", "four minutes to five minutes", "two cups to three cups",
    ],
)  # fmt: skip
def test_about_before_a_figure_is_heard(said: str) -> None:
    assert figures_in(f"About {said}")[0].about
    assert figures_in(f"Then about the {said}")[0].about
    assert not figures_in(said)[0].about
    assert not figures_in(f"About all other {said}")[0].about


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("six minutes or so", True),
        ("an hour or so", True),
        ("four minutes to five minutes or so", True),
        ("two cups to three cups or so", True),
        ("like two cups", True),
        ("say a cup", True),
        ("a couple of eggs", True),
        ("a dozen eggs", False),
        ("two dozen eggs", False),
        ("half a dozen eggs", False),
        ("two cups or three", False),
        ("two cups and so on", False),
        ("a rounded teaspoon", True),
        ("a generous cup", True),
        ("a scant cup", True),
        ("a big pinch", True),
        ("a good pinch", True),
        ("a level teaspoon", False),
    ],
)  # fmt: skip
def test_what_is_loosely_said_is_about(text: str, about: bool) -> None:
    (found, *_) = figures_in(text)
    assert found.about is about
    assert not text.endswith("or so") or found.end == len(text)


@pytest.mark.parametrize(
    ("text", "bound"),
    [
        ("Under six minutes", "most"),
        ("up to six minutes", "most"),
        ("no more than two cups", "most"),
        ("less than an hour", "most"),
        ("over 20 g", "least"),
        ("at least two cups", "least"),
        ("more than an hour", "least"),
        ("six minutes", ""),
        ("a cup", ""),
        ("more or less six minutes", ""),
    ],
)
def test_a_bound_is_heard_before_its_figure(text: str, bound: str) -> None:
    assert figures_in(text)[0].bound == bound


@pytest.mark.parametrize(
    ("text", "grain"),
    [
        ("three hundred and five grams", 1),
        ("eleven point five zero grams", Fraction(1, 100)),
        ("a quarter of a cup", Fraction(1, 4)),
        ("half to one cup", Fraction(1, 2)),
        ("one to one and a half per cent", Fraction(1, 2)),
        ("a cup and a half", Fraction(1, 2)),
        ("one to one and a half cups", Fraction(1, 2)),
        ("two grams and a half", Fraction(1, 2)),
        ("63.5 °C", Fraction(1, 10)),
        ("20.5 %", Fraction(1, 10)),
        ("12.5 ml", Fraction(1, 10)),
        ("2.5 cm", 1),
        ("2 cm", 10),
        ("the 1.5-litre pot", Fraction(1, 10)),
        ("half an hour", 30 * MIN),
        ("an hour", 60 * MIN),
        ("an hour and a half", 30 * MIN),
        ("two minutes and a half", 30_000),
        ("an hour and twenty minutes", MIN),
        ("four minutes and five seconds", 1_000),
        ("one minute thirty", 1_000),
        ("an hour and fifteen", MIN),
        ("one hour thirty", MIN),
    ],
)
def test_a_figure_is_as_fine_as_its_last_word(text: str, grain: Fraction | int) -> None:
    assert figures_in(text)[0].grain == grain


def test_a_point_belongs_to_its_own_figure() -> None:
    assert [f.grain for f in figures_in("one point five grams, then eleven grams")] == [Fraction(1, 10), 1]


@pytest.mark.parametrize(
    ("text", "idle"),
    [
        ("a second", True), ("an hour", False), ("a minute and a half", False), ("a minute to two minutes", False),
        ("a minute thirty", False), ("a small", True), ("a cup", False),
    ],
)  # fmt: skip
def test_only_a_moment_or_a_size_alone_is_idle_talk(text: str, idle: bool) -> None:
    assert figures_in(text)[0].idle is idle


def test_a_cup_is_the_files_own_with_an_article_too() -> None:
    assert figures_in("a cup", Cups.METRIC)[0].unit == "metric_cup"
    assert [f.unit for f in figures_in("the two-litre pot")] == [""]
