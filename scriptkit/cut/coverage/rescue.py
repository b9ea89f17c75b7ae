"""How to rescue an addition that is not on camera: what can still be recorded, and what says it instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.cut.coverage.off_camera_text import (
    also_line,
    also_text,
    also_written,
    missing_line,
    missing_text,
    missing_written,
)
from scriptkit.cut.coverage.statuses import AdditionStatus, Status
from scriptkit.measure.durations import format_clock
from scriptkit.problems import Place
from scriptkit.recipe.dish import Addition
from scriptkit.recipe.leading_units import lead_alone
from scriptkit.timed_text.cue import Cue

LEFT_OUT, LATER, REPLACED, NOT_NAMED = (
    "said to be left out",
    "said to go in later",
    "said to be replaced",
    "not named, only its kind",
)
NO_SHOT, NOT_CIRCLED, NO_CLIP, NOT_HEARD, NOT_SEEN, ADMITTED = (
    "no shot is planned",
    "no circled take",
    "circled, but its clip is not there",
    "not heard in the cut",
    "not seen in the cut",
    "said not to be filmed",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rescue:
    """``why``: what the gap is known from. ``insert``: the shot that can still be taken; ``line``: the pick-up line;
    ``overlay``: the text over the picture, in the place of ``cue``, None where it has none or nothing tells where it would
    be; ``description``: the line for the description."""

    row: AdditionStatus
    why: tuple[str, ...]
    insert: str
    line: str
    overlay: str
    description: str
    cue: Cue | None = None

    @property
    def accept(self) -> str:
        """What the cook writes: at the step to have the overlay say it; of what is not in the dish, in the file's head."""
        if self.row.not_there and self.row.told_ms is not None:
            return f'corrections: [{{text: "{self.description}", at: "{format_clock(self.row.told_ms)}"}}]'
        return f"unfilmed: [{self.row.addition.ingredient.key}]"


def rescues_of(
    gaps: Sequence[AdditionStatus], *, admitted: Iterable[Addition] = (), cues: Mapping[Place, Cue] | None = None
) -> tuple[Rescue, ...]:
    """One for each gap. ``cues``: where the overlay would say it, by the addition's place in the recipe."""
    places = {addition.place for addition in admitted}
    return tuple(
        Rescue(
            row=row,
            why=_why(row, row.addition.place in places),
            insert=insert_of(row),
            line=missing_line(row.step, row.addition, row.said, row.stand_in)
            if row.not_there
            else also_line(row.step, row.addition),
            overlay=overlay_text(row),
            description=_written(row, seen=_may_be_seen(row) and row.addition.place not in places),
            cue=(cues or {}).get(row.addition.place),
        )
        for row in gaps
    )


def overlay_text(row: AdditionStatus) -> str:
    """What stands over the picture: that it is in there too, or what became of it instead."""
    return (
        missing_text(row.step, row.addition, row.said, row.stand_in)
        if row.not_there
        else also_text(row.step, row.addition)
    )


def _why(row: AdditionStatus, admitted: bool) -> tuple[str, ...]:
    found = [
        (NO_SHOT, not row.shots),
        (NOT_CIRCLED, row.circled is False and not row.clip_missing),
        (NO_CLIP, row.clip_missing),
        (NOT_HEARD, row.status is Status.NOT_HEARD),
        (NOT_SEEN, row.seen is False and not row.not_there),
        (NOT_NAMED, row.status is Status.NOT_NAMED),
        (LEFT_OUT, row.status is Status.LEFT_OUT),
        (LATER, row.status is Status.LATER),
        (REPLACED, row.status is Status.REPLACED),
        (ADMITTED, admitted),
    ]
    return tuple(words for words, so in found if so)


def _may_be_seen(row: AdditionStatus) -> bool:
    """Whether it may be in the picture all the same: it is only not heard, and neither the plan nor the log nor anybody who looked says
    that it is not there."""
    unfilmed = row.seen is False or row.circled is False or not row.shots
    return bool(row.circled) or (row.heard is not None and not unfilmed)


def _written(row: AdditionStatus, *, seen: bool) -> str:
    if row.not_there:
        return missing_written(row.step, row.addition, row.said, row.stand_in)
    return also_written(row.step, row.addition, seen=seen)


def insert_of(row: AdditionStatus) -> str:
    """The shot that can still be taken. Going in cannot be filmed again, for it is in; the ingredient as it was measured
    out can, for there is more of it."""
    addition = row.addition
    if row.not_there:
        other = row.stand_in or "something else"
        became = {"later": "it is said to come later", "instead": f"it is said that {other} went in"}
        return f"Nothing: {became.get(row.said, 'it is said not to be in the dish')}"
    name = addition.ingredient.display_name
    amount = "" if addition.grams is None else f"{lead_alone(addition)} "
    if good := next((take for take in row.takes or () if take.proven), None):
        number = "" if good.number is None else f" take {good.number}"
        where = ", ".join(good.files or ()) or good.where
        return f"Nothing: {good.shot.slate}{number} is circled{f' ({where})' if where else ''}; cut it in if it is not seen"
    lost = next((take for take in row.takes or () if take.circled), None)
    if lost is not None:
        number = "" if lost.number is None else f" take {lost.number}"
        where = f" ({lost.where})" if lost.where else ""
        return (
            f"Find the clip of {lost.shot.slate}{number}{where}; if it is lost, an insert: {amount}{name}, in its bowl"
        )
    if row.still_to_shoot:
        bowl = ". If it is in already: an insert from above, in its bowl" if row.begun else ""
        return f"Overhead, as it goes in: {amount}{name}{bowl}"
    prep = f", {addition.ingredient.prep}" if addition.ingredient.prep else ""
    return f"Insert, CU from above: {amount}{name}{prep}, in its bowl. Not going in: that cannot be shot again"
