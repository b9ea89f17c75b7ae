"""Figures and amounts as they are spoken, and read back from a line."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import Cups, parse_amount
from scriptkit.measure.spoken import amounts_in
from scriptkit.measure.words import (
    FRACTIONS,
    amount_and_name,
    amount_words,
    gram_amount,
    number_words,
    plural,
    spoken_words,
    stands_before_the_name,
)


@pytest.mark.parametrize(
    ("figure", "words"),
    [
        ("0", "nought"),
        ("12", "twelve"),
        ("21", "twenty-one"),
        ("100", "one hundred"),
        ("320", "three hundred and twenty"),
        ("1005", "one thousand and five"),
        ("1200", "one thousand two hundred"),
        ("21000", "twenty-one thousand"),
        ("1100", "one thousand one hundred"),
        ("1000000000", "one thousand million"),
        ("1/2", "half"),
        ("3/2", "one and a half"),
        ("8/3", "two and two thirds"),
        ("19/8", "two and three eighths"),
        ("7/20", "nought point three five"),
        ("12.05", "twelve point nought five"),
        ("1/7", "nought point one four"),
    ],
)
def test_numbers(figure: str, words: str) -> None:
    assert number_words(Fraction(figure)) == words


@pytest.mark.parametrize(
    ("written", "spoken"),
    [
        ("2 tbsp", "two tablespoons"),
        ("1 tbsp", "one tablespoon"),
        ("320 g", "three hundred and twenty grams"),
        ("1 1/2 cups", "one and a half cups"),
        ("1/2 cup", "half a cup"),
        ("1/2 oz", "half an ounce"),
        ("1/4 tsp", "a quarter of a teaspoon"),
        ("2/3 cup", "two thirds of a cup"),
        ("1/8 tsp", "an eighth of a teaspoon"),
        ("1.2 l", "one point two litres"),
        ("2 pinches", "two pinches"),
        ("3 leaves", "three leaves"),
        ("2 fl oz", "two fluid ounces"),
        ("0.45 cups", "nought point four five cups"),
        ("3", "three"),
    ],
)
def test_amounts(written: str, spoken: str) -> None:
    assert amount_words(parse_amount(written)) == spoken


@pytest.mark.parametrize(
    ("written", "name", "spoken"),
    [
        ("2 tbsp", "butter", "two tablespoons of butter"),
        ("2 bulbs", "fennel", "two fennel bulbs"),
        ("2 bulbs", "fennel bulb", "two fennel bulbs"),
        ("1 bulb", "fennel", "one fennel bulb"),
        ("1 bulb", "fennel bulb", "one fennel bulb"),
        ("1/2 bulb", "fennel bulb", "half a fennel bulb"),
        ("3 cloves", "garlic", "three cloves of garlic"),
        ("4 large", "egg", "four large eggs"),
        ("1 large", "egg", "one large egg"),
        ("3", "tomato", "three tomatoes"),
        ("1/2", "lemon", "half a lemon"),
        ("1/2", "onion", "half an onion"),
        ("1 1/2", "lemon", "one and a half lemons"),
        ("30 g", "capers", "thirty grams of capers"),
    ],
)
def test_amounts_with_what_they_are_of(written: str, name: str, spoken: str) -> None:
    assert amount_and_name(parse_amount(written), name) == spoken


def test_a_metric_cup_is_a_cup_to_the_ear() -> None:
    assert amount_words(parse_amount("2 cups", cups=Cups.METRIC)) == "two cups"
    assert amount_words(parse_amount("1 tbsp", cups=Cups.AUSTRALIAN)) == "one tablespoon"


@pytest.mark.parametrize(
    ("grams", "words"),
    [
        (28.35, "twenty-eight grams"),
        (0.05, "nought point one grams"),
        (0.5, "half a gram"),
        (4.46, "four and a half grams"),
        (1254.0, "one and a quarter kilograms"),
    ],
)
def test_grams_are_said_as_the_card_prints_them(grams: float, words: str) -> None:
    amount = gram_amount(grams)
    assert amount is not None
    assert amount_words(amount) == words


def test_less_than_a_scale_shows_is_not_said() -> None:
    assert gram_amount(0.04) is None


@pytest.mark.parametrize("name", ["capers", "sunflower seeds", "olive oil", "eggs"])
def test_what_looks_like_a_plural_stays(name: str) -> None:
    assert plural(name) == name


@pytest.mark.parametrize(
    ("one", "several"),
    [
        ("loaf", "loaves"), ("lemon half", "lemon halves"), ("mango", "mangoes"), ("glass", "glasses"), ("box", "boxes"),
        ("peach", "peaches"), ("anchovy", "anchovies"), ("turkey", "turkeys"),
    ],
)  # fmt: skip
def test_a_name_takes_the_ending_of_its_kind(one: str, several: str) -> None:
    assert plural(one) == several


@pytest.mark.parametrize(("written", "before"), [("3", True), ("2 medium", True), ("2 bulbs", False), ("30 g", False)])
def test_what_is_said_without_of_stands_before_the_name(written: str, before: bool) -> None:
    assert stands_before_the_name(parse_amount(written)) is before


# --- the words of a line ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "count"),
    [
        ("", 0),
        ("Soft and glossy, no colour.", 5),
        ("320 g", 5),
        ("1,200 g", 5),
        ("1½ cups", 5),
        ("63 °C", 2),
        ("sixty-three degrees", 2),
        ("don't", 1),
        ("Wait. [pause 2 s] Then [smile] go.", 3),
        ("75, 20, 5", 3),
        ("… — !", 0),
        ("10%", 3),
    ],
)
def test_words_of_a_line_are_those_that_are_heard(line: str, count: int) -> None:
    assert len(spoken_words(line)) == count


def test_a_figure_that_is_no_number_is_read_digit_by_digit() -> None:
    assert spoken_words("1/0 g") == ["one", "nought", "g"]


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200), st.text(max_size=200))
def test_words_of_two_lines_are_the_words_of_both(one: str, other: str) -> None:
    if "[" in one + other or "]" in one + other:
        return
    assert spoken_words(f"{one}\nand {other}") == [*spoken_words(f"{one}\n"), "and", *spoken_words(f" {other}")]


# --- read back --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Two tablespoons of butter.", [("2", "tablespoon")]),
        ("2 tbsp butter", [("2", "tablespoon")]),
        ("A tablespoon and a half", [("3/2", "tablespoon")]),
        ("one and a half cups", [("3/2", "cup")]),
        ("half a cup", [("1/2", "cup")]),
        ("A quarter of a teaspoon", [("1/4", "teaspoon")]),
        ("three hundred and twenty grams", [("320", "gram")]),
        ("A hundred grams", [("100", "gram")]),
        ("one thousand two hundred grams", [("1200", "gram")]),
        ("1,200 g and 1.5 kg", [("1200", "gram"), ("3/2", "kilogram")]),
        ("nought point four five cups", [("9/20", "cup")]),
        ("five fluid ounces", [("5", "fluid_ounce")]),
        ("four large eggs", [("4", "large")]),
        ("two fennel bulbs", [("2", "")]),
        ("Ten minutes", [("10", "")]),
        ("two to three tablespoons", []),
        ("2–3 tbsp", []),
        ("the two-litre pot", []),
        ("butter", []),
        ("a good idea", []),
        ("", []),
    ],
)
def test_amounts_of_a_line(line: str, found: list[tuple[str, str]]) -> None:
    assert [(str(h.value), h.unit) for h in amounts_in(line)] == found


@pytest.mark.parametrize(
    ("line", "about"),
    [
        ("two tablespoons", False),
        ("about two tablespoons", True),
        ("a generous tablespoon", True),
        ("two level tablespoons", False),
        ("a level tablespoon", False),
        ("two", False),
        ("about all of those two cups", False),
        ("about what two cups", True),
        ("two cups and so on", False),
        ("two cups or so", True),
    ],
)
def test_what_is_not_said_as_exact(line: str, about: bool) -> None:
    heard = amounts_in(line)
    assert [h.about for h in heard] == [about]


@pytest.mark.parametrize(
    ("line", "unit"),
    [
        ("two cups", "metric_cup"),
        ("two cupfuls", "metric_cup"),
        ("two tea spoons", "metric_teaspoon"),
        ("a cup", "metric_cup"),
    ],
)
def test_cups_are_the_files_own(line: str, unit: str) -> None:
    assert [h.unit for h in amounts_in(line, Cups.METRIC)] == [unit]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        # an article
        ("an ounce of butter", [("1", "ounce", "an ounce")]),
        ("a level teaspoon of salt", [("1", "teaspoon", "a level teaspoon")]),
        ("an extra large egg", [("1", "extra_large", "an extra large")]),
        ("Flour, then a cup of milk", [("1", "cup", "a cup")]),
        ("In with a cup, then stir", [("1", "cup", "a cup")]),
        ("a, cup", []),
        # ranges are no amounts, and the line goes on after them
        ("2–3 tbsp, then four grams", [("4", "gram", "four grams")]),
        ("2-3 cups, two or three cups, 2—3 cups", []),
        ("Salt. Two to three cups", []),
        ("two to three, then stir", []),
        ("two to, three cups", [("2", "", "two"), ("3", "cup", "three cups")]),
        # parts
        ("the third cup", []),
        ("third of a cup", [("1/3", "cup", "third of a cup")]),
        ("half of an ounce", [("1/2", "ounce", "half of an ounce")]),
        ("half an ounce", [("1/2", "ounce", "half an ounce")]),
        ("quarter of an ounce", [("1/4", "ounce", "quarter of an ounce")]),
        ("quarter of a lemon", [("1/4", "", "quarter")]),
        ("an eighth of a teaspoon", [("1/8", "teaspoon", "an eighth of a teaspoon")]),
        ("one of a bunch", [("1", "", "one"), ("1", "bunch", "a bunch")]),
        ("one a litre", [("1", "", "one"), ("1", "litre", "a litre")]),
        ("two cups a day", [("2", "cup", "two cups")]),
        # and what is added to them
        ("1 and a half cups", [("3/2", "cup", "1 and a half cups")]),
        ("Now, two and a half cups", [("5/2", "cup", "two and a half cups")]),
        ("1/2 and a quarter", [("1/2", "", "1/2"), ("1/4", "", "a quarter")]),
        ("two cups then half a lemon", [("2", "cup", "two cups"), ("1/2", "", "half")]),
        ("two cups and, half a lemon", [("2", "cup", "two cups"), ("1/2", "", "half")]),
        ("two cups and half, then stir", [("5/2", "cup", "two cups and half")]),
        ("2 cups and 1/2", [("5/2", "cup", "2 cups and 1/2")]),
        ("2 cups and 1 egg", [("2", "cup", "2 cups"), ("1", "", "1")]),
        ("2 cups and 0 g of salt", [("2", "cup", "2 cups"), ("0", "gram", "0 g")]),
        # whole numbers
        ("two", [("2", "", "two")]),
        ("two one", [("2", "", "two"), ("1", "", "one")]),
        ("twenty-one grams", [("21", "gram", "twenty-one grams")]),
        ("twenty. One gram", [("20", "", "twenty"), ("1", "gram", "One gram")]),
        ("twenty ten", [("20", "", "twenty"), ("10", "", "ten")]),
        ("twenty zero", [("20", "", "twenty"), ("0", "", "zero")]),
        ("a thousand grams", [("1000", "gram", "a thousand grams")]),
        ("twenty hundred grams", [("2000", "gram", "twenty hundred grams")]),
        ("two million and five grams", [("2000005", "gram", "two million and five grams")]),
        ("three thousand million", [("3000000000", "", "three thousand million")]),
        ("one hundred and three quarters grams", [("403/4", "gram", "one hundred and three quarters grams")]),
        ("hundred grams, thousand, million", [("100", "gram", "hundred grams")]),
        ("one point two", [("6/5", "", "one point two")]),
        ("two point", [("2", "", "two")]),
        # units of two words
        ("two fl oz", [("2", "fluid_ounce", "two fl oz")]),
        ("one fluid ounce", [("1", "fluid_ounce", "one fluid ounce")]),
        ("two heavy ounces", [("2", "", "two")]),
        ("two fluid grams", [("2", "", "two")]),
        ("two extra large eggs", [("2", "extra_large", "two extra large")]),
        ("two extra eggs", [("2", "", "two")]),
        ("one tea spoon", [("1", "teaspoon", "one tea spoon")]),
        ("two table spoons and a half", [("5/2", "tablespoon", "two table spoons and a half")]),
        ("two table legs", [("2", "", "two")]),
        ("two wooden spoons", [("2", "", "two")]),
    ],
)
def test_amounts_reach_as_far_as_they_are_said(line: str, found: list[tuple[str, str, str]]) -> None:
    assert [(str(h.value), h.unit, line[h.start : h.end]) for h in amounts_in(line)] == found


_PARTS = [Fraction(0), *FRACTIONS]


@settings(max_examples=100, deadline=None)
@given(
    st.one_of(
        st.integers(1, 10**7).map(Fraction),
        st.builds(lambda whole, part: whole + part, st.integers(0, 300), st.sampled_from(_PARTS)).filter(bool),
        st.integers(1, 99_999).map(lambda n: Fraction(n, 100)),
    ),
    st.sampled_from(["g", "tbsp", "cup", "l", "clove", "oz"]),
)
def test_what_is_spoken_is_read_back(value: Fraction, unit: str) -> None:
    amount = parse_amount(f"{float(value):.2f} {unit}") if value.denominator not in (1, 2, 3, 4, 8) else None
    amount = amount or parse_amount(f"1 {unit}").times(value)
    for line in (f"In go {amount_words(amount)}, then stir.", f"In go {amount_and_name(amount, 'thyme')}."):
        assert [(h.value, h.unit) for h in amounts_in(line)] == [(amount.value, amount.unit)]


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.sampled_from(
            [
                "a",
                "two",
                "half",
                "and",
                "of",
                "1",
                "½",
                "3,5",
                "cup",
                "g",
                "point",
                "hundred",
                "to",
                "or",
                "-",
                "–",
                ",",
                ".",
                "about",
                "é",
                "9999999999",
                "1/0",
            ]
        )
    )
)
def test_no_line_is_too_strange_to_read(words: list[str]) -> None:
    line = " ".join(words)
    for heard in amounts_in(line):
        assert 0 <= heard.start < heard.end <= len(line)
    spoken_words(line)


def test_half_of_what_is_counted_without_a_word_is_a_half() -> None:
    assert amount_words(parse_amount("1/2")) == "half"
    assert amount_words(parse_amount("1/4")) == "a quarter"


def test_a_figure_beyond_those_that_have_a_name_is_read_digit_by_digit() -> None:
    assert number_words(2_000_000_001) == "two " + "nought " * 8 + "one"
