"""Amounts: every unit of units.txt, exact measures, and what is refused with a hint."""

from __future__ import annotations

import re
from fractions import Fraction
from importlib import resources

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import (
    Amount,
    Cups,
    Kind,
    NotAnAmount,
    canonical_unit,
    format_grams,
    parse_amount,
    unit_names,
)
from scriptkit.measure.unit_table import parsed_by_pint, unit_words, written_by_pint


def written_units() -> list[tuple[str, str]]:
    """(name or synonym, the unit's one name), read from the file itself."""
    found = []
    text = resources.files("scriptkit.measure").joinpath("units.txt").read_text(encoding="utf-8")
    for line in text.splitlines():
        parts = [part.strip() for part in line.split("#")[0].split("=")]
        if len(parts) > 1:
            name, _, *others = parts
            found += [(word, name) for word in (name, *others) if word != "_"]
    return found


def test_the_file_of_units_is_read_here_as_it_is_there() -> None:
    assert len(written_units()) > 80
    words = {word for word, _ in written_units()}
    assert set(unit_names()) == {word for word in words if not (word.endswith("s") and word[:-1] in words)}


def test_the_table_of_units_is_as_pint_works_it_out() -> None:
    """After a change of units.txt: `python -m scriptkit.measure.unit_table`."""
    table = resources.files("scriptkit.measure").joinpath("units.csv").read_text(encoding="utf-8")
    assert table == written_by_pint()


@given(st.text(st.sampled_from("abcegiklmnoprstu_"), min_size=1, max_size=7))
def test_a_word_that_the_table_lacks_means_to_pint_nothing_either(word: str) -> None:
    if (name := parsed_by_pint(word)) is not None and len(word) > 3:  # but for plurals such as "gs"
        assert unit_words().get(word) == name


@pytest.mark.parametrize(("word", "unit"), written_units())
def test_every_unit_may_be_written(word: str, unit: str) -> None:
    expected = Amount(Fraction(3, 2), unit)
    assert parse_amount(f"1 1/2 {word}") == expected
    assert parse_amount(f"1½{word}") == expected
    assert parse_amount(f"1.5 {word.upper()}.") == expected


@pytest.mark.parametrize("unit", sorted({unit for _, unit in written_units()}))
def test_the_plural_and_the_printed_form_are_read_back(unit: str) -> None:
    for value in (Fraction(1), Fraction(3), Fraction(1, 2), Fraction(7, 4)):
        amount = Amount(value, unit)
        read = [parse_amount(str(amount), cups=cups) for cups in Cups]
        assert amount in read, f"{amount} is read as {read}"


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("3", Amount(Fraction(3), "piece")),
        ("2 fl oz", Amount(Fraction(2), "fluid_ounce")),
        ("2 fl. oz.", Amount(Fraction(2), "fluid_ounce")),
        ("2 FL OZ", Amount(Fraction(2), "fluid_ounce")),
        ("2 fluid ounces", Amount(Fraction(2), "fluid_ounce")),
        ("1 extra large", Amount(Fraction(1), "extra_large")),
        ("1 extra-large", Amount(Fraction(1), "extra_large")),
        ("231 cubic inches", Amount(Fraction(231), "cubic_inch")),
        ("1 Tbsp.", Amount(Fraction(1), "tablespoon")),
        ("3 bunches", Amount(Fraction(3), "bunch")),
        ("2 leaves", Amount(Fraction(2), "leaf")),
        ("3 pinches", Amount(Fraction(3), "pinch")),
    ],
)
def test_amounts_as_cooks_write_them(text: str, amount: Amount) -> None:
    assert parse_amount(text) == amount


@pytest.mark.parametrize(
    ("text", "printed"),
    [("1 cup", "1 cup"), ("1 1/2 cup", "1 ½ cups"), ("2 leaf", "2 leaves"), ("30 grams", "30 g"), ("3", "3")],
)
def test_an_amount_is_printed_in_short_and_in_its_number(text: str, printed: str) -> None:
    assert str(parse_amount(text)) == printed


# US measures from a gallon of 231 cubic inches of 2.54 cm each, exactly (NIST Handbook 44, Appendix C).
INCH_ML = Fraction(254, 100) ** 3


