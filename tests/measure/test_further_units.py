"""Units beyond the fast table: pint's own definitions, each word of ours, and what is asked instead of guessed."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest
from conftest import ROOT

from scriptkit.measure.amounts import Ambiguous, Amount, NotAnAmount, parse_amount, printed, unit_names
from scriptkit.measure.further_units import further_unit, further_units, registry, units_named
from scriptkit.measure.unit_table import in_the_table, unit_of, unit_words
from scriptkit.measure.words import amount_and_name, amount_words

WORDS = [(word, row.unit) for row in further_units().values() for word in row.words]
SHARED = sorted({word for row in further_units().values() for word in row.shared})


@pytest.mark.parametrize(("word", "unit"), WORDS)
def test_every_word_may_be_written_for_one_and_for_several(word: str, unit: str) -> None:
    for text in (f"2 {word}", f"2 {word.upper()}", f"2 {word}s", f"2 {word.replace(' ', '-')}"):
        if word.endswith("³") and text.endswith("s"):
            continue
        assert parse_amount(text) == Amount(Fraction(2), unit)


@pytest.mark.parametrize("unit", further_units())
def test_a_unit_is_printed_as_it_can_be_written_and_measures_exactly(unit: str) -> None:
    assert not in_the_table(unit)
    for value in (Fraction(1), Fraction(3), Fraction(1, 2)):
        assert parse_amount(str(Amount(value, unit))) == Amount(value, unit)
    assert unit_of(unit).base in ("gram", "millilitre")
    assert printed(unit)[0] in amount_words(Amount(Fraction(1), unit))
    assert Amount(Fraction(1), unit).exactly(unit_of(unit).base) == further_unit(unit).factor


def test_it_is_spoken_in_words() -> None:
    assert amount_and_name(parse_amount("2 imperial pints"), "milk") == "two imperial pints of milk"
    assert amount_words(parse_amount("1/2 US gill")) == "half a US gill"


@pytest.mark.parametrize("word", SHARED)
def test_what_means_two_things_is_asked_with_the_figures_of_both(word: str) -> None:
    with pytest.raises(Ambiguous) as wrong:
        parse_amount(f"1 {word}")
    assert len(wrong.value.units) == 2
    for unit in wrong.value.units:
        assert f"`{printed(unit)[0]}`" in wrong.value.hint
    assert "None" not in str(wrong.value)


@pytest.mark.parametrize(
    "word", ["bag", "slug", "slinch", "stone", "parsec", "metre", "barrel", "scruple", "dimensionless"]
)
def test_what_pint_knows_beside_the_list_is_no_unit(word: str) -> None:
    assert units_named(word) is None
    with pytest.raises(NotAnAmount, match="is not a unit this kitchen knows"):
        parse_amount(f"2 {word}")


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("2 gils", "did you mean `2 gill`"),
        ("2 imperal pints", "did you mean imperial pint"),
        ("1 jiger", "did you mean `1 jigger`"),
    ],
)
def test_a_misspelt_one_is_told_with_the_nearest(text: str, hint: str) -> None:
    with pytest.raises(NotAnAmount, match="is not a unit this kitchen knows") as wrong:
        parse_amount(text)
    assert hint in wrong.value.hint


def test_words_after_it_are_told() -> None:
    with pytest.raises(NotAnAmount) as wrong:
        parse_amount("2 imperial pints, strained")
    assert wrong.value.hint == "write `2 imperial pints`, and put “strained” under `prep:` or `food:`"


OTHERWISE = {"gr": "a grain", "grs": "grains", "l": "", "pinch": "a picoinch"}
"""What pint's registry means by a word of ours that is something else there."""


@pytest.mark.parametrize(
    "name", sorted({n for n in unit_words().values() if unit_of(n).base in ("gram", "millilitre")})
)
def test_what_the_fast_table_and_pint_both_name_they_define_alike(name: str) -> None:
    if name in OTHERWISE or name.startswith(("metric_", "australian_")):
        pytest.skip("pint's registry has no kitchen unit of this name")
    ours = unit_of(name)
    in_pint = {"gram": "gram", "millilitre": "milliliter"}[ours.base]
    assert registry().Quantity(Fraction(1), name).to(in_pint).magnitude == ours.factor


def test_no_word_of_the_list_is_one_of_the_fast_table() -> None:
    further = {w.casefold() for w, _ in WORDS} | set(SHARED)
    assert [word for word in unit_names() if word.replace("_", " ") in further] == []


PROBE = """
import sys
from scriptkit.measure.amounts import NotAnAmount, parse_amount
for text in {texts}:
    try:
        _ = parse_amount(text).kind
    except NotAnAmount:
        pass
print("pint" in sys.modules)
"""


@pytest.mark.parametrize(
    ("texts", "loaded"),
    [(["2 cups", "30 g", "2 ladles", "1 bag"], "False"), (["1 imperial gill"], "True"), (["1 gill"], "True")],
)
def test_pint_is_loaded_only_for_a_unit_of_the_list(texts: list[str], loaded: str) -> None:
    probe = [sys.executable, "-c", PROBE.format(texts=texts)]
    done = subprocess.run(probe, capture_output=True, encoding="utf-8", check=False, cwd=ROOT)
    assert done.stdout.strip() == loaded, done.stderr
