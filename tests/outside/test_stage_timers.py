"""Timers of the stage page: each from the take that begins its wait, several at once, right after sleep and reload, heard when they end."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from conftest import wait_until
from stage_phone import PHONE, Phone, Set, leeks_on_toast, make_set, phone

leeks = pytest.fixture(leeks_on_toast)


def timers(on: Phone) -> list[str]:
    on.later(0)
    return [t for t in on.page.locator("#timers button:visible").all_text_contents() if t]


def test_a_wait_starts_with_the_take_that_begins_it(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.stop_clock()
        on.tap("Roll 3A", "Circle 3A")
        assert timers(on) == []  # the leek is not in yet
        on.tap("Roll 3B", "NG 3B")
        assert timers(on) == []
        on.press("Start 8 min")  # in the pan it is, whatever the picture is like
        assert timers(on)[0].endswith("Soften the leek")
        on.tap("Undo", "Roll 3B", "Circle 3B")
        assert len(timers(on)) == 1
        on.later(60_000)
        assert timers(on)[0].startswith("7:00")
        on.tap("Undo")
        assert timers(on) == []


def minutes_left(on: Any) -> tuple[int, ...]:
    """Whole minutes of each timer, in order."""
    return tuple(int(t.split(":")[0]) for t in timers(on))


def test_several_run_at_once_and_are_right_after_sleep_and_reload(browser: Any, tmp_path: Path) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    with phone(browser, supper.path) as on:
        on.stop_clock()
        on.tap("Circle 7B")
        on.later(120_000)
        on.tap("Circle 8B")
        assert minutes_left(on) == (5,)  # the stock is cold: 18 minutes begin when it simmers
        on.tap("Circle 8C")
        assert minutes_left(on) == (5, 18)  # to the second
        awake = on.page.evaluate("Date.now()")  # four minutes of sleep, however long the browser takes
        on.page.add_init_script(f"window.skew = {awake} + 240000 - Date.now(); window.stopped = true")
        on.reload()
        assert minutes_left(on) == (1, 14)


def test_the_end_is_heard_felt_and_shown_until_it_is_stopped(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(
        """window.tones = 0; window.shakes = 0; navigator.vibrate = () => { shakes += 1; return true };
        window.heard = false; const Sound = AudioContext; window.AudioContext = class extends Sound { constructor() { super(); heard = true } };
        const start = OscillatorNode.prototype.start; OscillatorNode.prototype.start = function (at) { tones += 1; return start.call(this, at) };"""
    )
    on = Phone(context, leeks.path)
    on.stop_clock()
    on.tap("Circle 3B")
    wait_until(on.page, "heard")  # the browser has given sound to the page
    on.later(7 * 60_000 + 50_000)
    assert on.page.evaluate("[tones, shakes]") == [0, 0]
    on.later(20_000)
    assert on.page.evaluate("[tones, shakes]") == [3, 1]
    assert timers(on)[0].startswith("0:10 over")
    assert on.page.locator("#timers .due").count() == 1
    on.page.evaluate("window.skew += 15000")
    wait_until(on.page, "shakes === 2")  # by itself
    on.page.evaluate("document.querySelector('#timers button').click()")
    on.tap("Stop")
    assert timers(on) == []
    on.reload()
    assert timers(on) == []
    assert on.errors == []
    context.close()


def test_a_minute_more(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.stop_clock()
        on.tap("Circle 3B")
        on.page.evaluate("document.querySelector('#timers button').click()")
        on.tap("1 min more", "1 min more")
        assert on.text("#timer-left") == "10:00"
        assert on.text("#timer-ends").startswith("Ends at ")


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("29", "29 g"), ("29,5 g", "29.5 g"), ("1.9 kg", "1900 g"), ("", ""), ("0", None), ("-3", None), ("much", None)],
)
def test_what_was_weighed_is_kept_in_grams(
    browser: Any, leeks: Set, tmp_path: Path, typed: str, kept: str | None
) -> None:
    with phone(browser, leeks.path) as on:
        on.go("3A")
        on.tap("Weigh")
        fields = on.page.locator("#weights input")
        assert fields.count() == 2  # the butter, and the dish as cooked
        fields.first.fill(typed)
        fields.first.press("Tab")
        assert on.page.locator("#weigh-told").is_visible() == (kept is None)
        on.tap("Done")
        weighed = f" weighed {kept}" if kept else ""
        assert on.text("#what").endswith(weighed or "tbsp")
        log = leeks.read(on.save(tmp_path))
        assert log.problems == ()
        assert [(w.addition.ingredient.key if w.addition else "", f"{w.grams:g} g") for w in log.weighings] == (
            [("butter", kept)] if kept else []
        )


def test_the_cooked_weight_is_of_the_dish(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.go("4A")
        on.tap("Weigh")
        on.page.locator("#weights input").last.fill("380")
        on.page.locator("#weights input").last.press("Tab")
        on.tap("Done")
        weighing = leeks.read(on.save(tmp_path)).weighings[0]
    assert (weighing.dish.name, weighing.addition, weighing.grams) == ("Leeks on toast", None, 380.0)


POTS = """
    dish: Three pots
    servings: 2
    ingredients: {leek: 300 g, potato: 400 g, water: 2 l, lentil: {amount: 200 g, food: "lentils, dry"}}
    steps:
      - {id: boil, stage: cook, do: Boil the potato in half of the water., add: {water: 1 l, potato: all}, vessel: large pot, wait: 70 min}
      - {id: simmer, stage: cook, do: Simmer the lentils in the rest of the water., add: {water: rest, lentil: all}, vessel: small pot, wait: 25 min}
      - {id: sweat, stage: cook, do: Sweat the sliced leek under a lid., add: {leek: all}, vessel: wide pan, wait: 8 min}
