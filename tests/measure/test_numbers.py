"""Numbers as cooks write them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.numbers import LARGEST, NotANumber, format_number, split_number


@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("2", 2, ""),
        ("2 medium", 2, "medium"),
        ("30g", 30, "g"),
        ("1.5 kg", Fraction(3, 2), "kg"),
        (".5 tsp", Fraction(1, 2), "tsp"),
        ("½ cup", Fraction(1, 2), "cup"),
        ("½cup", Fraction(1, 2), "cup"),
        ("1½ cups", Fraction(3, 2), "cups"),
        ("1 ½ cups", Fraction(3, 2), "cups"),
        ("1/2 cup", Fraction(1, 2), "cup"),
        ("1 / 2 cup", Fraction(1, 2), "cup"),
        ("1⁄2 cup", Fraction(1, 2), "cup"),
        ("1 1/2 cups", Fraction(3, 2), "cups"),
        ("12 3/8 in", Fraction(99, 8), "in"),
        ("⅔ cup", Fraction(2, 3), "cup"),
        ("⅑", Fraction(1, 9), ""),
        ("  4  ", 4, ""),
        ("0", 0, ""),
        ("007 g", 7, "g"),
        ("1000000000", 10**9, ""),
    ],
)
def test_a_number_is_read_exactly_and_the_rest_is_left(text: str, value: Fraction | int, rest: str) -> None:
    assert split_number(text) == (Fraction(value), rest)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("2-3 cups", "range", "`2 cups` or `3 cups`"),
        ("2 – 3", "range", "`2` or `3`"),
        ("2—3", "range", "`2` or `3`"),
        ("2 to 3 cups", "range", "`2 cups` or `3 cups`"),
        ("2 or 3", "range", "`2` or `3`"),
        ("½–1 tsp", "range", "`½ tsp` or `1 tsp`"),
        ("1 1/2 - 2 cups", "range", "`1 1/2 cups` or `2 cups`"),
        ("1-1/2 cups", "reads as a range", "write 1 1/2 with a space"),
        ("1,5 l", "decimal comma", "write `1.5 l`, with a point"),
        ("0,25", "decimal comma", "0.25"),
        ("1,000 g", "could be 1000 or 1.000", "without the comma"),
        ("-3 g", "negative", "above zero"),
        ("−3 g", "negative", "above zero"),
        ("-½ g", "negative", "above zero"),
        ("- .5", "negative", "above zero"),
        ("1/0 cup", "divides by zero", "1/2"),
        ("3 1/0", "divides by zero", "1/2"),
        ("9" * 40, "more than 30 digits", "fewer"),
        ("0." + "0" * 40 + "1", "more than 30 digits", "fewer"),
        ("1000000001", "larger than any kitchen figure", "check"),
        ("1.2.3 g", "cannot be read", "1.5"),
        ("30. g", "cannot be read", "1.5"),
        ("1/2/3", "cannot be read", "1 1/2"),
        ("nan", "does not start with a number", "30 g"),
        ("inf g", "does not start with a number", "30 g"),
        ("-inf", "does not start with a number", "30 g"),
        ("Infinity", "does not start with a number", "30 g"),
        ("", "does not start with a number", "30 g"),
        ("some", "does not start with a number", "30 g"),
        ("+3 g", "does not start with a number", "30 g"),
    ],
)
def test_what_is_no_number_is_told_with_a_hint(text: str, message: str, hint: str) -> None:
    with pytest.raises(NotANumber) as told:
        split_number(text)
    assert message in str(told.value)
    assert hint in told.value.hint


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("0" * 30 + "1", "a number has more than 30 digits", "write fewer digits"),
        ("3/0 cup", "“3/0” divides by zero", "write a real fraction, such as 1/2"),
        ("1000000001 g", "“1000000001” is larger than any kitchen figure", "check the number"),
    ],
)
def test_what_no_kitchen_can_count_is_told_word_for_word(text: str, message: str, hint: str) -> None:
    with pytest.raises(NotANumber) as told:
        split_number(text)
    assert (str(told.value), told.value.hint) == (message, hint)


def test_thirty_digits_are_read() -> None:
    assert split_number("0" * 29 + "7 g") == (7, "g")


def test_scientific_notation_is_no_kitchen_number() -> None:
    assert split_number("1e3 g") == (1, "e3 g")  # no unit starts with e3: the amount refuses it


@given(st.text(alphabet="0123456789./⁄½⅓ ,-–toxge", max_size=200))
@settings(max_examples=100)
def test_any_text_is_a_number_or_told(text: str) -> None:
    try:
        value, rest = split_number(text)
    except NotANumber as told:
        assert told.hint
    else:
        assert 0 <= value <= LARGEST
        assert len(rest) < len(text)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Fraction(3), "3"),
        (Fraction(1, 2), "½"),
        (Fraction(5, 2), "2 ½"),
        (Fraction(7, 8), "⅞"),
        (Fraction(7, 20), "0.35"),
        (Fraction(1, 7), "0.14"),
        (1.5, "1 ½"),
        (3.0, "3"),
        (0.1, "0.1"),
        (1234.567, "1234.57"),
        (2.999, "3"),
        (9.996, "10"),
    ],
)
def test_a_number_is_printed_as_a_kitchen_reads_it(value: Fraction | float, shown: str) -> None:
    assert format_number(value) == shown


@given(
    st.integers(0, 10_000), st.sampled_from([0, *(Fraction(n, 8) for n in range(1, 8)), Fraction(1, 3), Fraction(2, 3)])
)
@settings(max_examples=100)
def test_what_measuring_spoons_measure_survives_printing(whole: int, part: Fraction) -> None:
    assert split_number(format_number(whole + part)) == (whole + part, "")


@given(st.integers(0, 10**8))
@settings(max_examples=100)
def test_hundredths_survive_printing(hundredths: int) -> None:
    value = Fraction(hundredths, 100)
    assert split_number(format_number(value)) == (value, "")
