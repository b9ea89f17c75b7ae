"""Durations and temperatures as cooks write them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.durations import (
    LONGEST_MS,
    NotADuration,
    format_clock,
    format_duration,
    parse_duration,
    parse_moment,
)
from scriptkit.measure.temperatures import (
    NotATemperature,
    celsius_to_fahrenheit,
    fahrenheit_to_celsius,
    format_temperature,
    parse_temperature,
)


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("12 s", 12_000), ("12s", 12_000), ("1.5 s", 1_500), ("½ min", 30_000), ("7 min", 420_000), ("7 mins.", 420_000),
        ("1 1/2 min", 90_000), ("1 min 30 s", 90_000), ("1min30s", 90_000), ("1 min, 30 s", 90_000),
        ("1 h 30 min", 5_400_000), ("1 hour and 30 minutes", 5_400_000), ("2 HOURS", 7_200_000), ("1 day", 86_400_000),
        ("1 h 1 min 1 s 1 ms", 3_661_001), ("0 s", 0), ("1/3 s", 333), ("30 days", LONGEST_MS),
    ],
)  # fmt: skip
def test_durations(text: str, ms: int) -> None:
    assert parse_duration(text) == ms


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("90", "“90” has no unit"),
        ("1:30", "minutes or hours"),
        ("1:30:00", "minutes or hours"),
        ("5-7 min", "is a range"),
        ("5 min to 7 min", "“to 7 min”"),
        ("-3 s", "is negative"),
        ("1,5 min", "decimal comma"),
        ("5 moments", "“moments” in “5 moments”"),
        ("5 min approx", "“approx”"),
        ("1 h 1/2", "“1/2” in “1 h 1/2”"),
        ("1 min 1/0 s", "divides by zero"),
        ("1 min 99999999999 s", "larger than any kitchen figure"),
        ("1/0 min", "divides by zero"),
        ("31 days", "longer than 30 days"),
        ("1000000000 h", "longer than 30 days"),
        ("nan s", "does not start with a number"),
        ("inf", "does not start with a number"),
        ("1e9 s", "“e” in “1e9 s”"),
        ("", "does not start with a number"),
        ("a while", "does not start with a number"),
    ],
)
def test_what_is_no_duration_is_told_with_a_hint(text: str, message: str) -> None:
    with pytest.raises(NotADuration) as told:
        parse_duration(text)
    assert message in str(told.value)
    assert told.value.hint


@given(st.text(alphabet="0123456789 ./:½-,smhindays", max_size=60))
@settings(max_examples=100)
def test_any_text_is_a_duration_or_told(text: str) -> None:
    try:
        assert 0 <= parse_duration(text) <= LONGEST_MS
    except NotADuration as told:
        assert told.hint


@pytest.mark.parametrize(
    ("ms", "shown"),
    [
        (0, "0 s"), (2_500, "2.5 s"), (45_000, "45 s"), (59_900, "59.9 s"), (60_000, "1 min"), (90_000, "1 min 30 s"), (420_000, "7 min"),
        (5_400_000, "1 h 30 min"), (3_600_000, "1 h"), (3_661_000, "1 h 1 min"),
    ],
)  # fmt: skip
def test_durations_are_printed_as_a_cook_says_them(ms: int, shown: str) -> None:
    assert format_duration(ms) == shown


@given(st.integers(0, 3_599))
@settings(max_examples=100)
def test_whole_seconds_under_an_hour_are_read_back(seconds: int) -> None:
    assert parse_duration(format_duration(seconds * 1000)) == seconds * 1000


@given(st.integers(0, LONGEST_MS))
@settings(max_examples=100)
def test_printed_durations_are_near(ms: int) -> None:
    off = abs(parse_duration(format_duration(ms)) - ms)
    assert off <= (50 if ms < 60_000 else 500 if ms < 3_600_000 else 60_000)


@pytest.mark.parametrize(
    ("ms", "shown"), [(0, "0:00"), (999, "0:00"), (61_000, "1:01"), (3_599_999, "59:59"), (3_600_000, "1:00:00")]
)
def test_a_clock_never_points_past_the_moment(ms: int, shown: str) -> None:
    assert format_clock(ms) == shown


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("2:05", 125_000), ("75:00", 4_500_000), ("1:59:00", 7_140_000), (" 1:02:05.25 ", 3_725_250), ("1:60:00", None),
        ("1:75:00", None), ("2:60", None), ("٢:05", None), ("2", None), ("2:05.1234", None),
    ],
)  # fmt: skip
def test_a_moment_of_the_cut_has_minutes_and_seconds_below_sixty(text: str, ms: int | None) -> None:
    assert parse_moment(text) == ms


# 63 °C and 145 °F are the pair that FoodSafety.gov prints; 212 °F = 100 °C and -40 = -40 by definition.
@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("63 °C", 63), ("63°c", 63), ("63 C", 63), ("63 degrees Celsius", 63), ("212 °F", 100), ("212F", 100),
        ("-18 °C", -18), ("-50 °C", -50), ("600 °C", 600), ("-40 F", -40), ("62.5 °C", 62.5), ("145 fahrenheit", 62.777),
    ],
)  # fmt: skip
def test_temperatures(text: str, celsius: float) -> None:
    assert parse_temperature(text) == pytest.approx(celsius, abs=0.001)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("63", "not a temperature"), ("63 K", "not a temperature"), ("hot", "not a temperature"), ("", "not a temperature"),
        ("nan °C", "not a temperature"), ("60-65 °C", "not a temperature"), ("601 °C", "hotter or colder than any kitchen gets"),
        ("-51 °C", "hotter or colder than any kitchen gets"), ("9999 °F", "hotter or colder than any kitchen gets"), ("1e2 °C", "not a temperature"),
        ("99999999999999 °C", "not a temperature"),
    ],
)  # fmt: skip
def test_what_is_no_temperature_is_told_with_a_hint(text: str, message: str) -> None:
    with pytest.raises(NotATemperature) as told:
        parse_temperature(text)
    assert message in str(told.value)
    assert told.value.hint


def test_both_scales_are_printed() -> None:
    assert format_temperature(63) == "63 °C (145 °F)"
    assert format_temperature(74) == "74 °C (165 °F)"


@given(st.floats(-50, 600))
@settings(max_examples=100)
def test_scales_there_and_back(celsius: float) -> None:
    assert fahrenheit_to_celsius(celsius_to_fahrenheit(celsius)) == pytest.approx(celsius, abs=1e-9)
