"""The table of advance widths against the font file, and against a browser that renders it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from advance_widths import widths_of, written
from conftest import ROOT, absent

from scriptkit.captions.composing.text_width import FONT, thousandths

FONT_FILE = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
LINES = [
    "Butter 28 g (2 tbsp)",
    "WWW MMM @@@",
    "Crème fraîche ½ cup",
    "Carbs 16.1 g − fibre 4.8 g",
    "= net carbs 11.3 g",
    "Жир 28 г",
]


def test_the_table_is_the_font_files() -> None:
    if not FONT_FILE.exists():
        pytest.skip(f"{FONT} is not installed")
    table = (ROOT / "scriptkit" / "captions" / "composing" / "advance_widths.csv").read_text(encoding="utf-8")
    assert table == written(widths_of(FONT_FILE.read_bytes()))


def test_a_browser_renders_no_line_wider(browser: Any) -> None:
    """Chromium's own measure of a line in the same font: never wider than the table says, and at most 3 % narrower."""
    if not FONT_FILE.exists():
        absent(FONT)
    page = browser.new_page()
    try:
        measured = page.evaluate(
            "([font, lines]) => { const c = document.createElement('canvas').getContext('2d'); c.font = `100px '${font}'`;"
            " return lines.map(l => c.measureText(l).width); }",
            [FONT, LINES],
        )
    finally:
        page.close()
    for line, pixels in zip(LINES, measured, strict=True):
        assert pixels <= thousandths(line) / 10 + 0.5
        assert pixels >= thousandths(line) / 10 * 0.97
