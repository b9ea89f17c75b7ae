"""Taps on the on-set page in a real browser: takes, what is still missing, undo and clear."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from on_set_phone import Set, leeks_on_toast, make_set, phone

from scriptkit.papers.stage import gates_of
from scriptkit.shoot.log.take_log import rate_of, without_circled_take, write_log
from scriptkit.shoot.plan import dishes_of

leeks = pytest.fixture(leeks_on_toast)


def test_takes_are_counted_stamped_saved_and_read_back(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.page.get_by_label("Card").fill("A001")
        on.page.get_by_label("Next clip").fill("C0009")
        on.tap("Roll 3A")
        on.page.wait_for_timeout(300)
        assert on.text("#rolling").startswith("Rolling 3A take 1")
        on.tap("NG 3A", "Roll 3A")
        on.page.wait_for_timeout(200)
        on.tap("Circle 3A", "Hold 3B")
        on.page.get_by_label("Remark on take 2").fill('=1+1, "steam"; über ½')
        on.page.get_by_label("Remark on take 2").press("Tab")
        saved = on.save(tmp_path)
        assert on.file_name == "leeks-on-toast-takes.csv"
    log = leeks.read(saved)
    assert log.problems == ()
    told = [
        (t.shot.slate, t.number, t.verdict, t.card, t.clip, [a.ingredient.key for a in t.additions]) for t in log.takes
    ]
    assert told == [
        ("3A", 1, "NG", "A001", "C0009", ["butter"]),
        ("3A", 2, "circled", "A001", "C0010", ["butter"]),
        ("3B", 1, "hold", "A001", "C0011", ["leek"]),
    ]
    first, second, third = log.takes
    rate = rate_of(leeks.source)
    assert 5 <= first.frames <= 60  # 0.3 s, and what a slow machine adds
    assert first.out_frame is not None and second.in_frame is not None and first.out_frame <= second.in_frame
    assert third.in_frame is None  # nobody tapped Roll
    assert second.remark == '=1+1, "steam"; über ½'
    # Wall time and time code are of the same moment, to the second that the wall clock shows.
    hours, minutes, seconds = map(int, second.recorded[11:].split(":"))
    assert abs(second.out_frame - (hours * 3600 + minutes * 60 + seconds) * rate.exact) <= rate.nominal  # type: ignore[operator]
    assert re.search(rb"\d\d:\d\d:\d\d;\d\d", saved.read_bytes())
    # The page writes the same bytes as the program.
    assert saved.read_bytes().decode("utf-8") == write_log(log.takes, leeks.source.name, rate)
    missing = [a.ingredient.key for _, _, a in without_circled_take(log.takes, dishes_of(leeks.source))]
    assert missing == ["leek", "mustard", "salt"]


def test_the_missing_list_follows_the_takes_at_the_top_and_at_every_gate(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert [leeks.shots[n].slate for n, _ in gates_of(leeks.shots)] == ["4A"]
        assert on.missing() == ("2 missing before you go on to 4A", ["butter (3A)", "leek (3B)"])
        assert on.page.locator("#missing").get_attribute("aria-live") == "polite"
        on.tap("Circle 3A", "NG 3B")
        assert on.missing() == ("1 missing before you go on to 4A", ["leek (3B)"])
        assert on.gate("4A") == ("Stop: 1 missing before you go on to 4A", ["leek (3B)"])
        assert on.text("#sign") == "1 missing before you go on to 4A"
        on.tap("Hold 3B")  # a held take does not count
        assert on.missing()[1] == ["leek (3B)"]
        on.tap("Circle 3B")
        assert on.missing() == ("Nothing missing before you go on to 4A", [])
        assert on.gate("4A") == ("Go on: every addition before 4A is circled", [])
        on.tap("Circle 4A")
        assert on.missing() == ("1 missing before the pans are washed", ["salt (4B)"])
        on.tap("1 missing before the pans are washed")  # leads to what is missing
        assert on.page.evaluate("document.activeElement.getAttribute('aria-label')") == "Roll 4B"
        assert on.text("#wrap") == "3 of 4 additions circled, 5 takes"
        on.tap("Undo")
        assert on.missing() == ("Nothing missing before you go on to 4A", [])
        assert on.text("#said") == "Undone: 4A take 1 circled"


def test_the_planted_missing_addition_of_the_supper_is_told_on_the_page_and_by_the_program(
    browser: Any, tmp_path: Path
) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    planted = next(s for s in supper.shots if [a.ingredient.key for a in s.additions] == ["celeriac"])
    with phone(browser, supper.path) as on:
        for shot in supper.shots:
            if shot is not planted:
                on.tap(f"Roll {shot.slate}", f"Circle {shot.slate}")
        assert on.missing() == ("1 missing before the pans are washed", [f"celeriac ({planted.slate})"])
        later = [n for n, _ in gates_of(supper.shots) if n > planted.number]
        assert later
        for n in later:
            assert on.gate(supper.shots[n].slate)[1] == [f"celeriac ({planted.slate})"]
        log = supper.read(on.save(tmp_path))
    assert [p.code for p in log.problems] == []
    missing = without_circled_take(log.takes, dishes_of(supper.source))
    assert [(d.name, a.ingredient.key) for d, _, a in missing] == [("Fennel and celeriac bisque", "celeriac")]


def test_undo_takes_back_one_tap_at_a_time(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert on.page.get_by_role("button", name="Undo").get_attribute("aria-disabled") == "true"
        on.page.locator("#undo").press("Enter")
        assert on.text("#said") == "There is nothing to undo"
        on.tap("Roll 3A", "Circle 3A")
        box = on.page.get_by_label("3A done")
        assert box.is_checked()
        on.tap("Undo")
        assert not box.is_checked()
        assert on.text("#wrap") == "0 of 4 additions circled, 0 takes"
        assert on.page.get_by_role("button", name="Roll 3A").get_attribute("aria-pressed") == "true"
        on.tap("Undo")
        assert on.page.get_by_role("button", name="Roll 3A").get_attribute("aria-pressed") == "false"
        assert on.page.get_by_label("Next clip").input_value() == "1"


def test_clearing_asks_twice_and_can_be_undone(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Clear")
        assert on.text("#wrap").endswith("1 take")
        on.tap("Tap again: clears 1 take")
        assert on.text("#wrap").endswith("0 takes")
        on.tap("Undo")
        assert on.text("#wrap").endswith("1 take")