"""
CHIPS = """() => {
  const strip = document.getElementById('timers'), of = strip.getBoundingClientRect(), chips = [...strip.children], em = n => parseFloat(getComputedStyle(n).fontSize);
  const whole = n => { const r = document.createRange(); r.selectNodeContents(n.firstChild); const [a, b] = [r.getBoundingClientRect(), n.getBoundingClientRect()]; return a.left >= b.left && a.right <= b.right + 1 };
  return {lines: new Set(chips.map(n => n.getBoundingClientRect().top)).size, high: of.height, whole: chips.every(whole), first: chips[0].getBoundingClientRect().right <= of.right,
    names: chips.map(n => n.lastChild.getBoundingClientRect().width / em(n.lastChild)), larger: chips.every(n => em(n.firstChild) >= 20),
    reached: (strip.scrollLeft = 1e6, chips.at(-1).getBoundingClientRect().right <= of.right + 1), wide: document.documentElement.scrollWidth > innerWidth} }"""
"""How the chips of the timers stand: on how many lines, whether each time is seen whole, how many em wide each name is."""


@pytest.mark.parametrize(("width", "height"), [(320, 568), (390, 844), (844, 390), (768, 1024)])
def test_three_timers_stand_on_one_line_each_with_its_time_and_the_name_of_what_is_done(
    browser: Any, tmp_path: Path, width: int, height: int
) -> None:
    """More of them than find room are scrolled to; the next to ring is always seen."""
    with phone(browser, make_set(POTS, tmp_path).path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        on.stop_clock()
        on.tap("Circle 2C", "Circle 3C", "Circle 4A")
        assert [t.split(" ")[0] for t in timers(on)] == ["8:00", "25:00", "1:10:00"]
        chips = on.page.evaluate(CHIPS)
        assert (chips["lines"], chips["whole"], chips["first"], chips["larger"], chips["reached"]) == (1, *[True] * 4)
        assert chips["high"] <= 56 and not chips["wide"]
        assert min(chips["names"]) >= 5  # "Boil the …", and not "B…"
