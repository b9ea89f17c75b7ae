"""The events of the stage page, and the takes that follow from them: the same replay as the page's own (templates/stage-log.js).

An event is never changed, and counts once. The events of several devices have one order, by a number that is greater than any that a
device had seen, and at least the milliseconds of its clock: it does not matter in which order they arrive. A page that the laptop
serves knows how far its clock is off, and says so in each event: every time in the log is of the laptop's clock.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from scriptkit.measure.timecode import FrameRate
from scriptkit.shoot.log.log_cells import FALSE_START, WEIGHED, guarded
from scriptkit.shoot.log.stage_taps import StageEvent
from scriptkit.shoot.log.take_log import COLUMNS, LONGEST_OVER_MIDNIGHT_S, day_frames, label, split_slate


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
    """Whoever rolled another shot said that it was a false start; a device that was out of reach may yet judge it."""

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
    """What the events come to. ``rolls``: what rolls, by its shot; more than one where devices rolled without knowing of each other.
    ``twins``: the ids of takes that were begun on a second device as well, and what they are called here. ``weights``: grams and when, by
    what was weighed (dish, step and ingredient, or the dish alone, tab-separated)."""

    takes: list[StageTake] = field(default_factory=list)
    rolls: dict[str, RunningTake] = field(default_factory=dict)
    twins: dict[str, str] = field(default_factory=dict)
    card: str = "1"
    clip: str = "1"
    weights: dict[str, tuple[float, str]] = field(default_factory=dict)
    archived: list[list[StageTake]] = field(default_factory=list)


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
            _cover(log, log.twins.get(more["of"], more["of"]), tuple(more["a"]))
        case "card":
            log.card = more["v"]
        case "clip":
            log.clip = more["v"]
        case "weigh":
            log.weights.pop(more["of"], None)
            if more["g"] is not None:
                log.weights[more["of"]] = (more["g"], event.wall)
        case "archive":
            for roll in list(log.rolls.values()):
                _close(log, roll, event, rate, FALSE_START, log.card, log.clip)
            log.archived.append(log.takes)
            log.takes, log.weights = [], {}
        case "read":
            _read(log, event)


def _roll(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    """A roll ends another only where the person said so (``over``): else two devices rolled, and each will judge its own."""
    shot = event.more["s"]
    for of in event.more.get("over", ()):
        if (roll := _rolling(log, of)) is not None:
            _close(log, roll, event, rate, FALSE_START, log.card, log.clip, unjudged=True)
    if shot in log.rolls:
        log.twins[event.id] = log.rolls[shot].id
        return
    additions = tuple(event.more["a"])
    log.rolls[shot] = RunningTake(
        id=event.id, shot=shot, slate=event.more["l"], additions=additions, in_frame=event.frame(rate), in_ms=event.moment_ms,
    )  # fmt: skip


def _rolling(log: StageLog, of: str) -> RunningTake | None:
    """What rolls under this id, or under that of its twin."""
    of = log.twins.get(of, of)
    return next((roll for roll in log.rolls.values() if roll.id == of), None)


def _judge(log: StageLog, event: StageEvent, rate: FrameRate) -> None:
    more, of = event.more, event.more.get("of", "")
    of = log.twins.get(of, of)
    if of and (roll := _rolling(log, of)) is not None:
        _close(log, roll, event, rate, more["v"], more["card"], more["clip"])
    elif of and any(take.id == of for take in log.takes):
        _end_later(log, of, event, rate)
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
    del log.rolls[roll.shot]
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


def _end_later(log: StageLog, of: str, event: StageEvent, rate: FrameRate) -> None:
    """A take that another device's roll ended, and that in truth ran on until it was judged here."""
    for n, take in enumerate(log.takes):
        if take.id == of and take.unjudged and take.in_ms is not None and take.in_frame is not None:
            out = _out(take.in_ms, take.in_frame, event, rate)
            log.takes[n] = replace(take, out_frame=out, recorded=event.wall, unjudged=False)


def _add(log: StageLog, take: StageTake) -> None:
    number = take.number or 1 + max((t.number for t in log.takes if t.shot == take.shot), default=0)
    log.takes.append(replace(take, number=number))
    log.card, log.clip = take.card, next_clip(take.clip)


def _change(log: StageLog, event: StageEvent) -> None:
    of = log.twins.get(event.more["of"], event.more["of"])
    for n, take in enumerate(log.takes):
        if take.id == of:
            verdict = event.more.get("v", take.verdict)
            was = (*take.was, take.verdict) if verdict != take.verdict else take.was
            log.takes[n] = replace(take, verdict=verdict, was=was, remark=event.more.get("r", take.remark))


def _cover(log: StageLog, of: str, additions: tuple[str, ...]) -> None:
    if (roll := _rolling(log, of)) is not None:
        log.rolls[roll.shot] = replace(roll, additions=additions)
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
