"""When a take or a clip ran, as a stretch of the day: what two have in common, also across midnight."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from scriptkit.measure.timecode import FrameRate, frames_to_ms
from scriptkit.shoot.log.camera_clips import DAY_MS, CameraClip
from scriptkit.shoot.log.take_log import Take

SAME_CLOCK_MS = 60_000
"""Clocks that are less apart than this are taken for one: a tap is not the camera's button (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class DaySpan:
    """A stretch of the day: ``at_ms`` from midnight, on the clock of whoever noted it."""

    at_ms: int
    length_ms: int


_WALL = re.compile(r"(?:(\d{4}-\d\d-\d\d)[ T])?(\d{1,2}):(\d\d)(?::(\d\d))?\Z")


def span_of_take(take: Take, rate: FrameRate) -> DaySpan | None:
    """When the take ran, of the day; where only its end or the moment it was judged is known, the second before it."""
    if take.in_frame is not None:
        return DaySpan(frames_to_ms(take.in_frame, rate) % DAY_MS, max(1_000, frames_to_ms(take.frames, rate)))
    if take.out_frame is not None:
        return DaySpan((frames_to_ms(take.out_frame, rate) - 1_000) % DAY_MS, 1_000)
    if found := _WALL.match(take.recorded.strip()):
        hours, minutes, seconds = int(found[2]), int(found[3]), int(found[4] or 0)
        if hours < 24 and minutes < 60:
            return DaySpan((((hours * 60 + minutes) * 60 + seconds) * 1000 - 1_000) % DAY_MS, 1_000)
    return None


def date_of_take(take: Take) -> str:
    """The day on which it was judged, year-month-day; empty where nobody noted it."""
    found = _WALL.match(take.recorded.strip())
    return found[1] or "" if found else ""


def may_be_same_day(take: Take, clip: CameraClip) -> bool:
    """Whether the dates may be of one day: a day's difference is the time zone's or midnight's."""
    day = date_of_take(take)
    if not day or not clip.date:
        return True
    try:
        apart = datetime.date.fromisoformat(day) - datetime.date.fromisoformat(clip.date)
    except ValueError:
        return True
    return abs(apart.days) <= 1


def apart_ms_of(later_ms: int, earlier_ms: int) -> int:
    """The way from one time of day to the other, the shorter way round."""
    return (later_ms - earlier_ms + DAY_MS // 2) % DAY_MS - DAY_MS // 2


def common_ms(one: DaySpan, other: DaySpan) -> int:
    """Milliseconds that both run, also across midnight."""
    ahead = apart_ms_of(other.at_ms, one.at_ms)
    return max(0, min(one.length_ms, ahead + other.length_ms) - max(0, ahead))


def is_near(take: DaySpan, clip: DaySpan) -> bool:
    """Whether the clip runs during the take, or within a minute of it."""
    wide = DaySpan((take.at_ms - SAME_CLOCK_MS) % DAY_MS, take.length_ms + 2 * SAME_CLOCK_MS)
    return common_ms(wide, clip) > 0
