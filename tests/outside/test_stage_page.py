"""The stage page as a page in a real browser: readable at arm's length, for every thumb, pedal, keyboard and screen reader, safe and light."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from pathlib import Path
from typing import Any

import pytest
from conftest import wait_until
from stage_phone import PHONE, Phone, Set, leeks_on_toast, make_set, phone

from scriptkit.preproduction import Preproduction
from scriptkit.shoot.plan import dishes_of

leeks = pytest.fixture(leeks_on_toast)
SIZES = [(320, 568), (390, 844), (844, 390), (667, 375), (568, 320), (768, 1024), (1280, 800)]
CAP_OF_FONT = """async ([text, selector]) => {
  const at = document.querySelector(selector), style = getComputedStyle(at), paint = document.createElement('canvas').getContext('2d');
  paint.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  return paint.measureText(text).actualBoundingBoxAscent }"""


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


@pytest.fixture
def supper(tmp_path: Path) -> Set:
    return make_set("harbour-supper.yaml", tmp_path)


def test_amount_and_line_are_read_at_a_metre(browser: Any, supper: Set) -> None:
    """16 arc minutes at 1 m are 4.7 mm, which is 28 CSS pixels of 0.165 mm on a phone 390 wide."""
    with phone(browser, supper.path) as on:
        for slate in [s.slate for s in supper.shots if s.additions]:
            on.go(slate)
            assert on.page.evaluate(CAP_OF_FONT, ["H", "#what b"]) >= 28
        assert on.page.evaluate(CAP_OF_FONT, ["H", "#line"]) >= 18
        font = on.page.evaluate("parseFloat(getComputedStyle(document.querySelector('#what b')).fontSize)")
        assert 48 <= font <= 67


LAYOUT = """() => {
  const box = e => e.getBoundingClientRect(), hands = [...document.querySelectorAll('#hands button')].map(box), wide = innerWidth, high = innerHeight;
  const scrolls = [...document.querySelectorAll('body, #stage, #shot, #figures, #what, #timers')].filter(e => getComputedStyle(e).overflowY !== 'visible').filter(e => e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1).map(e => e.id || e.localName);
  const gaps = [[0, 1], [1, 2], [2, 3]].map(([a, b]) => Math.max(hands[b].left - hands[a].right, hands[b].top - hands[a].bottom, hands[a].left - hands[b].right));
  const shown = [...document.querySelectorAll('#stage button, #what, #where')].filter(e => e.getClientRects().length);
  return { scrolls, gaps, heights: hands.map(r => r.height), widths: hands.map(r => r.width), line: box(document.getElementById('say')).height,
    out: shown.filter(e => { const r = box(e); return r.left < 0 || r.right > wide + .5 || r.bottom > high + .5 || r.top < 0 }).map(e => e.id || e.textContent),
    small: shown.filter(e => e.localName === 'button').map(e => [e.id || e.textContent, box(e)]).filter(([, r]) => r.width < 44 || r.height < 40).map(([n]) => n) };
}"""


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_shot_fits_the_screen_and_only_the_line_scrolls(
    browser: Any, supper: Set, width: int, height: int
) -> None:
    with phone(browser, supper.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        for shot in supper.shots:
            on.go(shot.slate)
            found = on.page.evaluate(LAYOUT)
            assert (found["scrolls"], found["out"], found["small"]) == ([], [], []), shot.slate
            assert min(found["heights"]) >= 64 and min(found["gaps"]) >= 16 and min(found["widths"]) >= 64, shot.slate
            assert found["line"] >= 60, shot.slate


IN_POUNDS = """
    dish: Salmon in a broth with bay
    units: us
    servings: 4
    ingredients: {salmon: 1 lb 12 ½ oz, bay leaf: 1 g}
    steps:
      - {id: sear, stage: cook, do: Sear the salmon., add: {salmon: all, bay leaf: all}, vessel: pan, screen: 20 s}
