"""A font read without a library: its characters and widths, against the file's own reader."""

from __future__ import annotations

import io

import pytest

from scriptkit.drawing.font_file import NotAFont, read_font
from scriptkit.drawing.shown import glyph_problems, house_fonts
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.typeface import FAMILY, WEIGHTS, font_folder


@pytest.mark.parametrize("weight", WEIGHTS)
def test_widths_and_characters_are_those_of_the_library_of_fonts(weight: str) -> None:
    ttlib = pytest.importorskip("fontTools.ttLib")
    raw = (font_folder() / f"{weight}.woff").read_bytes()
    font, other = read_font(raw), ttlib.TTFont(io.BytesIO(raw))
    advances, names = other["hmtx"], other.getBestCmap()
    em = other["head"].unitsPerEm
    assert font.advances == {c: round(advances[name][0] * 1000 / em) for c, name in names.items()}
    assert (font.family, font.bold) == (FAMILY, weight == "bold")
    assert (font.ascent, font.descent) == (other["OS/2"].usWinAscent / em, other["OS/2"].usWinDescent / em)


def test_unpacked_it_is_the_same_font() -> None:
    font = house_fonts().bold
    again = read_font(font.sfnt)
    assert (again.family, again.advances, again.sfnt) == (font.family, font.advances, font.sfnt)


@pytest.mark.parametrize(
    "raw", [b"", b"no font at all", b"wOFF" + b"\0" * 60, b"\x00\x01\x00\x00\x00\x09" + b"\0" * 20]
)
def test_what_is_no_font_is_said_to_be_none(raw: bytes) -> None:
    with pytest.raises(NotAFont):
        read_font(raw)


def test_every_cut_of_a_font_is_a_font_or_said_to_be_none() -> None:
    raw = house_fonts().regular.sfnt
    for length in range(0, len(raw), 997):
        try:
            read_font(raw[:length])
        except NotAFont:
            continue


def test_a_font_without_an_em_is_none() -> None:
    raw = bytearray(house_fonts().regular.sfnt)
    head = next(12 + 16 * n for n in range(raw[5]) if raw[12 + 16 * n : 16 + 16 * n] == b"head")
    at = int.from_bytes(raw[head + 8 : head + 12], "big")
    raw[at + 18 : at + 20] = b"\0\0"
    with pytest.raises(NotAFont):
        read_font(bytes(raw))


def test_letters_that_the_font_lacks_are_told_once_before_anything_is_burnt() -> None:
    cues = [
        Cue(start_ms=n * 2_000, end_ms=n * 2_000 + 1_500, lines=(isolated(line),), track="addition")
        for n, line in enumerate(["Crème fraîche 20 g (1 ½ tbsp)", "חמאה 28 g", "חמאה 5 g", "ต้ม 5 g"])
    ]
    fonts = house_fonts()
    assert glyph_problems(cues[:1], fonts) == []
    (one,) = glyph_problems(cues, fonts)
    assert (one.code, one.severity) == ("no-glyph", "warning")
    assert "ח מ א ה" in one.message and "28 g" in one.message
    assert "--font" in one.hint
