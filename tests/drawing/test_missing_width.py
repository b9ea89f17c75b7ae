"""How wide a character is taken to be that the font lacks: letters that are whole words must not spread all others."""

from __future__ import annotations

from scriptkit.drawing.font_file import FontFile


def test_what_a_font_lacks_is_an_em_wide_at_most() -> None:
    font = FontFile("Some Arabic", False, {ord("\u0628"): 500, ord("\ufdfd"): 11_000}, 1.0, 0.3, b"")
    assert font.width("10 oz") <= 5
    assert font.width("\ufdfd") == 11
    assert FontFile("Narrow", False, {ord("a"): 400}, 1.0, 0.3, b"").width("b") == 0.4