"""
CUT_OFF = """() => { const range = document.createRange(), at = document.querySelector('#what b'); range.selectNodeContents(at);
  return range.getBoundingClientRect().right - document.querySelector('#what').getBoundingClientRect().right }"""


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_amounts_in_pounds_and_ounces_are_whole_on_the_screen(
    browser: Any, tmp_path: Path, width: int, height: int
) -> None:
    stage = make_set(IN_POUNDS, tmp_path)
    with phone(browser, stage.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        for shot in [s for s in stage.shots if s.additions]:
            on.go(shot.slate)
            assert on.page.evaluate(CUT_OFF) <= 0.5, on.text("#what")
            assert on.page.evaluate(LAYOUT)["scrolls"] == []
        on.tap("Weigh")
        assert on.text("#weights label:first-child small") == "planned: under 0.1 oz, 1 g"  # the scale is read in grams


@pytest.mark.parametrize(("width", "height"), [(390, 844), (844, 390)])
def test_a_timer_a_roll_and_other_additions_leave_the_amount_on_the_screen(
    browser: Any, supper: Set, width: int, height: int
) -> None:
    with phone(browser, supper.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        on.tap("Circle 7A", "Circle 7B", "Roll 8B")
        found = on.page.evaluate(LAYOUT)
        assert (found["scrolls"], found["out"]) == ([], [])


MANY = ["fresh breadcrumbs of yesterday's sourdough", "wholegrain mustard from the quay", "preserved lemon, rind only", "parsley", "onions, red, thickly sliced", "black pepper", "chives"]  # fmt: skip


@pytest.mark.parametrize(("width", "height"), [(390, 844), (844, 390), (1280, 800)])
def test_long_names_and_seven_additions_leave_the_amount_on_the_screen(
    browser: Any, tmp_path: Path, width: int, height: int
) -> None:
    listed = "".join(f'\n      "{name}": {{amount: 120 g, food: leek}}' for name in MANY)
    dish = f"""
    dish: Slow-roasted shoulder of salt-marsh lamb with anchovy, rosemary and preserved-lemon breadcrumbs
    servings: 6
    ingredients:{listed}
    steps:
      - {{id: toss, stage: cook, do: Toss them., add: {MANY}, vessel: wide casserole with a lid, heat: 220 °C, wait: 15 min, screen: 60 s, say: "Toss it."}}
      - {{id: serve, stage: cook, do: Serve it., vessel: wide casserole with a lid, hands: 1 min, screen: 9 s}}
    """
    stage = make_set(dish, tmp_path)
    with phone(browser, stage.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        for shot in [s for s in stage.shots if s.additions]:
            on.tap(f"Roll {shot.slate}")
            assert on.page.evaluate(LAYOUT)["scrolls"] == [], shot.slate
            assert on.page.evaluate(SEEN), shot.slate
            on.tap(f"NG {shot.slate}")


SEEN = """() => { const figure = document.querySelector('#what b').getBoundingClientRect(), room = document.getElementById('figures').getBoundingClientRect();
  return figure.top >= room.top - 1 && figure.bottom <= room.bottom + 1 }"""


BROKEN = """() => [...document.querySelectorAll('#hands button')].filter(b => { const text = document.createRange(); text.selectNodeContents(b);
  return new Set([...text.getClientRects()].map(r => Math.round(r.top))).size > b.textContent.split(' ').length }).map(b => b.textContent)"""
"""Buttons of which a word is broken."""


@pytest.mark.parametrize(("width", "height"), [(390, 844), (844, 390)])
def test_text_twice_as_large_is_still_usable(browser: Any, supper: Set, width: int, height: int) -> None:
    """Text resized to 200 %, WCAG 2.2 success criterion 1.4.4: what does not fit may scroll, and nothing is lost."""
    with phone(browser, supper.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        on.page.evaluate("document.documentElement.style.fontSize = '200%'")
        for slate in ("3A", "7B", "8B"):
            on.go(slate)
            assert on.page.evaluate("document.documentElement.scrollWidth") <= width
            found = on.page.evaluate(LAYOUT)
            assert not {"body", "stage"} & set(found["scrolls"])
            hands = on.page.locator("#hands button").last.bounding_box()
            assert hands["y"] + hands["height"] <= height
            assert on.page.evaluate(BROKEN) == []


def test_a_hand_a_light_and_silence_are_chosen_and_kept(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        order = "[...document.querySelectorAll('#hands button')].map(b => b.getBoundingClientRect().x)"
        first = on.page.evaluate(order)
        assert first == sorted(first)
        on.desk()
        on.page.get_by_label("left hand").check()
        on.page.get_by_label("dark kitchen").check()
        on.tap("Close")
        on.reload()
        assert on.page.evaluate(order) == pytest.approx(sorted(first, reverse=True), abs=1)
        ground = on.page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert sum(map(int, re.findall(r"\d+", ground))) < 80
        on.page.set_viewport_size({"width": 844, "height": 390})
        hands = on.page.locator("#hands").bounding_box()
        assert hands["x"] < 40


def test_swipes_and_a_foot_pedal_go_on_and_back(browser: Any, leeks: Set) -> None:
    swipe = """by => { const at = document.getElementById('shot'), touch = x => new Touch({identifier: 1, target: at, clientX: x, clientY: 300});
      at.dispatchEvent(new TouchEvent('touchstart', {touches: [touch(200)], changedTouches: [touch(200)]}));
      at.dispatchEvent(new TouchEvent('touchend', {touches: [], changedTouches: [touch(200 + by)]})) }"""
    with phone(browser, leeks.path) as on:
        order = [s.slate for s in Preproduction(leeks.source).order.cooked]
        on.go(order[0])
        shown = []
        for act in ("PageDown", "ArrowRight", -120, "PageUp", 120, "ArrowLeft", "ArrowLeft"):
            if isinstance(act, str):
                on.page.keyboard.press(act)
            else:
                on.page.evaluate(swipe, act)
            shown.append(on.text("#slate"))
        assert [order.index(s) for s in shown] == [1, 2, 3, 2, 1, 0, 0]


SCROLLED = """() => new Promise(done => { const say = document.getElementById('say');
  say.addEventListener('scroll', done, {once: true}); say.scrollTop = 60 })"""


def test_the_next_line_begins_at_its_top(browser: Any, tmp_path: Path) -> None:
    long = "Stir it, and stir it again, and do not leave the stove while you do. " * 8
    dish = f"""
        dish: Leeks
        servings: 2
        ingredients: {{leek: 300 g}}
        steps:
          - {{id: slice, stage: cook, do: Slice it., add: leek, vessel: pan, screen: 90 s, say: "{long}"}}
          - {{id: stir, stage: cook, do: Stir it., vessel: pan, hands: 2 min, screen: 90 s, say: "{long}"}}
    """
    with phone(browser, make_set(dish, tmp_path).path) as on:
        on.go("2B")
        on.page.evaluate(SCROLLED)
        on.next()
        assert on.page.evaluate(
            "[document.getElementById('say').scrollTop, document.getElementById('slate').textContent]"
        ) == [0, "3A"]


def test_everything_works_with_the_keyboard_and_focus_stays(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.go("3A")
        reached: list[str] = []
        on.page.locator("#list").focus()
        for _ in range(12):
            reached.append(on.page.evaluate("document.activeElement.ariaLabel || document.activeElement.id"))
            on.page.keyboard.press("Tab")
        assert reached[:2] == ["list", "undo"]
        assert {"The line to say", "change", "weigh", "next", "Circle 3A", "Roll 3A", "NG 3A", "Hold 3A"} <= set(
            reached
        )
        on.page.locator("#hands button").nth(3).focus()
        on.page.keyboard.press("Enter")
        assert on.text("#state") == "Take 1 rolls"
        assert on.page.evaluate("document.activeElement.ariaLabel") == "Roll 3A"
        assert on.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        on.page.locator("#list").focus()
        on.page.keyboard.press("Enter")
        wait_until(on.page, "document.activeElement.closest('dialog')?.id === 'list-sheet'")
        on.page.keyboard.press("Escape")
        wait_until(on.page, "document.activeElement.id === 'list'")


SAID_LEEKS = """
    dish: Leeks on toast
    servings: 2
    ingredients: {leek: {amount: 300 g, prep: "sliced, 5 mm"}, olive oil: 2 tbsp, salt: to taste}
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {olive oil: all, leek: all, salt: to taste}, vessel: wide pan, wait: 8 min,
         screen: 24 s, say: "In goes {olive oil}, and the leek. Salt it now."}
