"""Events of the stage page: what is sent is checked, and what they come to does not depend on the order in which they arrive."""

from __future__ import annotations

import contextlib
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.timecode import RATES
from scriptkit.shoot.log.stage_events import NotAnEvent, StageEvent, StageLog, event_of, replay, write_stage_log

RATE = RATES["25"]
BUTTER, LEEK = "Leeks\tsoften\t+butter", "Leeks\tsoften\t+leek"
T0 = 1_791_193_276_000  # 2026-10-05 09:41:16 UTC


def event(n: int, kind: str, device: str = "cook", **more: Any) -> dict[str, Any]:
    return {"id": f"{device}-{n}", "n": n, "d": device, "t": T0 + 1000 * n, "z": -60, "k": kind, **more}


def roll(n: int, shot: str = BUTTER, device: str = "cook") -> dict[str, Any]:
    return event(n, "roll", device, s=shot, l="3A" if shot == BUTTER else "3B", a=[shot.rpartition("+")[2]])


def judge(n: int, of: str = "", verdict: str = "circled", shot: str = BUTTER, device: str = "cook") -> dict[str, Any]:
    more = {"s": shot, "l": "3A" if shot == BUTTER else "3B", "a": [shot.rpartition("+")[2]], "v": verdict, "of": of}
    return event(n, "judge", device, card="A1", clip="C0009", **more)


def log_of(*raw: dict[str, Any]) -> StageLog:
    return replay([event_of(one) for one in raw], RATE)


def told(log: StageLog) -> list[tuple[str, int, str, tuple[str, ...]]]:
    return [(t.slate, t.number, t.verdict, t.additions) for t in log.takes]


def test_a_roll_and_its_verdict_are_a_take() -> None:
    log = log_of(roll(1), judge(3, "cook-1"))
    assert told(log) == [("3A", 1, "circled", ("butter",))]
    take = log.takes[0]
    # An hour before UTC by the zone; two seconds at 25 frames.
    assert (take.recorded, take.in_frame, take.out_frame) == ("2026-10-05 10:41:19", 38477 * 25, 38479 * 25)
    assert (log.card, log.clip, log.roll) == ("A1", "C0010", None)
    assert write_stage_log(log, "Leeks", RATE).splitlines()[1] == (
        "Leeks,Leeks,A1,C0009,3,A,1,soften,butter,10:41:17:00,10:41:19:00,2026-10-05 10:41:19,circled,,"
    )


def test_the_same_roll_judged_on_two_devices_is_one_take_and_its_history() -> None:
    log = log_of(roll(1), judge(2, "cook-1", "NG"), judge(2, "cook-1", "circled", device="helper"))
    assert told(log) == [("3A", 1, "circled", ("butter",))]
    assert log.takes[0].was == ("NG",)


def test_a_roll_over_a_roll_is_a_false_start_and_never_lost() -> None:
    assert told(log_of(roll(1), roll(2, LEEK, "helper"), judge(3, "helper-2", shot=LEEK, device="helper"))) == [
        ("3A", 1, "false start", ("butter",)),
        ("3B", 1, "circled", ("leek",)),
    ]


def test_undo_takes_back_what_it_names_wherever_it_stands() -> None:
    raw = [roll(1), judge(2, "cook-1"), event(3, "undo", of="cook-2")]
    log = log_of(*raw[::-1])
    assert log.takes == [] and log.roll is not None


KINDS = st.sampled_from(["roll", "judge", "of", "change", "cover", "undo", "archive", "weigh", "clip"])


@given(st.lists(st.tuples(KINDS, st.integers(0, 40), st.booleans(), st.booleans()), max_size=30), st.randoms())
def test_any_order_of_arrival_and_any_repetition_give_the_same_log(
    made: list[tuple[str, int, bool, bool]], shuffle: random.Random
) -> None:
    raw: list[dict[str, Any]] = []
    for n, (kind, at, helper, leek) in enumerate(made, 1):
        device, shot = ("helper" if helper else "cook"), (LEEK if leek else BUTTER)
        of = raw[at % len(raw)]["id"] if raw else "cook-1"
        raw.append(
            {
                "roll": lambda n=n, d=device, s=shot: roll(n, s, d),
                "judge": lambda n=n, d=device, s=shot: judge(n, "", "hold", s, d),
                "of": lambda n=n, d=device, s=shot, of=of: judge(n, of, "circled", s, d),
                "change": lambda n=n, d=device, of=of: event(n, "change", d, of=of, v="NG", r="dark"),
                "cover": lambda n=n, d=device, of=of: event(n, "cover", d, of=of, a=["butter", "leek"]),
                "undo": lambda n=n, d=device, of=of: event(n, "undo", d, of=of),
                "archive": lambda n=n, d=device: event(n, "archive", d),
                "weigh": lambda n=n, d=device: event(n, "weigh", d, of="Leeks\tsoften\tbutter", g=29.5),
                "clip": lambda n=n, d=device: event(n, "clip", d, v="C0100"),
            }[kind]()
        )
    events = [event_of(one) for one in raw]
    once = replay(events, RATE)
    again = [*events, *events[: len(events) // 2]]
    shuffle.shuffle(again)
    assert replay(again, RATE) == once


BAD: list[Any] = [
    None, [], "roll", {}, {**roll(1), "k": "format"}, {**roll(1), "n": 0}, {**roll(1), "n": True}, {**roll(1), "n": 1.5}, {**roll(1), "t": -1},
    {**roll(1), "t": 10**30}, {**roll(1), "id": "../1"}, {**roll(1), "id": "x" * 50}, {**roll(1), "a": "butter"}, {**roll(1), "a": ["x"] * 101},
    {**roll(1), "s": "x" * 5000}, {**judge(1), "v": "great"}, {**judge(1), "card": None}, {**event(1, "weigh", of="x"), "g": -1},
    {**event(1, "weigh", of="x"), "g": "2"}, event(1, "weigh", of="x"), event(1, "read", takes=[{}], weights=[]), event(1, "read", takes=[], weights=[[1, 2]]),
    event(1, "timer", of="x", op="start", ms="soon"), event(1, "undo"),
]  # fmt: skip


@pytest.mark.parametrize("raw", BAD, ids=range(len(BAD)))
def test_what_is_no_event_is_refused(raw: Any) -> None:
    with pytest.raises(NotAnEvent):
        event_of(raw)


@given(st.recursive(st.none() | st.booleans() | st.integers() | st.floats() | st.text(), lambda c: st.lists(c) | st.dictionaries(st.sampled_from(["id", "k", "n", "t", "z", "d", "a", "s"]), c)))  # fmt: skip
def test_nothing_that_is_sent_breaks_the_check(raw: Any) -> None:
    with contextlib.suppress(NotAnEvent):
        assert isinstance(event_of(raw), StageEvent)
