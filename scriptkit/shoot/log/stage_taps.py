"""A tap of the stage page as a device sends it: what it says is checked, for whoever has the key may send anything."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from scriptkit.measure.timecode import FrameRate
from scriptkit.shoot.log.log_cells import VERDICTS
from scriptkit.shoot.log.take_log import day_frames

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
    if kind == "roll" and not _names(more.get("over", [])):
        raise NotAnEvent("a roll lists the takes that were false starts")
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


def _moment(ms: int) -> str:
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(milliseconds=ms)  # noqa: DTZ001
    return moment.isoformat(sep=" ", timespec="seconds")
