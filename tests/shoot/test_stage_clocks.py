"""Several devices with wrong clocks: whatever they are off by, and in whatever order their taps arrive, the takes are those of the laptop's clock."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from leeks_log import SUPPER, SUPPER_SHOTS

from scriptkit.measure.timecode import RATES
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.stage_events import StageLog, replay, write_stage_log
from scriptkit.shoot.log.stage_taps import NotAnEvent, StageEvent, event_of

RATE = RATES["25"]
DEVICES = ("cook", "helper", "spare")
BISQUE = "Fennel and celeriac bisque"
SHOTS = {name: f"{BISQUE}\tsoften-fennel\t+{name}" for name in ("butter", "fennel")}
SLATES = {
    name: next(s.slate for s in SUPPER_SHOTS if name in [a.ingredient.name for a in s.additions]) for name in SHOTS
}
NOON = 1_791_201_600_000  # 2026-10-05 12:00 UTC
DAY_MS = 86_400_000

Tap = tuple[str, str, str, int]
"""Who, what, of which addition, and how many milliseconds after the tap before."""
TAPS = st.lists(
    st.tuples(
        st.sampled_from(DEVICES),
        st.sampled_from(["roll", "circled", "NG", "log", "weigh"]),
        st.sampled_from(sorted(SHOTS)),
        st.integers(500, 1_200_000),
    ),
    max_size=25,
)
OFF = st.integers(-3 * DAY_MS, 3 * DAY_MS)
CLOCKS = st.tuples(OFF, OFF, OFF)


def day(taps: list[Tap], clocks: tuple[int, ...], *, told: bool, begins: int = NOON) -> list[StageEvent]:
    """The events of one day as the devices make them, each by its own clock; ``told``: they know how far it is off."""
    events: list[StageEvent] = []
    moment, number, rolling = begins, 0, ""
    for who, what, name, after in taps:
        moment += after
        off = clocks[DEVICES.index(who)]
        number = max(number + 1, moment if told else moment + off)
        raw: dict[str, Any] = {
            "id": f"{who}-{number}", "n": number, "d": who, "t": moment + off, "z": 0, "s": SHOTS[name], "l": SLATES[name], "a": [name],
            "v": what, "card": "1", "clip": "1", "of": rolling, "k": "judge",
        }  # fmt: skip
        if told:
            raw["o"] = -off
        if what == "roll":
            raw["k"], rolling = "roll", raw["id"]
        elif what == "weigh":
            raw |= {"k": "weigh", "of": f"{BISQUE}\tsoften-fennel\t{name}", "g": 29.5}
        elif what == "log":
            raw |= {"v": "circled", "of": ""}
        events.append(event_of(raw))
    return events


def takes_of(log: StageLog) -> list[object]:
    return [replace(take, id="") for take in log.takes] + [[roll.in_ms for roll in log.rolls.values()], log.weights]


@given(TAPS, CLOCKS, st.randoms())
def test_any_clocks_and_any_order_give_the_takes_of_the_laptop_s_clock(
    taps: list[Tap], clocks: tuple[int, ...], shuffle: random.Random
) -> None:
    right = takes_of(replay(day(taps, (0, 0, 0), told=True), RATE))
    events = day(taps, clocks, told=True)
    events += events[::3]
    shuffle.shuffle(events)
    assert takes_of(replay(events, RATE)) == right


@given(taps=TAPS, clocks=CLOCKS, told=st.booleans(), hour=st.integers(0, 23))
def test_no_take_ends_before_it_begins_and_the_log_is_read(
    taps: list[Tap], clocks: tuple[int, ...], told: bool, hour: int
) -> None:
    log = replay(day(taps, clocks, told=told, begins=NOON + hour * 3_600_000), RATE)
    text = write_stage_log(log, SUPPER.name, RATE)
    read = read_log(text.encode("utf-8"), "takes.csv", SUPPER, SUPPER_SHOTS)
    assert [str(p) for p in read.problems if p.severity == "error"] == []
    assert len(read.takes) == len(log.takes)
    assert all(t.out_frame >= t.in_frame for t in read.takes if t.in_frame is not None and t.out_frame is not None)


def test_a_take_that_one_device_begins_and_another_ends_lasts_as_long_as_it_did() -> None:
    five_hours = 5 * 3_600_000
    taps = [("cook", "roll", "butter", 1000), ("helper", "circled", "butter", 8000)]
    (take,) = replay(day(taps, (0, five_hours, 0), told=True), RATE).takes
    assert take.in_frame is not None and take.out_frame is not None
    assert take.out_frame - take.in_frame == 8 * 25
    assert take.recorded == "2026-10-05 12:00:09"
    (unsure,) = replay(day(taps, (0, -five_hours, 0), told=False), RATE).takes
    assert (unsure.verdict, unsure.out_frame) == ("circled", None)  # what two clocks contradict is not known


def test_a_take_out_of_the_laptop_s_reach_runs_until_it_is_judged_there() -> None:
    cook = day([("cook", "roll", "butter", 2000), ("cook", "circled", "butter", 30_000)], (0, 0, 0), told=True)
    helper = day([("helper", "roll", "fennel", 9000), ("helper", "NG", "fennel", 6000)], (0, 7_000_000, 0), told=True)
    log = replay([*helper, *cook], RATE)
    lengths = {t.slate: (t.verdict, (t.out_frame or 0) - (t.in_frame or 0)) for t in log.takes}
    assert lengths == {SLATES["butter"]: ("circled", 30 * 25), SLATES["fennel"]: ("NG", 6 * 25)}


def test_offline_taps_stand_where_they_were_made() -> None:
    """A helper that comes back after an hour: its takes stand between those that were made meanwhile, by their times."""
    helper = day([("helper", "log", "fennel", 1_000_000)], (0, -DAY_MS, 0), told=True)
    cook = day([("cook", "log", "butter", 500), ("cook", "log", "butter", 2_000_000)], (0, 0, 0), told=True)
    assert [t.slate for t in replay([*cook, *helper], RATE).takes] == [
        SLATES[name] for name in ("butter", "fennel", "butter")
    ]


@pytest.mark.parametrize("off", ["1", True, 1.5, 10**15, None])
def test_a_clock_is_off_by_milliseconds(off: object) -> None:
    raw = {"id": "cook-1", "n": 1, "d": "cook", "t": NOON, "z": 0, "k": "archive", "o": off}
    with pytest.raises(NotAnEvent):
        event_of(raw)
