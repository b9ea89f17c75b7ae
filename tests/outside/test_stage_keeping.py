"""The log of the stage page outlives a reload, a full or forbidden store, a new edition of the list, and a browser killed as a flat
battery would."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import Any

import pytest
from chromium import CHROMIUM, QUIET
from conftest import wait_until
from stage_phone import LEEKS, PHONE, Phone, Set, leeks_on_toast, make_set, phone

leeks = pytest.fixture(leeks_on_toast)
TAKES = "document.getElementById('state').textContent === 'Take {} {}'"


def test_takes_survive_a_reload_and_the_page_opens_where_it_was(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Roll 3B")
        on.reload()
        assert on.text("#slate") == "3B"  # it rolls
        assert on.text("#state") == "Take 1 rolls"
        assert on.state("3A") == "Take 1 circled"
        on.tap("Hold 3B")
        on.next()
        on.reload()
        assert on.text("#slate") == "3C"


def processes_of(profile: Path) -> list[int]:
    """Ids of the browser that runs on a profile's folder, and of its helpers."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                words = (entry / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if f"--user-data-dir={profile}".encode() in words:
                found.append(int(entry.name))
    return found


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="finds the browser's processes in /proc")
def test_the_log_survives_a_flat_battery(browser: Any, leeks: Set, tmp_path: Path) -> None:
    """Killed without warning once the tap is on the disk: nothing is left to be written later."""
    profile = tmp_path / "profile"

    def start() -> Any:
        for lock in profile.glob("Singleton*"):  # what a killed browser leaves behind
            lock.unlink()
        return browser.browser_type.launch_persistent_context(
            str(profile), executable_path=CHROMIUM, args=QUIET, viewport=PHONE, accept_downloads=True
        )

    context = start()
    on = Phone(context, leeks.path)
    on.tap("Roll 3A", "Circle 3A", "NG 3B")
    on.on_disk(3)
    victims = processes_of(profile)
    assert victims
    for pid in victims:
        try:
            os.kill(pid, signal.SIGKILL)
        except ProcessLookupError:
            continue  # went with the one before
    try:
        context.close()
    except Exception as gone:  # the browser cannot answer any more
        assert "closed" in str(gone).casefold()
    context = start()
    try:
        on = Phone(context, leeks.path)
        on.go("3B")
        wait_until(on.page, TAKES.format(1, "NG"))
        log = leeks.read(on.save(tmp_path))
    finally:
        context.close()
    assert [(t.shot.slate, t.verdict) for t in log.takes] == [("3A", "circled"), ("3B", "NG")]
    assert log.problems == ()


REFUSED = "throw new DOMException('refused', 'SecurityError')"
NO_STORE = f"Object.defineProperty(window, 'localStorage', {{get() {{ {REFUSED} }}}});"
NO_DISK = f"IDBFactory.prototype.open = () => {{ {REFUSED} }};"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') };"


def test_a_device_that_keeps_nothing_says_so_and_the_page_still_works(browser: Any, leeks: Set, tmp_path: Path) -> None:
    context = browser.new_context(viewport=PHONE, accept_downloads=True)
    context.add_init_script(NO_STORE + NO_DISK)
    on = Phone(context, leeks.path)
    assert on.text("#kept").startswith("This browser cannot save your takes")
    on.tap("Circle 3A")
    assert len(leeks.read(on.save(tmp_path)).takes) == 1
    assert on.errors == []
    context.close()


@pytest.mark.parametrize("broken", [FULL, NO_DISK], ids=["local storage full", "no disk"])
def test_one_store_that_fails_is_no_reason_for_alarm(browser: Any, leeks: Set, broken: str) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(broken)
    on = Phone(context, leeks.path)
    on.tap("Circle 3A")
    if broken is FULL:
        on.on_disk(1)
    assert on.page.locator("#kept").is_hidden()
    on.reload()
    on.go("3A")
    wait_until(on.page, TAKES.format(1, "circled"))
    wait_until(on.page, "document.getElementById('undo').ariaDisabled === 'false'")
    on.tap("Undo")
    assert on.count() == "0 of 4 additions circled, 0 takes"
    context.close()


def test_undo_still_takes_back_when_the_browser_has_lost_its_local_storage(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    on = Phone(context, leeks.path)
    on.tap("Circle 3A")
    on.on_disk(1)
    on.page.evaluate("localStorage.clear()")
    on.reload()
    on.go("3A")
    wait_until(on.page, TAKES.format(1, "circled"))
    on.tap("Undo")
    assert on.count() == "0 of 4 additions circled, 0 takes"
    context.close()


def test_another_dish_has_another_log(browser: Any, leeks: Set, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    other = make_set(LEEKS.replace("dish: Leeks on toast", "dish: Leeks on rye"), tmp_path / "other")
    context = browser.new_context(viewport=PHONE)
    on = Phone(context, leeks.path)
    on.tap("Circle 3A")
    on.on_disk(1)
    assert Phone(context, other.path).state("3A") == "Not filmed"
    again = Phone(context, leeks.path)
    again.go("3A")
    wait_until(again.page, TAKES.format(1, "circled"))
    context.close()


def test_takes_stay_with_their_additions_when_the_list_is_made_again(browser: Any, leeks: Set, tmp_path: Path) -> None:
    """A prep step more moves every slate; the mustard became parsley, and its take is shown apart and saved."""
    newer = LEEKS.replace("mustard", "parsley").replace(', food: "parsley, wholegrain"', "")
    rinse = "- {id: rinse, stage: prep, do: Rinse the leek., uses: leek, screen: 5 s}\n      - {id: slice"
    newer = newer.replace("- {id: slice", rinse)
    (tmp_path / "newer").mkdir()
    edition = make_set(newer, tmp_path / "newer")
    context = browser.new_context(viewport=PHONE, accept_downloads=True)
    first = Phone(context, leeks.path)
    first.tap("Circle 3A", "Circle 4A", "Roll 3B")
    first.page.goto(edition.path.as_uri())  # in the same tab, which has read and written the store
    second = first
    moved = {s.additions[0].ingredient.key: s.slate for s in edition.shots if s.additions}
    assert moved["butter"] != "3A"
    assert second.text("#slate") == moved["leek"]
    assert second.state(moved["butter"]) == "Take 1 circled"
    assert second.state(moved["parsley"]) == "Not filmed"
    assert second.count() == "1 of 4 additions circled, 2 takes"
    second.desk()
    strange = second.page.locator("#strange li").all_text_contents()
    assert strange == [
        "1 take of shots that are not in this list. They stay in the log",
        "4A take 1 circled: Leeks on toast, finish mustard",
    ]
    context.close()


def test_two_pages_of_one_browser_have_one_log(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    first, second = Phone(context, leeks.path), Phone(context, leeks.path)
    first.tap("Circle 3A")
    second.go("3A")
    wait_until(second.page, TAKES.format(1, "circled"))
    second.tap("Circle 3B")
    first.go("3B")
    wait_until(first.page, TAKES.format(1, "circled"))
    assert first.count() == second.count() == "2 of 4 additions circled, 2 takes"
    context.close()
