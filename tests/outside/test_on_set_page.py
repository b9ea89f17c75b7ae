"""The on-set page as a page in a real browser: for every thumb, keyboard and screen reader, safe, printable and light."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from pathlib import Path
from typing import Any

import pytest
from on_set_phone import PHONE, Phone, Set, leeks_on_toast, make_set, phone

from scriptkit.shoot.plan import dishes_of

leeks = pytest.fixture(leeks_on_toast)


HOSTILE = """
    dish: "</script><script>document.title = 'run'</script>\\u202Eevil\\""
    servings: 2
    ingredients:
      "<img src=x onerror=document.title='run'>": {amount: 30 g, food: olive oil}
      "=HYPERLINK(\\"http://example.invalid\\")": {amount: 3 g, food: salt}
      "a; b, \\"c\\"\\u2028": {amount: 3 g, food: salt}
    steps:
      - {id: "${alert(1)}", stage: cook, do: "{{ page }} <!-- <script>", screen: 20 s, vessel: pan,
         add: ["<img src=x onerror=document.title='run'>", "=HYPERLINK(\\"http://example.invalid\\")", "a; b, \\"c\\"\\u2028"]}
      - {id: "`next`", stage: cook, do: Rest., method: sear, hands: 1 min, screen: 20 s}
"""


def test_everything_works_with_the_keyboard_and_focus_stays(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        reached = []
        for _ in range(200):
            on.page.keyboard.press("Tab")
            name = on.page.evaluate(
                "document.activeElement.getAttribute('aria-label') || document.activeElement.id || document.activeElement.labels?.[0]?.textContent || document.activeElement.textContent"
            )
            if name in reached:
                break
            reached.append(name)
            if name == "Roll 3A":
                break
        assert reached[:6] == ["card", "clip", "Save log", "log", "Clear", "undo"]
        assert "Circle 2A" in reached and reached[-1] == "Roll 3A"
        on.page.keyboard.press("Enter")
        focus = "document.activeElement.getAttribute('aria-label')"
        assert on.page.evaluate(focus) == "Roll 3A"
        assert on.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        on.page.keyboard.press("Tab")
        on.page.keyboard.press("Space")
        assert on.page.evaluate(focus) == "Circle 3A"
        assert on.text("#said") == "3A take 1 circled"
        assert on.missing()[1] == []  # the leek comes next
        on.page.get_by_role("button", name="Undo").focus()
        on.page.keyboard.press("Enter")
        on.page.keyboard.press("Enter")
        assert on.page.evaluate("document.activeElement.id") == "undo"
        assert on.page.locator("#undo").get_attribute("aria-disabled") == "true"


@pytest.mark.parametrize("width", [320, 390, 794])
def test_every_target_is_wide_enough_for_a_thumb(browser: Any, leeks: Set, width: int) -> None:
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": width, "height": 844})
        on.tap("Circle 3A")
        small = on.page.evaluate(
            """[...document.querySelectorAll('button, .file, input:not(.unseen, [type=checkbox])')].filter(e => e.getClientRects().length)
            .map(e => [e.outerHTML.slice(0, 60), e.getBoundingClientRect()]).filter(([, r]) => r.width < 44 || r.height < 44).map(([n]) => n)"""
        )
        assert small == []  # CSS pixels: target size, WCAG 2.2 success criterion 2.5.5
        assert on.page.evaluate("document.documentElement.scrollWidth") <= width


def test_on_a_wide_screen_the_picture_has_the_widest_column(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": 1280, "height": 844})
        heads = on.page.evaluate(
            "[...document.querySelectorAll('#day th')].map(e => [e.textContent.trim(), e.getBoundingClientRect().width])"
        )
        widths = dict(heads)
        assert widths["Picture"] > 300 and widths["Picture"] == max(widths.values())


def test_hostile_names_are_text_on_the_page_and_come_back_from_the_log(browser: Any, tmp_path: Path) -> None:
    hostile = make_set(HOSTILE, tmp_path)
    with phone(browser, hostile.path) as on:
        slates = [s.slate for s in hostile.shots if s.additions]
        for slate in slates:
            on.tap(f"Circle {slate}")
        assert on.page.title() != "run"
        assert on.page.locator("img, iframe").count() == 0
        saved = on.save(tmp_path)
        assert on.file_name == "script-script-document-title-run-script-evil-takes.csv"
        log = hostile.read(saved)
        assert log.problems == ()
        assert [a.ingredient.key for t in log.takes for a in t.additions] == [
            i.key for d in dishes_of(hostile.source) for i in d.ingredients
        ]
        assert not any(
            cell.startswith(("=", "+", "-", "@"))
            for row in csv.reader(io.StringIO(saved.read_text(encoding="utf-8-sig")))
            for cell in row
        )
        on.open_log(saved.read_bytes())
        assert on.text("#said") == "Read 3 takes, 0 of them new"


def test_a_script_that_was_slipped_in_does_not_run(browser: Any, leeks: Set) -> None:
    html = leeks.path.read_text(encoding="utf-8")
    leeks.path.write_text(
        html.replace(
            "</h1>", "</h1><script>document.title = 'run'</script><img src=x onerror=\"document.title='run'\">"
        ),
        encoding="utf-8",
    )
    context = browser.new_context(viewport=PHONE)
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(100)
    assert on.page.title() != "run"
    assert on.page.locator("#bar").is_visible()  # while the page's own script does
    context.close()


def test_in_print_it_is_the_shoot_list_without_its_buttons(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A")
        on.page.emulate_media(media="print")
        assert (
            on.page.locator("button:visible, .gate:visible, .takes:visible, #on-set:visible, #bar:visible").count() == 0
        )
        assert on.page.locator("tr.shot:visible").count() == len(leeks.shots)


@pytest.mark.parametrize("width", [390, 794])
def test_axe_finds_nothing_serious(browser: Any, leeks: Set, width: int) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        if os.environ.get("CI"):
            pytest.fail("axe-playwright-python is not installed, and this must not be skipped in CI")
        pytest.skip("axe-playwright-python is not installed")
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": width, "height": 844})
        on.tap("NG 3A", "Circle 3A", "Roll 3B")
        on.open_log("no log")
        found = Axe().run(on.page).response
        assert len(found["passes"]) > 10
        grave = [
            (v["id"], v["impact"], v["nodes"][0]["html"][:100])
            for v in found["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        assert grave == []


def test_the_page_is_light(tmp_path: Path) -> None:
    """Under 220 kB for 300 rows, the fonts included, and every row still has its shot."""
    from speed.on_set import long_day

    on_set = make_set(long_day(), tmp_path)
    html = on_set.path.read_text(encoding="utf-8")
    assert html.count("class=tick") == len(on_set.shots) > 290
    assert len(html.encode("utf-8")) < 220_000
    data = json.loads(re.search(r'id="shots">(.*?)</script>', html).group(1))  # type: ignore[union-attr]
    assert [row[0] for row in data["shots"]] == [s.slate for s in on_set.shots]
