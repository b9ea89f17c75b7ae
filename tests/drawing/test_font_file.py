"""A font read without a library: its characters and widths, against the file's own reader."""

from __future__ import annotations

import io
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.drawing.canvas import canvas_of
from scriptkit.drawing.font_file import NotAFont, read_font
from scriptkit.drawing.missing_glyphs import glyph_problems, lacking
from scriptkit.drawing.shown import house_fonts, shown
from scriptkit.production import read
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.typeface import FAMILY, WEIGHTS, font_folder

Run = Callable[..., subprocess.CompletedProcess[str]]


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
    fonts, canvas = house_fonts(), canvas_of(1920, 1080)
    assert lacking(shown(cues[:1], canvas, fonts), fonts) == {}
    letters = lacking(shown(cues, canvas, fonts), fonts)
    (one,) = glyph_problems(letters, fonts)
    assert (one.code, one.severity) == ("no-glyph", "warning")
    assert "ח מ א ה" in one.message
    assert "--font" in one.hint
    assert "(U+05D7 hebrew letter het, U+05DE hebrew letter mem, " in one.message  # a terminal may lack them too
    (one,) = glyph_problems(letters, fonts, nowhere={"ต", "ม"})
    assert (one.code, one.severity) == ("no-glyph", "error")
    assert (
        "nor any other on this computer has ต ม (U+0E15 thai character to tao, U+0E21 thai character mo ma), as in “ต้ม"
        in one.message
    )


def test_letters_of_a_card_s_heading_are_told_too() -> None:
    cue = next(c for c in read(str(EXAMPLES / "fennel-bisque.yaml")).cues if c.title is not None and c.title.heading)
    assert cue.title is not None
    card = replace(cue, title=replace(cue.title, heading="魚のスープ"))
    fonts = house_fonts()
    assert set(lacking(shown([card], canvas_of(1920, 1080), fonts), fonts)) == set("魚のスープ")


def test_the_font_inside_ass_is_told_of_and_may_be_another(run: Run, tmp_path: Path) -> None:
    dish = tmp_path / "broth.yaml"
    dish.write_text(
        "dish: Harbour broth\nservings: 2\ningredients:\n  豆腐: {amount: 200 g, food: 'tofu, firm'}\n"
        "steps:\n  - {id: warm, stage: cook, do: Warm it., add: {豆腐: all}, vessel: saucepan, screen: 10 s}\n",
        encoding="utf-8",
    )
    done = run("captions", str(dish), "-o", str(tmp_path / "overlays.ass"))
    assert done.returncode == 1 and "has no 豆 腐" in done.stderr and "or as boxes" in done.stderr
    assert (tmp_path / "overlays.ass").exists()
    assert run("captions", str(dish), "-o", str(tmp_path / "overlays.srt")).returncode == 0
    own = tmp_path / "own.ttf"
    own.write_bytes(house_fonts().bold.sfnt)
    done = run("captions", str(dish), "-o", str(tmp_path / "own.ass"), "--font", str(own))
    assert "fontname: " in (tmp_path / "own.ass").read_text(encoding="utf-8") and "has no 豆 腐" in done.stderr
    done = run("captions", str(dish), "-o", str(tmp_path / "own.vtt"), "--font", str(own))
    assert done.returncode == 2 and "holds no font" in done.stderr


@pytest.mark.parametrize(
    ("command", "told"),
    [
        (("captions", "-o", "o.ass"), "a player draws them"),
        (("captions", "-o", "o.vtt", "--cards", "cards"), "the program that shows the card draws them"),
        (("overlays", "--as", "none", "-o", "drawn"), "a player draws them"),
    ],
)
def test_each_kind_of_output_says_who_draws_what_the_font_lacks(
    run: Run, tmp_path: Path, command: tuple[str, ...], told: str
) -> None:
    dish = tmp_path / "broth.yaml"
    dish.write_text(
        "dish: 豆腐\nservings: 2\ningredients:\n  豆腐: {amount: 200 g, food: 'tofu, firm'}\n"
        "steps:\n  - {id: warm, stage: cook, do: Warm it., add: {豆腐: all}, vessel: saucepan, screen: 10 s}\n",
        encoding="utf-8",
    )
    done = run(command[0], "broth.yaml", *command[1:])
    assert done.returncode == 1
    assert told in done.stderr and "has no 豆" in done.stderr
    plain = run("captions", "broth.yaml", "-o", "plain.vtt")
    assert "has no" not in plain.stderr  # the player chooses the font
