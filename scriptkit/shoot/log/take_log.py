"""The take log: which take of which shot is on which card and clip, from when to when, and what it is worth.

CSV that the stage page saves, and that a cook can type in a spreadsheet. A take belongs to its step and its additions;
scene and setup are the slate of the list it was shot from, which may have been printed again since.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scriptkit.measure.timecode import RATES, FrameRate, label_of
from scriptkit.problems import CannotDo, Place, Problem, warning
from scriptkit.recipe.dish import Addition, Dish, Meal, Step
from scriptkit.shoot.log.log_cells import CIRCLED, FALSE_START, NG, STOPPED_S, folded, guarded
from scriptkit.shoot.shots.shots import Shot

COLUMNS = (
    "title", "dish", "card", "clip", "scene", "setup", "take", "step", "additions", "in", "out", "recorded", "verdict",
    "remark", "weighed",
)  # fmt: skip
"""``title``: the dish or meal that was shot; ``dish``: which of a meal's; ``recorded``: date and time of the wall clock."""

LONGEST_OVER_MIDNIGHT_S = 3600
"""A take whose code ends before it begins ran over midnight, if it then is no longer than this
(common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """One take. ``in_frame`` and ``out_frame`` count frames from midnight; None where nobody noted them."""

    shot: Shot
    number: int | None
    additions: tuple[Addition, ...]
    verdict: str
    card: str = ""
    clip: str = ""
    in_frame: int | None = None
    out_frame: int | None = None
    recorded: str = ""
    remark: str = ""
    files: tuple[str, ...] | None = None
    """The camera's files that show it; None where nobody looked, empty where none does."""
    place: Place

    @property
    def proven(self) -> bool:
        """Whether it is circled, and its clip is there where the camera's files were looked at."""
        return self.circled and self.files != ()

    @property
    def circled(self) -> bool:
        """Whether its verdict is the one to use."""
        return self.verdict == CIRCLED

    def films(self, rate: FrameRate) -> bool:
        """Whether anything was done in it: not in a false start, nor in one that was stopped at once and is no good."""
        noted = self.in_frame is not None and self.out_frame is not None
        stopped = self.verdict == NG and noted and self.frames < STOPPED_S * rate.nominal
        return self.verdict != FALSE_START and not stopped

    @property
    def where(self) -> str:
        """Its card and clip, as ``card 1, clip 32``; empty where neither was noted."""
        return ", ".join(f"{what} {name}" for what, name in (("card", self.card), ("clip", self.clip)) if name)

    @property
    def frames(self) -> int:
        """How long it is; 0 where in or out was not noted."""
        return 0 if self.in_frame is None or self.out_frame is None else self.out_frame - self.in_frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """What the scale said on the day: grams of an addition as it went in; without one, of the whole dish as cooked."""

    dish: Dish
    addition: Addition | None
    grams: float
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeLog:
    """The takes in the log's order, and everything that could not be understood in it. ``weighings``: the last of each thing counts."""

    takes: tuple[Take, ...]
    problems: tuple[Problem, ...]
    lines: tuple[str, ...]
    """Of the file, to show the offending one."""
    weighings: tuple[Weighing, ...] = ()

    def usable(self, file: str) -> tuple[Take, ...]:
        """The takes. Raises CannotDo with every problem where anything in the log could not be understood."""
        if any(p.severity == "error" for p in self.problems):
            raise CannotDo(self.problems, {file: self.lines})
        return self.takes


def title_key(title: str) -> str:
    """A short name for a dish or meal, under which a device keeps its log: the same for every edition of its list."""
    return hashlib.sha256(folded(title).encode("utf-8")).hexdigest()[:16]


def rate_of(source: Dish | Meal) -> FrameRate:
    """The frame rate that the film states."""
    return RATES[source.film.frame_rate]


def write_log(takes: Iterable[Take], title: str, rate: FrameRate) -> str:
    """CSV (RFC 4180) with a header, after a byte order mark: without it spreadsheets garble é and ½."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for take in takes:
        shot = take.shot
        scene, setup = split_slate(shot.slate)
        cells = [
            title, shot.dish.name if shot.dish else "", take.card, take.clip, scene, setup,
            "" if take.number is None else str(take.number), shot.step.id if shot.step else "",
            "; ".join(a.ingredient.name for a in take.additions),
            "" if take.in_frame is None else label(take.in_frame, rate),
            "" if take.out_frame is None else label(take.out_frame, rate),
            take.recorded, take.verdict, take.remark, "",
        ]  # fmt: skip
        writer.writerow([guarded(cell) for cell in cells])
    return "\ufeff" + out.getvalue()


def label(frame: int, rate: FrameRate) -> str:
    """The time code of a frame; after midnight it begins again."""
    return label_of(frame % day_frames(rate), rate)


def day_frames(rate: FrameRate) -> int:
    """Frames until time code begins again."""
    return rate.frames_ten_minutes * 6 * 24


def split_slate(slate: str) -> tuple[str, str]:
    """Scene and setup letter.

    >>> split_slate("12AA")
    ('12', 'AA')
    """
    scene = slate.rstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return scene, slate[len(scene) :]


def overlaps(takes: Sequence[Take], rate: FrameRate) -> list[Problem]:
    """Takes that are on one card and clip at the same time, told at the later line."""
    problems = []
    clips: dict[tuple[str, str], list[Take]] = {}
    for take in takes:
        if take.clip and take.frames:
            clips.setdefault((folded(take.card), folded(take.clip)), []).append(take)
    for group in clips.values():
        group.sort(key=lambda t: (t.in_frame or 0, t.place))
        longest = group[0]
        for take in group[1:]:
            if (take.in_frame or 0) < (longest.out_frame or 0):
                first, second = sorted((longest, take), key=lambda t: t.place)
                problems.append(
                    warning(
                        second.place, "overlapping-takes",
                        f"card {take.card or '(none)'}, clip {take.clip}: {_span(second, rate)} overlaps {_span(first, rate)} of line {first.place.line}",
                        "correct in and out, or the clip",
                    )
                )  # fmt: skip
            if (take.out_frame or 0) > (longest.out_frame or 0):
                longest = take
    return problems


def _span(take: Take, rate: FrameRate) -> str:
    return f"{label(take.in_frame or 0, rate)} to {label(take.out_frame or 0, rate)}"


def without_circled_take(takes: Iterable[Take], dishes: Iterable[Dish]) -> list[tuple[Dish, Step, Addition]]:
    """Additions that no circled take covers, in the order of the recipe."""
    covered = {a.place for take in takes if take.circled for a in take.additions}
    return [(d, s, a) for d in dishes for s in d.in_shoot_order for a in s.additions if a.place not in covered]
