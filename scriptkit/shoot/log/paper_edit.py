"""The paper edit: circled takes in script order, and the holes between them; as CSV and as an edit decision list."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.recipe.dish import Addition
from scriptkit.shoot.log.log_cells import HOLD, guarded
from scriptkit.shoot.log.take_log import Take, label
from scriptkit.shoot.shots.shots import Shot

COLUMNS = (
    "order", "scene_setup", "take", "dish", "step", "picture", "additions", "card", "clip", "in", "out", "recorded_s",
    "expected_s", "remark",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class EditEvent:
    """One row of the paper edit: a circled take, or a shot that has none."""

    order: int
    shot: Shot
    take: Take | None
    instead: str = ""
    """Of a shot without a circled take: the slate of another shot's circled take that covers its additions."""

    @property
    def placed(self) -> bool:
        """Whether the decision list can point at it: in and out were noted."""
        return self.take is not None and self.take.frames > 0

    @property
    def remark(self) -> str:
        """The log's; of a hole, what covers it or that nothing does."""
        if self.take is not None:
            return self.take.remark
        return f"covered by {self.instead}" if self.instead else "no circled take"


def paper_edit(shots: Sequence[Shot], takes: Sequence[Take]) -> tuple[EditEvent, ...]:
    """Every shot in the order of the planned cut with its circled takes; a shot with none stands as a hole."""
    circled = [t for t in takes if t.circled]
    by_addition = {a.place: t for t in reversed(circled) for a in t.additions}
    cuts: list[EditEvent] = []
    for shot in sorted(shots, key=lambda s: (s.start_ms, s.number)):
        of_shot = sorted((t for t in circled if t.shot is shot), key=lambda t: (t.number or 0, t.place))
        others = [by_addition.get(a.place) for a in shot.additions]
        instead = others[0].shot.slate if others and others[0] and all(others) else ""
        found: list[Take | None] = [*of_shot] or [None]
        for take in found:
            cuts.append(EditEvent(order=len(cuts) + 1, shot=shot, take=take, instead="" if take else instead))
    return tuple(cuts)


def edit_problems(cuts: Sequence[EditEvent], takes: Sequence[Take]) -> list[Problem]:
    """What the cutter will miss: additions and other irreversible shots without a circled take, shots with several, and
    circled takes without in and out."""
    problems = []
    covered = {a.place for t in takes if t.circled for a in t.additions}
    several: dict[str, list[Take]] = {}
    for cut in cuts:
        shot = cut.shot
        if cut.take is None:
            problems += [_uncovered(shot, a, takes) for a in _lacking(shot, covered)]
            if not shot.additions and shot.step is not None:
                tell = warning if shot.irreversible else note
                hint = "it cannot be repeated: look through what is on hold" if shot.irreversible else "film a pick-up"
                problems.append(
                    tell(shot.step.place, "no-circled-take", f"shot {shot.slate} has no circled take", hint)
                )
        else:
            several.setdefault(shot.slate, []).append(cut.take)
            if not cut.placed:
                problems.append(
                    warning(
                        cut.take.place, "no-in-and-out", f"the circled take of {shot.slate} has no length, so the decision list leaves it out",
                        "write its in and out from the clip",
                    )
                )  # fmt: skip
            problems += [_uncovered(shot, a, takes) for a in _lacking(shot, covered)]
    for slate, found in several.items():
        if len(found) > 1:
            numbers = ", ".join(str(t.number or "?") for t in found)
            problems.append(
                note(
                    found[-1].place,
                    "several-circled",
                    f"{slate} has circled takes {numbers}; all stand in the paper edit",
                )
            )
    return list(dict.fromkeys(problems))


def _lacking(shot: Shot, covered: Collection[Place]) -> list[Addition]:
    """The shot's additions without a circled take, but for those that the cook has accepted as not filmed."""
    accepted = shot.step.unfilmed if shot.step else ()
    return [a for a in shot.additions if a.place not in covered and a.ingredient.key not in accepted]


def _uncovered(shot: Shot, addition: Any, takes: Sequence[Take]) -> Problem:
    held = [t for t in takes if t.verdict == HOLD and any(a.place == addition.place for a in t.additions)]
    step = f"step {shot.step.number} ({shot.step.id})" if shot.step else shot.slate
    if held:
        hint = f"take {held[-1].number or '?'} is on hold: circle it if it will do"
    else:
        hint = "cover it with a line and a cutaway of the ingredient, or cook that step again"
    return warning(
        addition.place, "no-circled-take", f"{addition.ingredient.name}, {step}: no circled take shows it go in", hint
    )


