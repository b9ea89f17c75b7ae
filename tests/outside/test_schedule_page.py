"""The cook schedule's page in a real browser: the picture is drawn, and nothing of the page is cut off."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES
from test_pages_in_chromium import A4, PHONE

from scriptkit.pack import make_pack
from scriptkit.production import read


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("pack") / "schedule.html"
    files = make_pack(read(str(EXAMPLES / "harbour-supper.yaml"))).files
    path.write_text(files["schedule.html"], encoding="utf-8")
    return path


@pytest.mark.parametrize("width", [PHONE, A4])
def test_the_picture_and_the_table(browser: Any, page_file: Path, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 1200})
    page.goto(page_file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width  # the picture scrolls in its own frame
    bars = page.evaluate(
        "[...document.querySelectorAll('rect.bar')].map(b => [b.getBBox().width, getComputedStyle(b).fill])"
    )
    assert len(bars) > 10
    assert all(w > 0 and fill not in ("none", "rgb(0, 0, 0)") for w, fill in bars)
    over = page.evaluate(
        """[...document.querySelectorAll('text.label')].filter(t => {
            const bar = t.parentNode.querySelector('rect').getBBox(), words = t.getBBox();
            return words.x + words.width > bar.x + bar.width + 1;
        }).map(t => t.textContent)"""
    )
    assert over == []
    steps = page.evaluate("document.querySelectorAll('table tbody tr').length")
    assert steps == sum(1 for lane in bars if lane) - page.evaluate("document.querySelectorAll('rect.passive').length")
    page.close()
