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
