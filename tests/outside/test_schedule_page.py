"""The schedule's page in a real browser: the time line is drawn, clock times are filled in, and *now* is marked."""

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


@pytest.mark.parametrize("width", [320, PHONE, A4])
def test_moments_run_down_the_page_with_their_waits_beside_them(browser: Any, page_file: Path, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 1200})
    page.goto(page_file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    tops = page.evaluate("[...document.querySelectorAll('.moment')].map(m => m.getBoundingClientRect().top)")
    assert len(tops) > 10
    assert tops == sorted(tops)
    waits = page.evaluate("[...document.querySelectorAll('.wait')].map(w => w.getBoundingClientRect().height)")
    assert len(waits) >= 2 and all(height > 40 for height in waits)
    covered = page.evaluate(
        """[...document.querySelectorAll('.wait')].some(w => [...document.querySelectorAll('.body')].some(b =>
            w.getBoundingClientRect().right > b.getBoundingClientRect().left + 8))"""
    )
    assert not covered
    page.close()


def test_a_serving_time_gives_clock_times_and_now_is_where_the_clock_is(browser: Any, page_file: Path) -> None:
    page = browser.new_page(viewport={"width": PHONE, "height": 1200})
    page.clock.install(time="2026-06-01T17:30:00")
    page.goto(page_file.as_uri())
    page.fill("#serve-at", "18:30")
    times = page.evaluate("[...document.querySelectorAll('.at')].map(a => a.textContent)")
    assert times[-1] == "18:30"
    assert times == sorted(times)
    now = page.evaluate("[...document.querySelectorAll('.now .at')].map(a => a.textContent)")
    assert len(now) == 1 and now[0] <= "17:30"
    assert page.evaluate("document.querySelectorAll('.over').length") == times.index(now[0])
    page.fill("#serve-at", "")
    assert page.evaluate("document.querySelector('.at').textContent") == "0:00"
    page.click("#start")
    assert page.evaluate("document.querySelector('.now .at').textContent") == "17:30"
    page.close()
