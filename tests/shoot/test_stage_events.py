"""Events of the stage page: what is sent is checked, and what they come to does not depend on the order in which they arrive."""

from __future__ import annotations

import contextlib
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.timecode import RATES
from scriptkit.shoot.log.stage_events import StageLog, replay, write_stage_log
from scriptkit.shoot.log.stage_taps import NotAnEvent, StageEvent, event_of

RATE = RATES["25"]
BUTTER, LEEK = "Leeks\tsoften\t+butter", "Leeks\tsoften\t+leek"
T0 = 1_791_193_276_000  # 2026-10-05 09:41:16 UTC


def event(n: int, kind: str, device: str = "cook", **more: Any) -> dict[str, Any]:
    return {"id": f"{device}-{n}", "n": n, "d": device, "t": T0 + 1000 * n, "z": -60, "k": kind, **more}


def roll(n: int, shot: str = BUTTER, device: str = "cook", **more: Any) -> dict[str, Any]:
    """``over``: what the person said was a false start, as another shot is rolled."""
    return event(n, "roll", device, s=shot, l="3A" if shot == BUTTER else "3B", a=[shot.rpartition("+")[2]], **more)


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
    assert (log.card, log.clip, log.rolls) == ("A1", "C0010", {})
    assert write_stage_log(log, "Leeks", RATE).splitlines()[1] == (
        "Leeks,Leeks,A1,C0009,3,A,1,soften,butter,10:41:17:00,10:41:19:00,2026-10-05 10:41:19,circled,,"
    )


def test_the_same_roll_judged_on_two_devices_is_one_take_and_its_history() -> None:
    log = log_of(roll(1), judge(2, "cook-1", "NG"), judge(2, "cook-1", "circled", device="helper"))
    assert told(log) == [("3A", 1, "circled", ("butter",))]
    assert log.takes[0].was == ("NG",)


def test_a_roll_ends_another_as_a_false_start_only_where_the_person_says_so() -> None:
    asked = log_of(roll(1), roll(2, LEEK, over=["cook-1"]), judge(3, "cook-2", shot=LEEK))
    assert told(asked) == [("3A", 1, "false start", ("butter",)), ("3B", 1, "circled", ("leek",))]
    assert asked.rolls == {}
    unasked = log_of(roll(1), roll(2, LEEK, "helper"), judge(3, "helper-2", shot=LEEK, device="helper"))
    assert told(unasked) == [("3B", 1, "circled", ("leek",))]
    assert [(one.id, one.in_frame) for one in unasked.rolls.values()] == [("cook-1", 38477 * 25)]  # it rolls on


def test_two_devices_that_roll_without_knowing_of_each_other_have_both_their_takes_whole() -> None:
    cook = [roll(1), judge(5, "cook-1")]
    helper = [roll(2, LEEK, "helper"), judge(4, "helper-2", "NG", LEEK, "helper")]
    log = log_of(*cook, *helper)
    assert told(log) == [("3B", 1, "NG", ("leek",)), ("3A", 1, "circled", ("butter",))]
    assert [(t.out_frame or 0) - (t.in_frame or 0) for t in log.takes] == [2 * 25, 4 * 25]
    assert log_of(*helper[::-1], *cook[::-1]) == log


def test_a_shot_that_is_rolled_on_two_devices_is_one_take() -> None:
    """Whoever judges it, and by the name that the take has on its own device."""
    log = log_of(roll(1), roll(2, device="helper"), judge(3, "helper-2", device="helper"))
    assert (told(log), log.rolls) == ([("3A", 1, "circled", ("butter",))], {})
    assert ((log.takes[0].out_frame or 0) - (log.takes[0].in_frame or 0)) == 2 * 25
    both = log_of(roll(1), roll(2, device="helper"), judge(3, "helper-2", "NG", device="helper"), judge(4, "cook-1"))
    assert (told(both), both.takes[0].was) == ([("3A", 1, "circled", ("butter",))], ("NG",))
    gone = log_of(
        roll(1), roll(2, device="helper"), event(3, "undo", of="cook-1"), judge(4, "helper-2", device="helper")
    )
    assert told(gone) == [("3A", 1, "circled", ("butter",))]


def test_who_ends_a_take_of_another_device_takes_nothing_from_it() -> None:
    """The helper says that it was a false start; the cook, who does not know, circles it where it ends."""
    log = log_of(roll(1), roll(3, LEEK, "helper", over=["cook-1"]), judge(8, "cook-1"))
    assert told(log) == [("3A", 1, "circled", ("butter",))]
    assert (log.takes[0].was, (log.takes[0].out_frame or 0) - (log.takes[0].in_frame or 0)) == (
        ("false start",),
        7 * 25,
    )
    assert list(log.rolls) == [LEEK]


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["cook", "helper"]),
            st.sampled_from([BUTTER, LEEK]),
            st.sampled_from(["roll", "judge", "over", "meet"]),
        ),
        max_size=40,
    ),
    st.randoms(),
)
def test_no_roll_of_any_device_is_lost(taps: list[tuple[str, str, str]], shuffle: random.Random) -> None:
    """Two devices that meet now and then: what either saw roll, it judges. Every roll is a take with a beginning, or rolls still."""
    seen: dict[str, list[dict[str, Any]]] = {"cook": [], "helper": []}
    numbers, rolled = 0, set()
    for who, shot, what in taps:
        if what == "meet":
            both = {e["id"]: e for e in (*seen["cook"], *seen["helper"])}
            seen = {"cook": [*both.values()], "helper": [*both.values()]}
            continue
        rolls = log_of(*seen[who]).rolls
        numbers += 1
        if what == "judge" and shot in rolls:
            seen[who].append(judge(numbers, rolls[shot].id, "hold", shot, who))
        elif what in ("roll", "over") and shot not in rolls:
            seen[who].append(
                roll(numbers, shot, who, over=[one.id for one in rolls.values()] if what == "over" else [])
            )
            rolled.add(seen[who][-1]["id"])
    every = [*seen["cook"], *seen["helper"]]
    shuffle.shuffle(every)
    log = log_of(*every)
    known = {take.id for take in log.takes} | {one.id for one in log.rolls.values()} | set(log.twins)
    assert known == rolled
    assert all(take.in_frame is not None and take.out_frame is not None for take in log.takes)
    judged = {log.twins.get(e["of"], e["of"]) for e in every if e["k"] == "judge"}
    assert {take.id for take in log.takes if take.verdict == "hold"} == judged


def test_undo_takes_back_what_it_names_wherever_it_stands() -> None:
    raw = [roll(1), judge(2, "cook-1"), event(3, "undo", of="cook-2")]
    log = log_of(*raw[::-1])
    assert log.takes == [] and list(log.rolls) == [BUTTER]


KINDS = st.sampled_from(["roll", "over", "judge", "of", "change", "cover", "undo", "archive", "weigh", "clip"])


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
                "over": lambda n=n, d=device, s=shot, of=of: roll(n, s, d, over=[of]),
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
    {**roll(1), "s": "x" * 5000}, {**roll(1), "over": "cook-1"}, {**roll(1), "over": [1]}, {**judge(1), "v": "great"}, {**judge(1), "card": None}, {**event(1, "weigh", of="x"), "g": -1},
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