@pytest.mark.parametrize(
    ("text", "millilitres"),
    [
        ("1 gallon", Fraction("3785.411784")),
        ("1 quart", Fraction("946.352946")),
        ("1 cup", Fraction("236.5882365")),
        ("1 fl oz", Fraction("29.5735295625")),
        ("1 tbsp", Fraction("14.78676478125")),
        ("1 tsp", Fraction("4.92892159375")),
        ("1 gallon", 231 * INCH_ML),
        ("1 cup", 231 * INCH_ML / 16),
        ("3 tsp", 231 * INCH_ML / 256),
        ("1 cl", Fraction(10)),
        ("1 dl", Fraction(100)),
        ("1 l", Fraction(1000)),
        ("1 cc", Fraction(1)),
    ],
)
def test_volumes_are_exact(text: str, millilitres: Fraction) -> None:
    assert parse_amount(text).exactly("millilitre") == millilitres


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1 lb", Fraction("453.59237")),  # the avoirdupois pound, exact: NIST Handbook 44, Appendix C
        ("1 oz", Fraction("28.349523125")),
        ("16 oz", Fraction("453.59237")),
        ("1 kg", Fraction(1000)),
        ("1 mg", Fraction(1, 1000)),
    ],
)
def test_weights_are_exact(text: str, grams: Fraction) -> None:
    assert parse_amount(text).exactly("gram") == grams


@pytest.mark.parametrize(
    ("cups", "cup", "tablespoon", "teaspoon"),
    [
        (Cups.METRIC, 250, 15, 5),
        (Cups.AUSTRALIAN, 250, 20, 5),  # the Australian tablespoon is 20 ml; from memory
        (Cups.US, Fraction("236.5882365"), Fraction("14.78676478125"), Fraction("4.92892159375")),
    ],
)
def test_a_file_says_whose_cups_it_means(
    cups: Cups, cup: Fraction | int, tablespoon: Fraction | int, teaspoon: Fraction | int
) -> None:
    ml = [parse_amount(f"1 {unit}", cups=cups).exactly("millilitre") for unit in ("cup", "tbsp", "teaspoon")]
    assert ml == [cup, tablespoon, teaspoon]


@given(st.fractions(min_value=Fraction(1, 1000), max_value=10_000, max_denominator=1000), st.data())
@settings(max_examples=100)
def test_there_and_back_is_exact(value: Fraction, data: st.DataObject) -> None:
    units = sorted({u for _, u in written_units() if Amount(Fraction(1), u).kind is not Kind.COUNT})
    one, other = data.draw(st.sampled_from(units)), data.draw(st.sampled_from(units))
    amount = Amount(value, one)
    if amount.kind is Amount(Fraction(1), other).kind:
        assert Amount(amount.exactly(other), other).exactly(one) == value
    else:
        with pytest.raises(ValueError, match="not a measure of the same kind"):
            amount.exactly(other)


@given(st.integers(1, 99_999), st.data())
@settings(max_examples=100)
def test_printed_amounts_are_read_back(hundredths: int, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(sorted({u for _, u in written_units() if not u.startswith(("metric", "austr"))})))
    amount = Amount(Fraction(hundredths, 100), unit)
    assert parse_amount(str(amount)) == amount


@pytest.mark.parametrize(
    ("text", "message", "hint", "code"),
    [
        ("1 pint", "568 ml in Britain", "millilitres or cups", "unit"),
        ("2 pints", "473 ml in the US", "millilitres or cups", "unit"),
        ("1 pt", "a pint is", "millilitres or cups", "unit"),
        ("100 gramms", "not a unit", "did you mean `100 g` or `100 kg`?", "unit"),
        ("3 tbps", "“tbps” in “3 tbps”", "did you mean `3 tbsp`", "unit"),
        ("2 cloevs", "not a unit", "did you mean `2 cloves`", "unit"),
        ("2 ladles", "not a unit", "write grams", "unit"),
        ("2 dimensionless", "not a unit", "write grams", "unit"),
        ("1 g_kg", "not a unit", "kg", "unit"),
        ("1 kilocup", "not a unit", "cup", "unit"),
        ("1 nan", "not a unit", "", "unit"),
        ("1e3 g", "“e3” in “1e3 g”", "write grams", "unit"),
        ("1 __class__", "not a unit", "", "unit"),
        ("2 large eggs", "“eggs” is left over", "write `2 large`, and put “eggs” under `prep:` or `food:`", "amount"),
        ("30 g, diced", "“diced” is left over", "write `30 g`, and put “diced”", "amount"),
        ("30 g diced finely", "“diced finely” is left over", "put “diced finely”", "amount"),
        ("2 fl oz, strained", "“strained” is left over", "write `2 fl oz`, and put “strained”", "amount"),
        ("2 g g", "“g” is left over", "write `2 g`, and", "amount"),
        ("1 1/2 small bunches", "“bunches” is left over", "write `1 1/2 bunches`, without its size", "amount"),
        ("30 g diced", "“diced” is left over", "write `30 g`", "amount"),
        ("1 fl oz extra", "“extra” is left over", "write `1 fl oz`", "amount"),
        ("2-3 cups", "is a range", "`2 cups` or `3 cups`", "amount"),
        ("0 g", "is nothing", "to taste", "amount"),
        ("0/5 g", "is nothing", "to taste", "amount"),
        ("1 small bunch", "“bunch” is left over", "write `1 bunch`, without its size", "amount"),
        ("pinch", "does not start with a number", "write `1 pinch`", "amount"),
        ("A bunch", "does not start with a number", "write `1 bunch`", "amount"),
        ("a glug", "does not start with a number", "write a number first, such as 30 g or 1 1/2 tbsp", "amount"),
        ("nan g", "does not start with a number", "", "amount"),
        ("", "does not start with a number", "", "amount"),
    ],
)
def test_what_is_no_amount_is_told_with_a_hint(text: str, message: str, hint: str, code: str) -> None:
    with pytest.raises(NotAnAmount) as told:
        parse_amount(text)
    assert message in str(told.value)
    assert hint in told.value.hint
    assert told.value.hint
    assert told.value.code == code


