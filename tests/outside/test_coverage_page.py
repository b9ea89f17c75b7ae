"""The coverage page in Chromium: readable on a phone and on a desk, with nothing that a screen reader stumbles over."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, absent

from scriptkit.cli import coverage


@pytest.fixture(scope="module")
def page_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Of the example's log and of its faulty talk: every part of the page has something in it."""
    out = tmp_path_factory.mktemp("coverage")
    log = out / "takes.csv"
    takes = (EXAMPLES / "harbour-supper-takes.csv").read_text(encoding="utf-8-sig")
    log.write_text(takes.replace("2026-10-05 09:58:12,circled", "2026-10-05 09:58:12,NG"), encoding="utf-8")
    rough = str(EXAMPLES / "harbour-supper-rough-cut.srt")
    coverage.run(str(EXAMPLES / "harbour-supper.yaml"), log=str(log), transcript=rough, output=str(out))
    return out / "coverage.html"


@pytest.mark.parametrize("width", [360, 900])
def test_every_part_is_seen_without_scrolling_sideways(browser: Any, page_path: Path, width: int) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        absent("axe-playwright-python")
    context = browser.new_context(viewport={"width": width, "height": 800}, bypass_csp=True)  # axe is a script
    page = context.new_page()
    page.goto(page_path.as_uri())
    heads = [h.split("\n")[0] for h in page.locator("h2").all_inner_texts()]
    assert [h.split(" ●")[0].split(" 2")[0] for h in heads] == [
        "Rescue list", "Not yet covered before a one-chance step", "Spoken figures that differ from the recipe", "Additions and shots",
        "Needs attention",
    ]  # fmt: skip
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []
    statuses = page.locator("tr.gap .status").all_inner_texts()
    assert "not heard" in statuses
    context.close()
