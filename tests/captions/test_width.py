"""How wide a line is, in character columns and in the stated font."""

from __future__ import annotations

import pytest

from scriptkit.captions.composing.text_width import columns, graphemes, thousandths
from scriptkit.captions.profiles import profiles
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.webvtt import escape


# East Asian wide and fullwidth letters take two columns (Unicode Standard Annex #11); marks (general category Mn, Me) and
# format characters (Cf) none (Unicode Standard, chapter 4).
@pytest.mark.parametrize(
    ("text", "width"),
    [("abc", 3), ("魚のスープ", 10), ("ﾊﾞﾀｰ", 4), ("ＡＢ", 4), ("e\u0301", 1), ("מרק", 3), ("חֶמְאָה", 4), ("زبدة", 4), ("a\u200bb\u2068c\u2069", 3), ("\u0e01\u0e34", 1)],
)  # fmt: skip
def test_columns(text: str, width: int) -> None:
    assert columns(text) == width


def test_a_character_that_the_table_lacks_is_as_wide_as_the_widest() -> None:
    assert thousandths("\U00013000") == max(thousandths(chr(c)) for c in range(0x20, 0x2FFF))
    assert thousandths("魚") == 1000
    assert thousandths("\u0301") == thousandths("\u2068") == 0


def test_room_of_the_profiles() -> None:
    """Title-safe 90 % of the width (SMPTE ST 2046-1:2009): 1728 of 1920 px at a type of 59.4 px, 972 of 1080 at 53.76."""
    assert profiles()["streaming"].line_ems == pytest.approx(1728 / (1080 * 0.055), rel=1e-3)
    assert profiles()["vertical-short"].line_ems == pytest.approx(972 / (1920 * 0.028), rel=1e-3)


@pytest.mark.parametrize(
    ("text", "wide", "read"),
    [
        ("น้ำมันมะพร้าว", 10, 10),  # vowels and tones over the letters
        ("नमस्ते", 3, 3),  # na, ma, ste: a conjunct with its vowel
        ("می\u200cخواهم", 7, 7),  # the joiner that keeps apart is no letter
        ("\U0001f469\U0001f3fd\u200d\U0001f373", 2, 1),  # one cook, of four code points
        ("\U0001f1f3\U0001f1f4", 2, 1),  # a flag
        ("1\ufe0f\u20e3", 2, 1),  # a keycap
        ("한", 2, 1),  # a syllable of three jamo
        ("魚のスープ", 10, 5),
    ],
)
def test_columns_and_characters_are_counted_by_grapheme(text: str, wide: int, read: int) -> None:
    """Unicode UAX #29, clusters by hand."""
    assert columns(text) == wide
    assert graphemes(text) == read


@pytest.mark.parametrize(
    ("text", "ems"),
    [("น้ำมันมะพร้าว", 5.28), ("नारियल तेल", 4.25), ("கடல் மீன்", 4.88), ("\U0001f469\u200d\U0001f373", 1.2)],
)
def test_a_line_of_another_script_is_about_as_wide_as_its_font_draws_it(text: str, ems: float) -> None:
    """Advances of the letters in the Noto Sans fonts of 2020, marks over them left out: never narrower, and a fifth wider at most."""
    assert ems <= thousandths(text) / 1000 <= 1.2 * ems


def test_joiners_that_words_are_written_with_stay() -> None:
    for text in ("می\u200cخواهم", "\U0001f469\u200d\U0001f373"):
        assert clean(text) == text
        assert escape(text) == text
