"""Taps on the stage page in a real browser: one state a shot, one question, changes with a history, undo, the archive, and the gates."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from conftest import wait_until
from stage_phone import Phone, Set, leeks_on_toast, make_set, phone

from scriptkit.cut.coverage.matrix import matrix_of
from scriptkit.papers.stage import gates_of
from scriptkit.preproduction import Preproduction
from scriptkit.shoot.day.gates import Gates
from scriptkit.shoot.log.take_log import rate_of, without_circled_take, write_log
from scriptkit.shoot.plan import dishes_of

leeks = pytest.fixture(leeks_on_toast)


def test_takes_are_counted_stamped_saved_and_read_back(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.desk()
        for name, value in (("Card", "A001"), ("Next clip", "C0009")):
            on.page.get_by_label(name).fill(value)
            on.page.get_by_label(name).press("Tab")
        on.tap("Close")
        on.tap("Roll 3A")
        on.later(3000)
        assert on.text("#rolling").startswith("● 3A 0:03")
        on.tap("NG 3A", "Roll 3A")
        on.later(5000)
        on.tap("Circle 3A", "Hold 3B", "Change")
        on.page.get_by_label("Remark").fill('=1+1, "steam"; über ½')
        on.page.get_by_label("Remark").press("Tab")
        on.tap("Done")
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
    assert 90 <= first.frames <= 400  # 3.4 s, and what a slow machine adds
    assert 150 <= second.frames <= 500
    assert first.out_frame is not None and second.in_frame is not None and first.out_frame <= second.in_frame
    assert third.in_frame is None  # nobody tapped Roll
    assert third.remark == '=1+1, "steam"; über ½'
    # Wall time and time code are of the same moment, to the second that the wall clock shows.
    hours, minutes, seconds = map(int, second.recorded[11:].split(":"))
    assert abs(second.out_frame - (hours * 3600 + minutes * 60 + seconds) * rate.exact) <= rate.nominal  # type: ignore[operator]
    assert re.search(rb"\d\d:\d\d:\d\d;\d\d", saved.read_bytes())
    # The page writes the same bytes as the program.
    assert saved.read_bytes().decode("utf-8") == write_log(log.takes, leeks.source.name, rate)
    missing = [a.ingredient.key for _, _, a in without_circled_take(log.takes, dishes_of(leeks.source))]
    assert missing == ["leek", "mustard", "salt"]


def test_a_shot_has_one_state_and_its_buttons_are_those_of_it(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        hands = on.page.locator("#hands button")
        assert on.state("3A") == "Not filmed"
        assert (hands.all_text_contents(), offered(on)) == (["NG", "Hold", "Circle", "Roll"], ["Circle", "Roll"])
        on.tap("Roll 3A")
        assert on.text("#state") == "Take 1 rolls"
        assert (hands.all_text_contents(), offered(on)) == (["NG", "Hold", "Circle", "Roll"], ["NG", "Hold", "Circle"])
        on.tap("Hold 3A")
        assert on.text("#state") == "Take 1 hold"
        assert (hands.all_text_contents(), offered(on)) == (
            ["NG", "Hold", "Circle", "Roll again"],
            ["Circle", "Roll again"],
        )
        on.tap("Roll 3A", "NG 3A", "Roll 3A", "Circle 3A")
        assert on.text("#state") == "Take 3 circled"
        on.tap("Roll 3A", "NG 3A")
        assert on.text("#state") == "Take 4 NG, an earlier one circled"
        on.next()
        assert on.text("#slate") == "3B"


OFFERED = (
    "[...document.querySelectorAll('#hands button')].filter(b => b.ariaDisabled !== 'true').map(b => b.textContent)"
)
PLACES = """() => Object.fromEntries([...document.querySelectorAll('#hands button, #next, #change, #weigh, #undo, #list')].filter(b => b.getClientRects().length)
  .map(b => { const r = b.getBoundingClientRect(); return [b.dataset.act === 'jump' ? b.id : b.dataset.act, [r.x, r.y, r.width, r.height].map(Math.round)] }))"""
TWICE = """([x, y, after]) => { for (const wait of [400, after]) {
  window.skew += wait; document.elementFromPoint(x, y)?.closest('button')?.click() } }"""


def offered(on: Phone) -> list[str]:
    """The buttons of a take that have something to do."""
    return list(on.page.evaluate(OFFERED))


@pytest.mark.parametrize(("width", "height"), [(320, 568), (390, 844), (844, 390), (568, 320), (1280, 800)])
def test_every_button_has_one_place(browser: Any, leeks: Set, width: int, height: int) -> None:
    """Whatever the state of the shot, the same thumb in the same place does the same thing."""
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        on.go("3A")
        seen = [on.page.evaluate(PLACES)]
        for tap in ("Roll 3A", "NG 3A", "Roll 3A", "Hold 3A", "Circle 3A"):
            on.tap(tap)
            seen.append(on.page.evaluate(PLACES))
        hands = [{act: one[act] for act in ("n", "h", "c", "r", "next", "list")} for one in seen]
        assert all(one == hands[0] for one in hands)


@pytest.mark.parametrize("after_ms", [0, 150, 900])
def test_a_second_tap_on_the_same_place_does_no_harm(browser: Any, leeks: Set, after_ms: int) -> None:
    """However late it comes: a take that rolls is not judged by it, and none is made a second time."""
    with phone(browser, leeks.path) as on:
        on.go("3A")
        states = []
        for act in ("r", "n", "r", "h", "r", "c"):
            x, y, wide, high = on.page.evaluate(PLACES)[act]
            on.page.evaluate(TWICE, [x + wide / 2, y + high / 2, after_ms])
            states.append(on.text("#state"))
        assert states == ["Take 1 rolls", "Take 1 NG", "Take 2 rolls", "Take 2 hold", "Take 3 rolls", "Take 3 circled"]


def test_judging_a_shot_while_another_rolls_asks_once(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        question = on.page.locator("#ask-sheet")
        on.tap("Roll 3A", "Circle 3B")
        assert question.is_visible()
        assert on.text("#question") == "3A is still rolling. Which take is circled?"
        on.tap("Cancel")
        assert on.count() == "0 of 4 additions circled, 0 takes"
        on.tap("Circle 3B", "3A, which rolls")
        assert not question.is_visible()
        assert on.text("#slate") == "3A"
        assert on.text("#state") == "Take 1 circled"
        assert on.state("3B") == "Not filmed"
        on.tap("Roll 4A", "Circle 3B", "3B, without a roll")
        assert on.state("3B") == "Take 1 circled"
        assert on.state("4A") == "Take 1 rolls"  # it still does


def test_a_second_roll_throws_no_take_away(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A", "Roll 3B")
        assert on.text("#question") == "3A is still rolling."
        on.tap("Back to 3A")
        assert on.text("#slate") == "3A"
        assert on.text("#state") == "Take 1 rolls"
        on.tap("Roll 3B", "3A was a false start: roll 3B")
        assert on.text("#state") == "Take 1 rolls"
        assert on.state("3A") == "Take 1 false start"
        on.tap("Circle 3B")
        log = leeks.read(on.save(tmp_path))
        assert [(t.shot.slate, t.verdict) for t in log.takes] == [("3A", "false start"), ("3B", "circled")]
        assert all(t.in_frame is not None for t in log.takes)
        on.tap("Circle 3A")  # it was none, after all
        assert re.fullmatch(
            r"3A take 1 was ended as a false start at \d\d:\d\d\. Which take is circled\?", on.text("#question")
        )
        on.tap("Take 1, as it was ended")
        assert on.text("#state") == "Take 1 circled"
        on.tap("Roll 3A", "Roll 3B", "Circle 3A, then roll 3B")
        assert on.text("#state") == "Take 2 rolls"
        saved = on.save(tmp_path)
        assert on.text("#said").endswith("3B rolls still, and is not in it")
        takes = leeks.read(saved).takes
        assert [(t.shot.slate, t.number, t.verdict) for t in takes] == [
            ("3A", 1, "circled"),
            ("3B", 1, "circled"),
            ("3A", 2, "circled"),
        ]
        assert all(t.in_frame is not None for t in takes)


def test_change_amends_the_last_take_and_keeps_what_it_was(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A", "Circle 3A")
        assert on.count() == "1 of 4 additions circled, 1 take"
        on.tap("Change", "NG")
        assert on.text("#history li").startswith("Take 1 NG (was circled) ")
        on.tap("Done")
        assert on.text("#state") == "Take 1 NG"
        assert on.count() == "0 of 4 additions circled, 1 take"  # the addition follows its take
        on.reload()
        on.go("3A")
        on.tap("Change")
        assert on.text("#history li").startswith("Take 1 NG (was circled) ")
        on.tap("Circled", "Done")
        assert on.text("#state") == "Take 1 circled"
        takes = leeks.read(on.save(tmp_path)).takes
        assert [(t.number, t.verdict) for t in takes] == [(1, "circled")]
        assert takes[0].frames > 0


def test_a_clip_that_also_covers_another_addition(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A")
        also = on.page.locator("#also button")
        assert also.all_text_contents() == ["leek"]
        on.tap("leek")
        assert also.get_attribute("aria-pressed") == "true"
        on.tap("Circle 3A")
        on.next()
        assert on.text("#slate") == "3C"  # the leek is in the clip
        assert on.state("3B") == "In a take of another shot"
        log = leeks.read(on.save(tmp_path))
        assert [[a.ingredient.key for a in t.additions] for t in log.takes] == [["butter", "leek"]]
        on.go("3A")
        on.tap("leek")  # it was not, after all
        assert on.state("3B") == "Not filmed"
        assert on.count() == "1 of 4 additions circled, 1 take"


def test_nothing_is_missing_until_it_is_too_late_for_it(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert [leeks.shots[n].slate for n, _ in gates_of(leeks.shots)] == ["4A"]
        assert on.gate() == ""  # nothing has been filmed, and nothing is late
        on.tap("Circle 3A", "NG 3B")
        assert on.gate() == "Film before 4A: leek (3B)"  # filmed, and not circled
        on.tap("Film before 4A: leek (3B)")  # leads to what is missing
        assert on.text("#slate") == "3B"
        on.tap("Circle 3B", "Circle 2A", "Circle 3C")
        assert on.gate() == ""
        on.tap("Circle 4A")
        assert on.gate() == ""
        assert on.count() == "3 of 4 additions circled, 6 takes"
        on.tap("Circle 4C", "Circle 5A", "Circle 5B")
        assert on.gate() == "Film in its bowl, too late going in: salt (4B)"  # the day is over
        on.tap("Undo")
        assert on.gate() == ""
        assert on.text("#said") == "Undone: 5B circled"


def test_a_roll_that_begins_too_early_stops_the_cook(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Roll 4A")
        assert on.gate() == "Film before 4A: leek (3B)"
        on.tap("Undo")  # it was not meant
        assert on.gate() == "Film before 4A: leek (3B)"  # which is still the shot on the screen
        on.go("3B")
        assert on.gate() == ""
        on.tap("Roll 4A", "Roll 3B", "4A was a false start: roll 3B")
        assert on.gate() == "Film before 4A: leek (3B)"  # there is time, and coverage says so too
        on.tap("NG 3B")
        assert on.gate() == "Film before 4A: leek (3B)"
        on.tap("Hold 4A", "Take 1, as it was ended")
        assert on.gate() == "Film in its bowl, too late going in: leek (3B)"


def test_the_shot_that_is_shown_asks_for_what_must_come_before_it(browser: Any, leeks: Set) -> None:
    """However the cook came there, past a shot that was left out: before it rolls, not while it does."""
    with phone(browser, leeks.path) as on:
        on.tap("Circle 2A", "Circle 3A", "Circle 3C")
        for slate, told in (("3B", ""), ("4A", "leek (3B)"), ("4B", "leek (3B)"), ("3A", ""), ("5A", "")):
            on.go(slate)
            assert on.gate() == (f"Film before 4A: {told}" if told else ""), slate
        on.go("3C")
        on.next()
        assert (on.text("#slate"), on.gate()) == ("4A", "Film before 4A: leek (3B)")
        on.tap("Circle 3B")
        on.go("4A")
        assert on.gate() == ""


@pytest.mark.parametrize(
    ("ran_ms", "told"), [(2_000, "Film before 4A"), (15_000, "Film in its bowl, too late going in")]
)
def test_a_roll_that_was_stopped_at_once_makes_nothing_too_late(
    browser: Any, leeks: Set, tmp_path: Path, ran_ms: int, told: str
) -> None:
    """No good after a moment, nothing was done in it; after a while it may have been. The program says the same of the log."""
    with phone(browser, leeks.path) as on:
        on.stop_clock()
        on.tap("Circle 3A", "Roll 4A")
        on.later(ran_ms)
        on.tap("NG 4A")
        assert on.gate() == f"{told}: leek (3B)"
        takes = leeks.read(on.save(tmp_path)).takes
    rows = matrix_of(leeks.source, leeks.shots, takes=takes)
    assert [row.name for row in rows if row.too_late] == ([] if ran_ms == 2_000 else ["butter", "leek"])


def test_what_is_missing_is_missing_before_the_step_that_works_on_it(browser: Any, tmp_path: Path) -> None:
    """And not before another, of the other dish, that the day has next."""
    made = make_set("harbour-supper.yaml", tmp_path)
    gate = next(s for s in made.shots if s.step is not None and s.step.id == "turn-hake")
    hake = next(s for s in made.shots if s.step is not None and s.step.id == "sear-hake" and s.additions)
    with phone(browser, made.path) as on:
        on.tap(f"NG {hake.slate}", f"Roll {gate.slate}")
        assert re.match(rf"Film before {gate.slate}: .*\({hake.slate}\)", on.gate())


@pytest.mark.parametrize("which", ["day", "camera", "film"])
def test_a_day_on_the_page_has_no_alarm_in_any_order(browser: Any, tmp_path: Path, which: str) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    order = Preproduction(supper.source).order
    shots = {"day": order.cooked, "camera": order.grouped, "film": supper.shots}[which]
    with phone(browser, supper.path) as on:
        for shot in shots:
            on.tap(f"Roll {shot.slate}")
            assert on.gate() == ""
            on.tap(f"Circle {shot.slate}")
            assert on.gate() == ""


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
                assert on.gate().endswith(f": {key} ({planted.slate})")
            on.tap(f"Circle {shot.slate}")
        assert on.gate() == f"Film in its bowl, too late going in: {key} ({planted.slate})"
        log = supper.read(on.save(tmp_path))
    assert [p.code for p in log.problems] == []
    missing = without_circled_take(log.takes, dishes_of(supper.source))
    assert [a.ingredient.key for _, _, a in missing] == [key]


def test_shots_come_in_the_order_of_the_day(browser: Any, tmp_path: Path) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    order = [s.slate for s in Preproduction(supper.source).order.cooked]
    with phone(browser, supper.path) as on:
        shown = [on.text("#slate")]
        for _ in order[1:]:
            on.page.keyboard.press("PageDown")
            shown.append(on.text("#slate"))
        assert shown == order
        on.page.evaluate("document.getElementById('list').click()")
        wait_until(on.page, f"document.querySelectorAll('#rows b').length === {len(order)}")
        assert on.page.locator("#rows b").all_text_contents() == order


def test_undo_takes_back_one_tap_at_a_time_also_after_a_reload(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        undo = on.page.locator("#undo")
        assert undo.get_attribute("aria-disabled") == "true"
        undo.press("Enter")
        assert on.text("#said") == "There is nothing to undo"
        on.tap("Roll 3A", "Circle 3A", "Circle 3B")
        on.reload()
        on.tap("Undo")
        assert on.text("#said") == "Undone: 3B circled"
        on.reload()
        on.tap("Undo")
        assert on.state("3A") == "Take 1 rolls"
        on.tap("Undo")
        assert on.state("3A") == "Not filmed"
        assert undo.get_attribute("aria-disabled") == "true"
        on.desk()
        assert on.page.get_by_label("Next clip").input_value() == "1"


def test_the_archive_takes_the_place_of_clearing_and_loses_nothing(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A")
        before = on.save(tmp_path).read_bytes()
        on.desk()
        on.tap("Archive this log and begin a new one")
        on.tap("Close")
        assert on.count() == "0 of 4 additions circled, 0 takes"
        on.reload()
        on.desk()
        assert on.page.locator("#archives li").count() == 1
        with on.page.expect_download() as download:
            on.page.evaluate("document.querySelector('#archives button').click()")
        download.value.save_as(tmp_path / "archived.csv")
        assert (tmp_path / "archived.csv").read_bytes() == before
        on.tap("Close")
        on.tap("Undo")
        assert on.count() == "1 of 4 additions circled, 1 take"