def test_a_word_that_is_near_no_unit_has_none_suggested() -> None:
    with pytest.raises(NotAnAmount) as told:
        parse_amount("2 ladles")
    assert told.value.hint.startswith("write grams")


@given(st.text(max_size=40), st.text(alphabet="gkclbtsp_.,()½ \u00a0", max_size=12))
@settings(max_examples=100)
def test_any_text_is_an_amount_or_told(head: str, tail: str) -> None:
    for text in (head, tail, f"2 {head}", f"2 {tail}"):
        try:
            amount = parse_amount(text)
        except NotAnAmount as told:
            assert told.hint
        else:
            assert amount.value > 0
            assert re.fullmatch(r"[a-z_]+", amount.unit)


@pytest.mark.parametrize(
    "word", ["", "_", "__", "g g", "g/l", "g*l", "2", "π", "delta_gram", "dimensionless", "a" * 5000]
)
def test_what_is_no_unit_has_no_name(word: str) -> None:
    assert canonical_unit(word) is None


def test_a_unit_of_two_words_has_one_name() -> None:
    assert canonical_unit("fluid ounce") == canonical_unit("fluid. ounce.") == "fluid_ounce"


@pytest.mark.parametrize(
    ("amount", "kind"),
    [("1 g", Kind.MASS), ("1 cup", Kind.VOLUME), ("1 pinch", Kind.VOLUME), ("1", Kind.COUNT), ("1 clove", Kind.COUNT)],
)
def test_kinds(amount: str, kind: Kind) -> None:
    assert parse_amount(amount).kind is kind


def test_a_count_has_no_weight() -> None:
    with pytest.raises(ValueError, match="not a measure of the same kind"):
        _ = parse_amount("2 cloves").grams
    with pytest.raises(ValueError, match="not a measure of the same kind"):
        _ = parse_amount("2 g").millilitres


@pytest.mark.parametrize(
    ("grams", "shown"),
    [
        (0, "0 g"), (0.001, "under 0.1 g"), (0.04, "under 0.1 g"), (0.05, "0.1 g"), (0.06, "0.1 g"), (0.4, "0.4 g"), (4, "4 g"),
        (4.54, "4.5 g"), (9.94, "9.9 g"), (9.96, "10 g"), (10.4, "10 g"), (45.4, "45 g"), (999.4, "999 g"), (999.5, "1 kg"), (999.6, "1 kg"),
        (1000, "1 kg"), (1250, "1.25 kg"), (12_500, "12.5 kg"),
    ],
)  # fmt: skip
def test_grams_as_a_scale_shows_them(grams: float, shown: str) -> None:
    assert format_grams(grams) == shown


@given(st.floats(0.001, 50_000))
@settings(max_examples=100)
def test_grams_shown_are_near_the_grams_and_never_nothing(grams: float) -> None:
    shown = format_grams(grams)
    if shown == "under 0.1 g":
        assert grams < 0.05
        return
    off = abs(parse_amount(shown).grams - grams)
    assert off <= (0.0501 if grams < 9.95 else 0.501 if grams < 999.5 else 5.01)