"""


def test_a_shot_says_what_is_done_to_what_and_its_line_is_a_whole_sentence(browser: Any, tmp_path: Path) -> None:
    with phone(browser, make_set(SAID_LEEKS, tmp_path).path) as on:
        on.go("2A")
        assert on.text("#where") == "Pour into the wide pan"
        assert on.text("#next-what") == "Add 300 g leek (sliced, 5 mm)"
        assert on.text("#line").strip() == "In goes two tablespoons of olive oil, and the leek."
        assert on.text("#line span:not(.soft)") == "In goes two tablespoons of olive oil,"
        on.go("2B")
        assert " ".join(on.text("#what").split()).startswith("300 g leek sliced, 5 mm")
        assert on.text("#line span:not(.soft)") == "and the leek."
        assert on.text("#line").strip().startswith("In goes two tablespoons of olive oil, and the leek.")
        on.go("2C")
        assert on.text("#line").strip() == "Salt it now."


def test_search_finds_a_shot_by_food_vessel_or_slate(browser: Any, supper: Set) -> None:
    with phone(browser, supper.path) as on:
        on.page.locator("#list").click()
        wait_until(on.page, f"document.querySelectorAll('#rows b').length === {len(supper.shots)}")
        for asked, found in (("celeriac", "8A"), ("7b", "7B"), ("frying pan", None)):
            on.page.locator("#search").fill(asked)
            rows = on.page.locator("#rows li:visible b").all_text_contents()
            assert 0 < len(rows) < len(supper.shots)
            assert found is None or found in rows


def test_the_screen_is_kept_awake_and_nothing_is_said_where_it_cannot_be(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(
        "window.asked = 0; Object.defineProperty(navigator, 'wakeLock', {value: {request: async () => { asked += 1; throw new DOMException('no', 'NotAllowedError') }}});"
    )
    on = Phone(context, leeks.path)
    on.tap("Roll 3A")
    wait_until(on.page, "asked >= 1")
    assert on.errors == []
    context.close()


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
        assert on.open_log(saved.read_bytes()) == "Read 3 takes, 0 of them new"


def test_a_script_that_was_slipped_in_does_not_run(browser: Any, leeks: Set) -> None:
    html = leeks.path.read_text(encoding="utf-8")
    leeks.path.write_text(
        html.replace(
            "<noscript>",
            "<script>document.title = 'run'</script><img src=x onerror=\"document.title='run'\"><noscript>",
        ),
        encoding="utf-8",
    )
    context = browser.new_context(viewport=PHONE)
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(100)
    assert on.page.title() != "run"
    assert on.page.locator("#hands").is_visible()  # while the page's own script does
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(browser: Any, supper: Set, scheme: str) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        if os.environ.get("CI"):
            pytest.fail("axe-playwright-python is not installed, and this must not be skipped in CI")
        pytest.skip("axe-playwright-python is not installed")
    with phone(browser, supper.path, color_scheme=scheme) as on:
        on.tap("Circle 7B", "Roll 8B")  # a timer, a gate, a roll, and what else the clip covers
        grave = []
        for sheet in ("", "list", "desk", "change", "weigh"):
            if sheet == "desk":
                on.desk()
            elif sheet:
                on.page.evaluate("id => document.getElementById(id).click()", sheet)
            found = Axe().run(on.page).response
            assert len(found["passes"]) > 10
            grave += [
                (sheet, v["id"], v["impact"], v["nodes"][0]["html"][:100])
                for v in found["violations"]
                if v["impact"] in ("serious", "critical")
            ]
            on.page.evaluate("document.querySelectorAll('dialog[open]').forEach(d => d.close())")
            if sheet == "list":
                on.tap("NG 8B")
        assert grave == []


def test_the_page_is_light(tmp_path: Path) -> None:
    """Under 220 kB for 300 rows, and every row still has its shot."""
    from speed.stage import long_day

    stage = make_set(long_day(), tmp_path)
    html = stage.path.read_text(encoding="utf-8")
    assert len(html.encode("utf-8")) < 220_000
    data = json.loads(re.search(r'id="shots">(.*?)</script>', html).group(1))  # type: ignore[union-attr]
    assert sorted(row[0] for row in data["shots"]) == sorted(s.slate for s in stage.shots)
    assert len(stage.shots) > 290
