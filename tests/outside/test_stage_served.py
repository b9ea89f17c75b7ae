"""A shoot day on two devices and a laptop, in real browsers: one dies, one loses the network, clocks are wrong, and no tap is lost or counts twice."""

from __future__ import annotations

import os
import textwrap
from pathlib import Path
from typing import Any

from conftest import EXAMPLES, wait_until
from serving import serving
from stage_phone import LEEKS, PHONE, Phone

from scriptkit.preproduction import Preproduction
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import without_circled_take

SUPPER = EXAMPLES / "harbour-supper.yaml"
ALL_SENT = "document.getElementById('laptop').textContent === 'The laptop has every tap'"


def device(browser: Any, link: str, ahead_ms: int = 0) -> tuple[Any, Phone]:
    """A phone whose clock is ``ahead_ms`` ahead of the laptop's."""
    context = browser.new_context(viewport=PHONE, has_touch=True, accept_downloads=True)
    return context, Phone(context, link, at_once=f"window.skew = {ahead_ms}; window.steady = true;")


def test_a_day_on_two_devices_with_one_dying(browser: Any, tmp_path: Path) -> None:
    source = read_source(str(SUPPER)).usable()
    order = Preproduction(source).order.cooked
    with serving(tmp_path, str(SUPPER), "-o", "day") as served:
        cook_device, cook = device(browser, served.link)
        helper_device, helper = device(browser, served.link, 5 * 3_600_000)
        third = len(order) // 3
        for shot in order[:third]:  # the cook rolls, the helper judges
            cook.tap(f"Roll {shot.slate}")
            helper.go(shot.slate)
            wait_until(helper.page, "/ rolls$/.test(document.getElementById('state').textContent)")
            helper.tap(f"Circle {shot.slate}")
            wait_until(
                cook.page,
                f"!document.getElementById('rolling').textContent.includes('{shot.slate} ') || document.getElementById('rolling').hidden",
            )
        helper_device.set_offline(True)  # out of reach: its taps wait in the open page
        for shot in order[third : 2 * third]:
            helper.tap(f"Roll {shot.slate}", f"Circle {shot.slate}")
        wait_until(helper.page, "!document.getElementById('away').hidden")
        assert helper.text("#away").endswith("taps wait for the laptop")
        for shot in order[2 * third :]:
            cook.tap(f"Roll {shot.slate}", f"Circle {shot.slate}")
        wait_until(cook.page, ALL_SENT)
        cook_device.close()  # the cook's phone falls into the soup
        helper_device.set_offline(False)
        wait_until(helper.page, ALL_SENT)
        for shot in order:
            assert helper.state(shot.slate) == "Take 1 circled", shot.slate
        assert helper.gate() == ""
        new_device, new = device(browser, served.link)  # another phone scans the code
        new.go(order[0].slate)
        wait_until(new.page, "document.getElementById('state').textContent === 'Take 1 circled'")
        saved = new.save(tmp_path).read_bytes()
        helper_device.close()
        new_device.close()
        laptop = (tmp_path / "day" / "harbour-supper-takes.csv").read_bytes()
    assert laptop == saved
    log = read_log(laptop, "takes.csv", source, Preproduction(source).shots)
    assert len(log.takes) == len(order), [str(p) for p in log.problems][:3]
    assert [str(p) for p in log.problems if p.severity == "error"] == []
    times = [(t.in_frame, t.out_frame) for t in log.takes]
    # Whoever began and ended it: half an hour is what a slow machine may take for a take, and the clocks are hours apart.
    assert all(i is not None and o is not None and i <= o < i + 30 * 60 * 25 for i, o in times)
    assert without_circled_take(log.takes, Preproduction(source).day_dishes) == []


def leeks(folder: Path) -> None:
    """Into leeks.yaml, under a name whose port no other run of the tests has."""
    text = textwrap.dedent(LEEKS).replace("Leeks on toast", f"Leeks {os.getpid()}")
    (folder / "leeks.yaml").write_text(text, encoding="utf-8")


def test_two_devices_that_roll_at_once_lose_no_take(browser: Any, tmp_path: Path) -> None:
    """Whether they knew of each other or not: each sees both takes roll, is asked once where it is in doubt, and judges its own."""
    leeks(tmp_path)
    with serving(tmp_path, "leeks.yaml", "-o", "day") as served:
        cook_device, cook = device(browser, served.link)
        helper_device, helper = device(browser, served.link, 3_600_000)
        cook.tap("Roll 3A")
        wait_until(helper.page, "document.getElementById('rolling').textContent.startsWith('● 3A ')")
        helper.tap("Roll 3B")
        assert helper.text("#question") == "3A is still rolling, on another device."
        helper.tap("Roll 3B as well")
        wait_until(cook.page, "document.getElementById('rolling').textContent.startsWith('● 3A 3B ')")
        assert cook.state("3A") == "Take 1 rolls"
        cook.tap("Circle 3A")
        assert not cook.page.locator("dialog[open]").count()
        helper.tap("Circle 3B")
        wait_until(cook.page, "document.getElementById('rolling').hidden")
        helper_device.set_offline(True)
        cook.tap("Roll 3A")
        helper.tap("Roll 4A")  # nobody has told it
        assert not helper.page.locator("dialog[open]").count()
        helper_device.set_offline(False)
        wait_until(cook.page, "document.getElementById('rolling').textContent.startsWith('● 3A 4A ')")
        wait_until(helper.page, "document.getElementById('rolling').textContent.startsWith('● 4A 3A ')")
        cook.tap("NG 3A")
        helper.tap("Hold 4A")
        for one in (cook, helper):
            wait_until(one.page, ALL_SENT)
        takes = (tmp_path / "day" / f"leeks-{os.getpid()}-takes.csv").read_bytes()
        cook_device.close()
        helper_device.close()
    source = read_source(str(tmp_path / "leeks.yaml")).usable()
    log = read_log(takes, "takes.csv", source, Preproduction(source).shots)
    assert sorted((t.shot.slate, t.number, t.verdict) for t in log.takes) == [
        ("3A", 1, "circled"), ("3A", 2, "NG"), ("3B", 1, "circled"), ("4A", 1, "hold"),
    ]  # fmt: skip
    assert all(t.in_frame is not None and t.out_frame is not None for t in log.takes)


