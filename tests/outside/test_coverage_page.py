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
    assert [h.split(" the video")[0].split(" a viewer")[0].split(" ●")[0] for h in heads] == [
        "Correct what is said", "Show it or say it", "Additions and shots",
    ]  # fmt: skip
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []
    statuses = page.locator("tr.gap .status").all_inner_texts()
    assert "not heard" in statuses
    context.close()


def test_what_is_answered_on_the_page_is_saved_kept_and_read_back(
    browser: Any, page_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page as it is, with its own policy: the answers survive a reload, and `--accept` writes them into the recipe."""
    context = browser.new_context(accept_downloads=True)
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(page_path.as_uri())
    stock = page.locator("section.card", has_text="two and a half litres")
    stock.get_by_label("Change the recipe").check()
    page.locator("section.card", has_text="capers").get_by_label("Accept it").check()
    page.reload()
    assert page.locator("#answered").inner_text().startswith("2 of ")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save answers").click()
    saving.value.save_as(tmp_path / "answers.csv")
    assert complaints == []
    context.close()
    for file in EXAMPLES.glob("*.yaml"):
        (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    talk = str(EXAMPLES / "harbour-supper-rough-cut.srt")
    coverage.run(str(tmp_path / "harbour-supper.yaml"), transcript=talk, accept=str(tmp_path / "answers.csv"))
    told = capsys.readouterr().err
    assert "stock: 2 ½ l" in told and "brown-butter: unfilmed: capers" in told
    assert "unfilmed: [capers]" in " ".join((tmp_path / "seared-hake.yaml").read_text(encoding="utf-8").split())
