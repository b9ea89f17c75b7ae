"""The log of the on-set page outlives a reload, a full or forbidden store, and a browser killed as a flat battery would."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import Any

import pytest
from chromium import CHROMIUM, QUIET
from conftest import wait_until
from on_set_phone import LEEKS, PHONE, Phone, Set, leeks_on_toast, make_set, phone

leeks = pytest.fixture(leeks_on_toast)


def test_ticks_and_takes_survive_a_reload(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Roll 3B")
        on.page.get_by_label("1A done").check(force=True)  # its label lies over it, as wide as the row
        before = on.missing()
        on.page.reload()
        assert on.missing() == before
        assert on.page.get_by_label("3A done").is_checked()
        assert on.page.get_by_label("1A done").is_checked()
        assert not on.page.get_by_label("2A done").is_checked()
        assert on.page.get_by_role("button", name="Roll 3B").get_attribute("aria-pressed") == "true"
        on.tap("Undo")  # the last take can be taken back after a reload too
        assert on.text("#wrap").endswith("0 takes")
        on.page.reload()
        assert on.text("#wrap").endswith("0 takes")


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
    """Killed without warning right after the tap: nothing is left to be written later."""
    profile = tmp_path / "profile"

    def start() -> Any:
        for lock in profile.glob("Singleton*"):  # what a killed browser leaves behind
            lock.unlink()
        return browser.browser_type.launch_persistent_context(
            str(profile), executable_path=CHROMIUM, args=QUIET, viewport=PHONE, accept_downloads=True
        )

    context = start()
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(500)
    on.tap("Roll 3A", "Circle 3A", "NG 3B")
    on.page.wait_for_timeout(50)
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
        wait_until(on.page, "document.getElementById('wrap').textContent.endsWith('2 takes')")
        log = leeks.read(on.save(tmp_path))
    finally:
        context.close()
    assert [(t.shot.slate, t.verdict) for t in log.takes] == [("3A", "circled"), ("3B", "NG")]
    assert log.problems == ()


def test_a_device_that_keeps_nothing_says_so_and_the_page_still_works(browser: Any, leeks: Set, tmp_path: Path) -> None:
    context = browser.new_context(viewport=PHONE, accept_downloads=True)
    context.add_init_script(
        """Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('refused', 'SecurityError') }});
        IDBFactory.prototype.open = () => { throw new DOMException('refused', 'SecurityError') };"""
    )
    on = Phone(context, leeks.path)
    assert on.text("#kept").startswith("This browser cannot save your takes")
    on.tap("Circle 3A")
    assert len(leeks.read(on.save(tmp_path)).takes) == 1
    assert on.errors == []
    context.close()


def test_one_full_store_is_no_reason_for_alarm(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"
    )
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(300)
    on.tap("Circle 3A")
    assert on.page.locator("#kept").is_hidden()
    on.page.reload()
    wait_until(on.page, "document.getElementById('wrap').textContent.endsWith('1 take')")
    context.close()


def test_local_storage_alone_keeps_the_log(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script("IDBFactory.prototype.open = () => { throw new DOMException('refused', 'SecurityError') }")
    on = Phone(context, leeks.path)
    on.tap("Circle 3A")
    assert on.page.locator("#kept").is_hidden()
    on.page.reload()
    assert on.text("#wrap").endswith("1 take")
    context.close()


def test_another_list_has_another_log(browser: Any, leeks: Set, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    other = make_set(
        LEEKS.replace("mustard", "parsley").replace(', food: "parsley, wholegrain"', ""), tmp_path / "other"
    )
    context = browser.new_context(viewport=PHONE)
    Phone(context, leeks.path).tap("Circle 3A")
    assert Phone(context, other.path).text("#wrap").endswith("0 takes")
    assert Phone(context, leeks.path).text("#wrap").endswith("1 take")
    context.close()