def test_a_take_that_another_device_ended_is_offered_where_it_is_judged(browser: Any, tmp_path: Path) -> None:
    leeks(tmp_path)
    with serving(tmp_path, "leeks.yaml", "-o", "day") as served:
        cook_device, cook = device(browser, served.link)
        helper_device, helper = device(browser, served.link)
        cook.tap("Roll 3A")
        wait_until(helper.page, "document.getElementById('rolling').textContent.startsWith('● 3A ')")
        helper.tap("Roll 3B", "3A was a false start: roll 3B")
        wait_until(
            cook.page, "document.getElementById('said').textContent === '3A take 1 false start, on another device'"
        )
        assert cook.text("#state") == "Take 1 false start"
        cook.later(5000)
        cook.tap("Circle 3A")
        said = cook.text("#question")
        assert said.startswith("3A take 1 was ended as a false start at ")
        assert said.endswith(", on another device. 3B is still rolling, on another device. Which take is circled?")
        cook.tap("Take 1, which ran until now")
        assert cook.text("#state") == "Take 1 circled"
        wait_until(helper.page, ALL_SENT)
        helper.tap("Circle 3B")
        wait_until(cook.page, "document.getElementById('rolling').hidden")
        rows = (tmp_path / "day" / f"leeks-{os.getpid()}-takes.csv").read_text(encoding="utf-8-sig").splitlines()
        cook_device.close()
        helper_device.close()
    assert [row.count("circled") for row in rows[1:]] == [1, 1]


def test_a_phone_that_comes_back_late_sends_all_that_it_tapped(browser: Any, tmp_path: Path) -> None:
    """More than goes into one request, and the log has each take once, whole."""
    leeks(tmp_path)
    with serving(tmp_path, "leeks.yaml", "-o", "day") as served:
        context, phone = device(browser, served.link)
        phone.go("3A")
        context.set_offline(True)
        phone.page.evaluate(
            """() => { const hands = document.querySelectorAll('#hands button');
            for (let n = 0; n < 150; n++) { window.settled += 400; hands[3].click(); window.settled += 400; hands[2].click() } }"""
        )
        wait_until(phone.page, "!document.getElementById('away').hidden")
        assert phone.text("#away") == "300 taps wait for the laptop"
        context.set_offline(False)
        wait_until(phone.page, ALL_SENT)
        assert phone.text("#state") == "Take 150 circled"
        context.close()
        rows = (tmp_path / "day" / f"leeks-{os.getpid()}-takes.csv").read_text(encoding="utf-8-sig").splitlines()
    assert len(rows) == 151 and len(set(rows)) == 151


def test_taps_that_the_laptop_had_not_had_come_when_it_starts_again(browser: Any, tmp_path: Path) -> None:
    """The laptop went down, the phone's page was closed: whoever scans the new code finds them and sends them."""
    leeks(tmp_path)
    with serving(tmp_path, "leeks.yaml", "-o", "day") as served:
        context, phone = device(browser, served.link)
        phone.tap("Roll 3A")
        wait_until(phone.page, ALL_SENT)
    phone.tap("Circle 3A")
    wait_until(phone.page, "!document.getElementById('away').hidden")
    phone.on_disk(2)
    phone.page.close()
    with serving(tmp_path, "leeks.yaml", "-o", "day") as again:
        assert again.link.rsplit("/", 2)[0] == served.link.rsplit("/", 2)[0] and again.link != served.link
        new = Phone(context, again.link)
        new.go("3A")
        wait_until(new.page, "document.getElementById('state').textContent === 'Take 1 circled'")
        wait_until(new.page, ALL_SENT)
        takes = tmp_path / "day" / f"leeks-{os.getpid()}-takes.csv"
        context.close()
    assert takes.read_text(encoding="utf-8-sig").count("circled") == 1


def test_a_timer_of_a_device_with_a_wrong_clock_is_right_on_another(browser: Any, tmp_path: Path) -> None:
    with serving(tmp_path, str(SUPPER), "-o", "day") as served:
        first_device, first = device(browser, served.link, 3_600_000)
        second_device, second = device(browser, served.link)
        first.tap("Circle 7B")
        wait_until(second.page, "!document.getElementById('timers').hidden")
        minutes = int(second.page.locator("#timers b").text_content().split(":")[0])
        assert minutes in (6, 7)
        first_device.close()
        second_device.close()
