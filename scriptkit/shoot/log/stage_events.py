"""The events of the stage page, and the takes that follow from them: the same replay as the page's own (templates/stage-log.js).

An event is never changed, and counts once. The events of several devices have one order, by a number that is greater than any that a
device had seen, and at least the milliseconds of its clock: it does not matter in which order they arrive. A page that the laptop
serves knows how far its clock is off, and says so in each event: every time in the log is of the laptop's clock.
"""

from __future__ import annotations

import csv
import datetime
import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from scriptkit.measure.timecode import FrameRate
from scriptkit.shoot.log.log_cells import FALSE_START, VERDICTS, WEIGHED, guarded
from scriptkit.shoot.log.take_log import COLUMNS, LONGEST_OVER_MIDNIGHT_S, day_frames, label, split_slate

KINDS = frozenset({
    "roll", "judge", "change", "cover", "card", "clip", "weigh", "timer", "archive", "read", "undo",
})  # fmt: skip
LONGEST_EVENT = 20_000
"""Characters of one event; a log of a whole day that is opened is several kilobytes."""
LATEST_MS = 10**14
"""The year 5138: a clock may be as wrong as that, for the laptop's counts."""
FURTHEST_OFF_MS = LATEST_MS
"""Between a device's clock and the laptop's."""
MOST_NUMBER = 10**15
"""Of an event: far beyond the milliseconds of any date."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageEvent:
    """A tap: ``n`` gives the order, ``device`` is where it was made, at ``at_ms`` by that device's clock, which the laptop's was
    ``ahead_ms`` ahead of (0 where no laptop is asked). ``behind_min``: minutes behind UTC, of the laptop where there is one. ``more`` is
    what the kind of event says beyond that, checked by :func:`event_of`."""

    id: str
    n: int
    device: str
    at_ms: int
    behind_min: int
    kind: str
    more: Mapping[str, Any]
    ahead_ms: int = 0

    @property
    def moment_ms(self) -> int:
        """When it was tapped, by the laptop's clock."""
        return self.at_ms + self.ahead_ms

    @property
    def wall(self) -> str:
        """Date and time on the wall when it was tapped: ``2026-10-05 09:41:16``."""
        return _moment(self.moment_ms - self.behind_min * 60_000)

    def frame(self, rate: FrameRate) -> int:
        """The frame of a camera whose time code is the time of day."""
        ms = (self.moment_ms - self.behind_min * 60_000) % 86_400_000
        return int(ms * rate.exact // 1000) % day_frames(rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTake:
    """A take as the page has it. ``shot`` names dish, step and additions, tab-separated; frames count from midnight."""

    id: str
    shot: str
    slate: str
    number: int
    additions: tuple[str, ...]
    verdict: str
    in_frame: int | None
    out_frame: int | None
    recorded: str
    card: str
    clip: str
    remark: str = ""
    was: tuple[str, ...] = ()
    """Its earlier verdicts."""
    in_ms: int | None = None
    """Its in by the laptop's clock; None where nobody rolled."""
    unjudged: bool = False
    """It ended because another shot was rolled; a device that was out of reach may yet judge it."""

    @property
    def content(self) -> tuple[object, ...]:
        """What makes two takes the same, wherever they come from."""
        return (self.shot, self.verdict, self.in_frame, self.out_frame, self.recorded, self.card, self.clip, self.additions, self.remark)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningTake:
    """A take that rolls."""

    id: str
    shot: str
    slate: str
    additions: tuple[str, ...]
    in_frame: int
    in_ms: int


@dataclass(slots=True, kw_only=True)
class StageLog:
    """What the events come to. ``weights``: grams and when, by what was weighed (dish, step and ingredient, or the dish alone, tab-separated)."""

    takes: list[StageTake] = field(default_factory=list)
    roll: RunningTake | None = None
    card: str = "1"
    clip: str = "1"
    weights: dict[str, tuple[float, str]] = field(default_factory=dict)
    archived: list[list[StageTake]] = field(default_factory=list)


class NotAnEvent(ValueError):
    """What was sent is no event of a stage page."""


# --- events as they are sent -------------------------------------------------------------------------------------------

_TEXTS: dict[str, tuple[str, ...]] = {
    "roll": ("s", "l"), "judge": ("s", "l", "v", "card", "clip"), "change": ("of",), "cover": ("of",), "card": ("v",), "clip": ("v",),
    "weigh": ("of",), "timer": ("of", "op"), "undo": ("of",),
}  # fmt: skip
_ID = re.compile(r"[a-z0-9]{1,16}-[0-9]{1,16}")


def event_of(raw: object) -> StageEvent:
    """The event of a JSON object. Raises NotAnEvent: whoever has the key may send anything."""
    if not isinstance(raw, dict) or not all(isinstance(key, str) for key in raw):
        raise NotAnEvent("an event is an object")
    kind, number, at_ms, behind, device = (raw.get(key) for key in ("k", "n", "t", "z", "d"))
    ahead_ms = raw.get("o", 0)
    if (
        not isinstance(kind, str)
        or kind not in KINDS
        or not isinstance(raw.get("id"), str)
        or not _ID.fullmatch(raw["id"])
    ):
        raise NotAnEvent("an event has a kind and an id")
    if not (
        _whole(number, 1, MOST_NUMBER)
        and _whole(at_ms, 0, LATEST_MS)
        and _whole(behind, -1000, 1000)
        and _whole(ahead_ms, -FURTHEST_OFF_MS, FURTHEST_OFF_MS)
        and _text(device, 40)
    ):
        raise NotAnEvent("an event has a number, a device, and a time")
    more = {key: value for key, value in raw.items() if key not in {"id", "k", "n", "t", "z", "d", "o"}}
    if not all(_text(more.get(key), 2000) for key in _TEXTS.get(kind, ())):
        raise NotAnEvent(f"an event “{kind}” says what it is about")
    if kind in ("roll", "judge", "cover") and not _names(more.get("a")):
        raise NotAnEvent(f"an event “{kind}” lists additions")
    if kind == "judge" and (more["v"] not in VERDICTS or not _text(more.get("of", ""), 60)):
        raise NotAnEvent("a verdict is one of a take log")
    if kind == "change" and (more.get("v", VERDICTS[0]) not in VERDICTS or not _text(more.get("r", ""), 400)):
        raise NotAnEvent("a change is of the verdict or the remark")
    if kind == "weigh" and not ("g" in more and (more["g"] is None or _grams(more["g"]))):
        raise NotAnEvent("a weight is in grams")
    if kind == "timer" and not _whole(more.get("ms"), 0, 10**9):
        raise NotAnEvent("a timer is in milliseconds")
    if kind == "read":
        more = {"takes": _read_takes(more.get("takes")), "weights": _read_weights(more.get("weights"))}
    return StageEvent(
        id=raw["id"], n=number, device=device, at_ms=at_ms, behind_min=behind, kind=kind, more=more, ahead_ms=ahead_ms,  # type: ignore[arg-type]
    )  # fmt: skip


def _whole(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _text(value: object, most: int) -> bool:
    return isinstance(value, str) and len(value) <= most


def _grams(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value <= 100_000


def _names(value: object) -> bool:
    return isinstance(value, list) and len(value) <= 100 and all(_text(name, 200) for name in value)


def _read_takes(value: object) -> list[dict[str, Any]]:
    takes: list[dict[str, Any]] = []
    for take in value if isinstance(value, list) else [None]:
        if not isinstance(take, dict) or not all(
            _text(take.get(key), 2000) for key in ("s", "l", "v", "at", "card", "clip", "r")
        ):
            raise NotAnEvent("a take of a log is not whole")
        if take["v"] not in VERDICTS or not _names(take.get("a")) or not _whole(take.get("n"), 1, 10**6):
            raise NotAnEvent("a take of a log has a verdict, additions and a number")
        if not all(key in take and (take[key] is None or _whole(take[key], 0, 10**8)) for key in ("i", "o")):
            raise NotAnEvent("a take's time code is in frames")
        takes.append(take)
    return takes


def _read_weights(value: object) -> list[list[Any]]:
    weights: list[list[Any]] = []
    for weight in value if isinstance(value, list) else [None]:
        whole = isinstance(weight, list) and len(weight) == 3
        if (
            not isinstance(weight, list)
            or not whole
            or not (_text(weight[0], 2000) and _grams(weight[1]) and _text(weight[2], 40))
        ):
            raise NotAnEvent("a weight of a log is not whole")
        weights.append(weight)
    return weights


# --- the replay ---------------------------------------------------------------------------------------------------------


def replay(events: Iterable[StageEvent], rate: FrameRate) -> StageLog:
    """What the events come to, in whatever order they are given, and however often each."""
    by_id: dict[str, StageEvent] = {}
    for event in events:
        by_id.setdefault(event.id, event)
    gone = {event.more["of"] for event in by_id.values() if event.kind == "undo"}
    log = StageLog()
    for event in sorted(by_id.values(), key=lambda e: (e.n, e.id)):
        if event.id not in gone:
            _apply(log, event, rate)
    return log


def _apply(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    more = event.more
    match event.kind:
        case "roll":
            _roll(log, event, rate)
        case "judge":
            _judge(log, event, rate)
        case "change":
            _change(log, event)
        case "cover":
            _cover(log, more["of"], tuple(more["a"]))
        case "card":
            log.card = more["v"]
        case "clip":
            log.clip = more["v"]
        case "weigh":
            log.weights.pop(more["of"], None)
            if more["g"] is not None:
                log.weights[more["of"]] = (more["g"], event.wall)
        case "archive":
            if log.roll is not None:
                _close(log, log.roll, event, rate, FALSE_START, log.card, log.clip)
            log.archived.append(log.takes)
            log.takes, log.weights = [], {}
        case "read":
            _read(log, event)


def _roll(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    shot = event.more["s"]
    if log.roll is not None and log.roll.shot == shot:
        return
    if log.roll is not None:
        _close(log, log.roll, event, rate, FALSE_START, log.card, log.clip, unjudged=True)
    additions = tuple(event.more["a"])
    log.roll = RunningTake(
        id=event.id, shot=shot, slate=event.more["l"], additions=additions, in_frame=event.frame(rate), in_ms=event.moment_ms,
    )  # fmt: skip


def _judge(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    more, of = event.more, event.more.get("of", "")
    if of and log.roll is not None and log.roll.id == of:
        _close(log, log.roll, event, rate, more["v"], more["card"], more["clip"])
    elif of and any(take.id == of for take in log.takes):
        _end_later(log, event, rate)
        _change(log, event)  # judged on the other device already
    else:
        take = StageTake(
            id=event.id, shot=more["s"], slate=more["l"], number=0, additions=tuple(more["a"]), verdict=more["v"], in_frame=None,
            out_frame=event.frame(rate), recorded=event.wall, card=more["card"], clip=more["clip"],
        )  # fmt: skip
        _add(log, take)


def _close(
    log: StageLog, roll: RunningTake, event: StageEvent, rate: FrameRate, verdict: str, card: str, clip: str, *, unjudged: bool = False
) -> None:  # fmt: skip
    log.roll = None
    take = StageTake(
        id=roll.id, shot=roll.shot, slate=roll.slate, number=0, additions=roll.additions, verdict=verdict, in_frame=roll.in_frame,
        out_frame=_out(roll.in_ms, roll.in_frame, event, rate), recorded=event.wall, card=card, clip=clip, in_ms=roll.in_ms,
        unjudged=unjudged,
    )  # fmt: skip
    _add(log, take)


def _out(in_ms: int, in_frame: int, event: StageEvent, rate: FrameRate) -> int | None:
    """The frame at which a take ends; None where that is not known, as two clocks contradict each other: it would end before it began,
    or more than an hour later on another day."""
    frame = event.frame(rate)
    over_midnight = frame + day_frames(rate) - in_frame if frame < in_frame else 0
    if event.moment_ms < in_ms or over_midnight > LONGEST_OVER_MIDNIGHT_S * rate.nominal:
        return None
    return frame


def _end_later(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    """A take that another device's roll ended, and that in truth ran on until it was judged here, out of the laptop's reach."""
    for n, take in enumerate(log.takes):
        if take.id == event.more["of"] and take.unjudged and take.in_ms is not None and take.in_frame is not None:
            out = _out(take.in_ms, take.in_frame, event, rate)
            log.takes[n] = replace(take, out_frame=out, recorded=event.wall, unjudged=False)


def _add(log: StageLog, take: StageTake) -> None:
    number = take.number or 1 + max((t.number for t in log.takes if t.shot == take.shot), default=0)
    log.takes.append(replace(take, number=number))
    log.card, log.clip = take.card, next_clip(take.clip)


def _change(log: StageLog, event: StageEvent) -> None:
    for n, take in enumerate(log.takes):
        if take.id == event.more["of"]:
            verdict = event.more.get("v", take.verdict)
            was = (*take.was, take.verdict) if verdict != take.verdict else take.was
            log.takes[n] = replace(take, verdict=verdict, was=was, remark=event.more.get("r", take.remark))


def _cover(log: StageLog, of: str, additions: tuple[str, ...]) -> None:
    if log.roll is not None and log.roll.id == of:
        log.roll = replace(log.roll, additions=additions)
        return
    log.takes = [replace(take, additions=additions) if take.id == of else take for take in log.takes]


def _read(log: StageLog, event: StageEvent) -> None:
    have = {take.content for take in log.takes}
    card, clip = log.card, log.clip
    for n, raw in enumerate(event.more["takes"]):
        take = StageTake(
            id=f"{event.id}:{n}", shot=raw["s"], slate=raw["l"], number=raw["n"], additions=tuple(raw["a"]), verdict=raw["v"],
            in_frame=raw["i"], out_frame=raw["o"], recorded=raw["at"], card=raw["card"], clip=raw["clip"], remark=raw["r"],
        )  # fmt: skip
        if take.content not in have:
            log.takes.append(take)
            card, clip = take.card or log.card, next_clip(take.clip) or log.clip
    log.card, log.clip = card, clip
    for of, grams, recorded in event.more["weights"]:
        log.weights[of] = (grams, recorded)


def next_clip(clip: str) -> str:
    """The camera's name of the clip after this one.

    >>> next_clip("C0009"), next_clip("A1_2b"), next_clip("roll")
    ('C0010', 'A1_3b', 'roll')
    """
    return re.sub(r"\d+(?=\D*$)", lambda found: str(int(found[0]) + 1).zfill(len(found[0])), clip)


def _moment(ms: int) -> str:
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(milliseconds=ms)  # noqa: DTZ001
    return moment.isoformat(sep=" ", timespec="seconds")


# --- as a take log --------------------------------------------------------------------------------------------------------


def write_stage_log(log: StageLog, title: str, rate: FrameRate) -> str:
    """The take log as the page saves it: CSV (RFC 4180), the takes and then what was weighed."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for take in log.takes:
        dish, step, *_ = [*take.shot.split("\t"), "", ""]
        scene, setup = split_slate(take.slate)
        cells = [
            title, dish, take.card, take.clip, scene, setup, str(take.number), "" if step.startswith("~") else step, "; ".join(take.additions),
            "" if take.in_frame is None else label(take.in_frame, rate), "" if take.out_frame is None else label(take.out_frame, rate),
            take.recorded, take.verdict, take.remark, "",
        ]  # fmt: skip
        writer.writerow([guarded(cell) for cell in cells])
    for of, (grams, recorded) in log.weights.items():
        dish, step, name, *_ = [*of.split("\t"), "", ""]
        cells = [title, dish, *[""] * 5, step, name, "", "", recorded, WEIGHED, "", f"{grams:.10g} g"]
        writer.writerow([guarded(cell) for cell in cells])
    return "\ufeff" + out.getvalue()
