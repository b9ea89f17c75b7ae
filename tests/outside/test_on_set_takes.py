"""Taps on the on-set page in a real browser: takes, what is still missing, undo and clear."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from on_set_phone import Set, leeks_on_toast, make_set, phone

from scriptkit.papers.stage import gates_of
from scriptkit.preproduction import Preproduction
from scriptkit.shoot.day.gates import Gates
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


def test_nothing_is_missing_until_it_is_too_late_for_it(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert [leeks.shots[n].slate for n, _ in gates_of(leeks.shots)] == ["4A"]
        nothing = ("Nothing missing before you go on to 4A", [])
        assert on.missing() == nothing  # nothing has been filmed, and nothing is late
        assert on.gate("4A") == ("To circle before you go on to 4A: 2", [])
        assert on.page.locator(".stop").count() == 0
        assert on.page.locator("#missing").get_attribute("aria-live") == "polite"
        on.tap("Circle 3A", "NG 3B")
        assert on.missing() == ("1 missing before you go on to 4A", ["leek (3B)"])  # filmed, and not circled
        assert on.gate("4A") == ("Stop: 1 missing before you go on to 4A", ["leek (3B)"])
        assert on.text("#sign") == "1 missing before you go on to 4A"
        on.tap("Hold 3B")  # a held take does not count
        assert on.missing()[1] == ["leek (3B)"]
        on.tap("1 missing before you go on to 4A")  # leads to what is missing
        assert on.page.evaluate("document.activeElement.getAttribute('aria-label')") == "Roll 3B"
        on.tap("Circle 3B")
        on.tap("Circle 2A", "Circle 3C")
        assert on.missing() == nothing
        assert on.gate("4A") == ("Go on: every addition before 4A is circled", [])
        on.tap("Circle 4A")
        assert on.missing() == ("Nothing missing before the pans are washed", [])
        assert on.text("#wrap") == "3 of 4 additions circled, 7 takes"
        on.tap("Circle 4C", "Circle 5A", "Circle 5B")
        assert on.missing() == ("1 missing before the pans are washed", ["salt (4B)"])
        on.tap("Undo")
        assert on.missing() == ("Nothing missing before the pans are washed", [])
        assert on.text("#said") == "Undone: 5B take 1 circled"


def test_a_roll_that_begins_too_early_stops_the_cook(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Roll 4A")
        assert on.missing() == ("1 missing before you go on to 4A", ["leek (3B)"])
        assert on.gate("4A") == ("Stop: 1 missing before you go on to 4A", ["leek (3B)"])
        on.tap("Roll 4A")  # it was not meant
        assert on.missing()[1] == []


@pytest.mark.parametrize("which", ["day", "camera", "film"])
def test_a_day_on_the_page_has_no_alarm_in_any_order(browser: Any, tmp_path: Path, which: str) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    order = Preproduction(supper.source).order
    shots = {"day": order.cooked, "camera": order.grouped, "film": supper.shots}[which]
    with phone(browser, supper.path) as on:
        assert on.page.locator(".stop").count() == 0
        for shot in shots:
            on.tap(f"Roll {shot.slate}")
            assert on.missing()[1] == []
            on.tap(f"Circle {shot.slate}")
            assert on.missing()[1] == []
        on.page.wait_for_timeout(150)
        assert on.page.locator(".stop").count() == 0
        assert on.missing() == ("Nothing missing before the pans are washed", [])


@pytest.mark.parametrize("key", ["celeriac", "hake", "chives"])
def test_the_one_addition_that_was_left_out_is_told_on_the_page_and_by_the_program(
    browser: Any, tmp_path: Path, key: str
) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    planted = next(s for s in supper.shots if [a.ingredient.key for a in s.additions] == [key])
    gates = Gates(supper.shots)
    late = {s.step.number for s in gates.too_late_from(planted.additions[0]) if s.step}
    with phone(browser, supper.path) as on:
        for shot in Preproduction(supper.source).order.cooked:
            if shot.slate == planted.slate:
                continue
            on.tap(f"Roll {shot.slate}")
            if shot.dish is planted.dish and shot.step is not None and shot.step.number in late:
                assert on.missing()[1] == [f"{key} ({planted.slate})"]
            on.tap(f"Circle {shot.slate}")
        assert on.missing() == ("1 missing before the pans are washed", [f"{key} ({planted.slate})"])
        on.page.wait_for_timeout(150)
        stops = on.page.locator("tr.gate.stop")
        assert stops.count() == len(late)
        assert set(stops.locator("li").all_inner_texts()) == ({f"{key} ({planted.slate})"} if late else set())
        log = supper.read(on.save(tmp_path))
    assert [p.code for p in log.problems] == []
    missing = without_circled_take(log.takes, dishes_of(supper.source))
    assert [a.ingredient.key for _, _, a in missing] == [key]


def test_rows_stand_in_the_order_of_the_day_and_are_printed_in_two_blocks(browser: Any, tmp_path: Path) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    order = Preproduction(supper.source).order

    def slates(on: Any) -> list[str]:
        found = on.page.locator("tr.shot td.slate").all_inner_texts()
        return [text.split()[0] for text in found]

    with phone(browser, supper.path) as on:
        assert slates(on) == [s.slate for s in order.cooked]
        assert on.page.locator("section.block:visible").count() == 0
        on.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert slates(on) == [s.slate for s in order.listed]
        assert on.page.locator("section.block h2:visible").all_inner_texts() == ["Opening", "Prep", "Cook"]
        on.page.evaluate("dispatchEvent(new Event('afterprint'))")
        assert slates(on) == [s.slate for s in order.cooked]


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