def write_paper_edit(cuts: Sequence[EditEvent], rate: FrameRate) -> str:
    """CSV (RFC 4180) with a header, after a byte order mark; seconds to 0.1, with a point."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for cut in cuts:
        shot, take = cut.shot, cut.take
        cells = [
            str(cut.order), shot.slate, str(take.number) if take and take.number is not None else "",
            shot.dish.name if shot.dish else "", shot.step.id if shot.step else "", shot.what,
            "; ".join(a.ingredient.name for a in (take.additions if take else shot.additions)),
            take.card if take else "", take.clip if take else "",
            label(take.in_frame, rate) if take and take.in_frame is not None else "",
            label(take.out_frame, rate) if take and take.out_frame is not None else "",
            f"{frames_to_ms(take.frames, rate) / 1000:.1f}" if take and cut.placed else "",
            f"{shot.planned_ms / 1000:.1f}", cut.remark,
        ]  # fmt: skip
        writer.writerow([guarded(cell) for cell in cells])
    return "\ufeff" + out.getvalue()


def timeline(cuts: Sequence[EditEvent], title: str, rate: FrameRate, *, per_second: float | None = None) -> Any:
    """The decision list as OpenTimelineIO has it: each circled take whole, from in to out; a hole where there is none, as
    long as the shot was planned. ``per_second`` stands for the exact rate. Raises ImportError where OpenTimelineIO is not
    installed."""
    from opentimelineio.opentime import RationalTime, TimeRange
    from opentimelineio.schema import Clip, Gap, MissingReference, Timeline, Track

    per_second = per_second or float(rate.exact)

    def span(start: int, frames: int) -> Any:
        return TimeRange(RationalTime(start, per_second), RationalTime(frames, per_second))

    track = Track(name="V1", kind="Video")
    for cut in cuts:
        expected = max(1, ms_to_frames(cut.shot.planned_ms, rate))
        facts = {
            "slate": cut.shot.slate,
            "step": cut.shot.step.id if cut.shot.step else "",
            "expected_frames": expected,
        }
        take = cut.take
        if take is None or not cut.placed or take.in_frame is None:
            if not cut.instead:
                track.append(Gap(source_range=span(0, expected), name=cut.shot.slate, metadata={"scriptkit": facts}))
            continue
        facts |= {"take": take.number or 0, "card": take.card, "remark": take.remark, "picture": cut.shot.what}
        track.append(
            Clip(
                name=take.clip or cut.shot.slate,
                source_range=span(take.in_frame, take.frames),
                media_reference=MissingReference(name=take.clip),
                metadata={"scriptkit": facts, "cmx_3600": {"reel": reel(take.card)}},
            )
        )
    made = Timeline(name=title)
    made.tracks.append(track)
    return made


def reel(card: str) -> str:
    """The card as CMX 3600 can name it: eight letters and digits at most; AX stands for none.

    >>> reel("A-001 (first)"), reel("")
    ('A001FIRS', 'AX')
    """
    return "".join(c for c in card.upper() if c.isascii() and c.isalnum())[:8] or "AX"


def decision_lists(cuts: Sequence[EditEvent], title: str, rate: FrameRate) -> dict[str, str]:
    """Texts by the ending of their file: ``otio``, and ``edl`` (CMX 3600) where its writer is installed too.

    Raises ImportError where OpenTimelineIO is not installed.
    """
    import opentimelineio as otio

    texts = {"otio": otio.adapters.write_to_string(timeline(cuts, title, rate), "otio_json")}
    if "cmx_3600" in otio.adapters.available_adapter_names() and any(cut.placed for cut in cuts):
        # CMX 3600 names no rate, only labels, and its writer takes 29.97 for drop-frame: at whole frames it counts non-drop.
        per_second = float(rate.exact) if rate.dropped else float(rate.nominal)
        counted = timeline(cuts, title, rate, per_second=per_second)
        head, line, events = otio.adapters.write_to_string(counted, "cmx_3600", rate=per_second).partition("\n")
        texts["edl"] = f"{head}\nFCM: {'' if rate.dropped else 'NON-'}DROP FRAME{line}{events}"
    return texts
