"""How wide a line is, in character columns and in the stated font."""

from __future__ import annotations

import pytest

from scriptkit.captions.composing.text_width import columns, thousandths
from scriptkit.captions.profiles import profiles


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
