"""How wide a character is taken to be that the font lacks: letters that are whole words must not spread all others."""

from __future__ import annotations

from scriptkit.drawing.font_file import FontFile


def with_letters(advances: dict[int, int]) -> FontFile:
    return FontFile(family="Some letters", bold=False, advances=advances, ascent=1.0, descent=0.3, sfnt=b"")


def test_what_a_font_lacks_is_an_em_wide_at_most() -> None:
    font = with_letters({ord("\u0628"): 500, ord("\ufdfd"): 11_000})
    assert font.width("10 oz") <= 5
    assert font.width("\ufdfd") == 11
    assert with_letters({ord("a"): 400}).width("b") == 0.4
