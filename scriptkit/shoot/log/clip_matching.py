"""Which of the camera's files shows which take: by the clip that the log names, else by the time of day; and how far clocks are apart."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from scriptkit.measure.timecode import FrameRate
from scriptkit.problems import Place
from scriptkit.shoot.log.camera_clips import DAY_MS, CameraClip, cameras_of, clip_counters, named_by, on_card
from scriptkit.shoot.log.day_spans import (
    SAME_CLOCK_MS,
    DaySpan,
    apart_ms_of,
    common_ms,
    date_of_take,
    is_near,
    may_be_same_day,
    span_of_take,
)
from scriptkit.shoot.log.take_log import Take

BY_NAME, BY_TIME = "name", "time of day"
Clock = Literal["time code", "the moment in the file"]
TIMECODE: Clock = "time code"
CREATED: Clock = "the moment in the file"
MayBe = Callable[[Take, CameraClip], bool]

ZONE_MS = 1_800_000
"""Cameras write the moment in the file in universal time or in their own: whole half hours apart is no fault of a clock."""
NEAR_MS = 20_000
"""Shifts that are no further apart than this are one (common practice, no source)."""
SHORTEST_SHARE = 0.5
"""Of the shorter of take and clip, that both must have in common."""
ENOUGH = 3
"""Takes that agree on a clock, so that a name alone does not stand against it."""
MOST_TRIED, MOST_COMPARED = 12, 400
"""Shifts that are looked at closely; takes and clips that shifts are looked for in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeClip:
    """A take and a file that shows it; ``how`` is BY_NAME or BY_TIME. ``or_else``: other files that are called the same, of which
    nothing tells which it is. ``fits``: whether its time is the take's, as far as both have one."""

    take: Take
    clip: CameraClip
    how: str
    fits: bool = True
    or_else: tuple[CameraClip, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraClock:
    """How a camera's clock stands to the log's: ``apart_ms`` is to be added to the camera's times, ``agreeing`` takes say so.
    ``zone_ms`` of it is a time zone. ``applied``: whether it was counted with; if not, a person has to say so, and ``waiting`` are the
    takes and files that lie on each other once it is."""

    camera: str
    clock: Clock
    apart_ms: int
    agreeing: int
    zone_ms: int = 0
    applied: bool = True
    waiting: tuple[tuple[Place, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipMatch:
    """``found`` in the order of the log, a take once for each camera that shows it. ``misnamed``: cameras whose clips are not called
    as the log calls them, though some have such a number. ``waiting``: takes that have a clip if a clock is as far apart as is told, of
    which nothing is known until then."""

    found: tuple[TakeClip, ...]
    waiting: tuple[Take, ...]
    without_clip: tuple[Take, ...]
    without_take: tuple[CameraClip, ...]
    clocks: tuple[CameraClock, ...]
    misnamed: tuple[str, ...] = ()
    cameras: tuple[str, ...] = ()
    clips: int = 0

    def files_of(self, take: Take) -> tuple[str, ...] | None:
        """The files that show the take; None where that hangs on a clock."""
        if any(one.place == take.place for one in self.waiting):
            return None
        return tuple(one.clip.file for one in self.found if one.take.place == take.place)


def match_clips(
    takes: Sequence[Take], clips: Sequence[CameraClip], rate: FrameRate, shifts: Mapping[str, int] | None = None
) -> ClipMatch:
    """Each take with its clip. ``shifts``: milliseconds to add to a camera's times, by its name; under the empty name, to those of all
    cameras. A clock that is a minute or more from the log's is told and not counted with, unless ``shifts`` has it."""
    shifts = shifts or {}
    spans = {take.place: span for take in takes if (span := span_of_take(take, rate)) is not None}
    found: list[TakeClip] = []
    clocks: list[CameraClock] = []
    misnamed: list[str] = []
    cameras = cameras_of(clips)
    may_be: MayBe = _any_day
    if any(may_be_same_day(take, clip) for take in takes if date_of_take(take) for clip in clips if clip.date):
        may_be = may_be_same_day
    for name, own in cameras.items():
        known = shifts.get(name, shifts.get("", 0))
        one = _match_camera(name if len(cameras) > 1 else "", takes, own, spans, known, may_be)
        found += one.found
        clocks += one.clocks
        misnamed += one.misnamed
    found = _by_card(found)
    with_clip = {one.take.place for one in found}
    used = {clip.file for one in found for clip in (one.clip, *one.or_else)}
    waiting = {place for clock in clocks for place, _ in clock.waiting} - with_clip
    used |= {file for clock in clocks for _, file in clock.waiting}
    order = {take.place: n for n, take in enumerate(takes)}
    return ClipMatch(
        found=tuple(sorted(found, key=lambda one: (order[one.take.place], one.clip.file))),
        waiting=tuple(take for take in takes if take.place in waiting),
        without_clip=tuple(take for take in takes if take.place not in with_clip | waiting),
        without_take=tuple(clip for own in cameras.values() for clip in own if clip.file not in used),
        clocks=tuple(clocks),
        misnamed=tuple(misnamed) if len(misnamed) == len(cameras) else (),
        cameras=tuple(cameras),
        clips=len(clips),
    )


def _by_card(found: Sequence[TakeClip]) -> list[TakeClip]:
    """Where the log's name fits clips of several folders: those on its card; else those whose time fits; else all, not sure."""
    by_take: dict[Place, list[TakeClip]] = {}
    for one in found:
        by_take.setdefault(one.take.place, []).append(one)
    kept: list[TakeClip] = []
    for of_take in by_take.values():
        named = [one for one in of_take if one.how == BY_NAME]
        timed = [one for one in of_take if one.how == BY_TIME]
        if len(named) < 2:
            kept += of_take
            continue
        named = [one for one in named if on_card(one.take.card, one.clip)] or named
        named = [one for one in named if one.fits] or named
        kept += [replace(named[0], or_else=tuple(one.clip for one in named[1:])), *timed]
    return kept


# --- one camera -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _CameraMatch:
    found: list[TakeClip]
    clocks: list[CameraClock]
    misnamed: list[str]


def _match_camera(
    name: str,
    takes: Sequence[Take],
    clips: Sequence[CameraClip],
    spans: Mapping[Place, DaySpan],
    known_ms: int,
    may_be: MayBe,
) -> _CameraMatch:
    counters = clip_counters(clips)
    named = {
        take.place: own
        for take in takes
        if (own := [c for c in clips if named_by(take.clip, c, counters.get(c.file)) and may_be(take, c)])
    }
    best: tuple[float, int, list[TakeClip], CameraClock | None, bool] | None = None
    for clock in (TIMECODE, CREATED):
        tried = _on_clock(name, clock, takes, clips, spans, named, known_ms, may_be)
        if tried is not None and (best is None or tried[:2] > best[:2]):
            best = tried
    if best is None:  # no clock: names are all there is
        found = [
            TakeClip(take=t, clip=named[t.place][0], how=BY_NAME, or_else=tuple(named[t.place][1:]))
            for t in takes
            if t.place in named
        ]
        return _CameraMatch(found, [], [])
    _, _, found, told, names_lie = best
    return _CameraMatch(found, [told] if told else [], [name] if names_lie else [])


def _on_clock(
    name: str,
    clock: Clock,
    takes: Sequence[Take],
    clips: Sequence[CameraClip],
    spans: Mapping[Place, DaySpan],
    named: Mapping[Place, list[CameraClip]],
    known_ms: int,
    may_be: MayBe,
) -> tuple[float, int, list[TakeClip], CameraClock | None, bool] | None:
    """What is found by this clock of the camera, with how good it is: takes that have a clip, seconds in common. None without it."""
    begins = {c.file: c.timecode_ms if clock == TIMECODE else c.created_ms for c in clips}
    at = {
        c.file: DaySpan((ms + known_ms) % DAY_MS, c.length_ms or 1_000)
        for c in clips
        if (ms := begins[c.file]) is not None
    }
    if not at or not spans:
        return None
    timed = [take for take in takes if take.place in spans]
    dated = [clip for clip in clips if clip.file in at]
    shift = _shift(timed, dated, spans, at, named, may_be)
    zone = round(shift / ZONE_MS) * ZONE_MS if clock == CREATED else 0
    if abs(shift - zone) >= SAME_CLOCK_MS:
        zone = 0
    applied = abs(shift - zone) < SAME_CLOCK_MS
    at_shift = {file: DaySpan((span.at_ms + shift) % DAY_MS, span.length_ms) for file, span in at.items()}
    agreeing = {take.place: _best(spans[take.place], [c for c in dated if may_be(take, c)], at_shift) for take in timed}
    agree = sum(clip is not None for clip in agreeing.values())
    names_lie = _names_lie(timed, named, spans, at_shift, agreeing)
    found = [
        one
        for take in takes
        if (
            one := _of_take(
                take,
                [] if names_lie else named.get(take.place, []),
                agreeing.get(take.place),
                spans.get(take.place),
                at_shift,
                by_time=applied,
                clock_is_sure=agree >= ENOUGH,
            )
        )
    ]
    common = sum(common_ms(spans[place], at_shift[c.file]) for place, c in agreeing.items() if c is not None)
    told = None
    if agree > (not named) and (not applied or zone):
        told = CameraClock(
            camera=name,
            clock=clock,
            apart_ms=known_ms + shift,
            agreeing=agree,
            zone_ms=zone,
            applied=applied,
            waiting=() if applied else tuple((place, c.file) for place, c in agreeing.items() if c is not None),
        )
    return agree + len(found), common, found, told, names_lie


def _of_take(
    take: Take,
    named: Sequence[CameraClip],
    timely: CameraClip | None,
    span: DaySpan | None,
    at: Mapping[str, DaySpan],
    *,
    by_time: bool,
    clock_is_sure: bool,
) -> TakeClip | None:
    """The clip of the take: the one of its name, unless it is of quite another time and another one is not, or enough takes
    agree that the clock is right."""
    fitting = [c for c in named if span is None or c.file not in at or is_near(span, at[c.file])]
    if fitting:
        return TakeClip(take=take, clip=fitting[0], how=BY_NAME, or_else=tuple(fitting[1:]))
    if timely is not None and by_time:
        return TakeClip(take=take, clip=timely, how=BY_TIME)
    if not named or clock_is_sure:
        return None
    return TakeClip(take=take, clip=named[0], how=BY_NAME, or_else=tuple(named[1:]), fits=False)


def _names_lie(
    takes: Sequence[Take],
    named: Mapping[Place, list[CameraClip]],
    spans: Mapping[Place, DaySpan],
    at: Mapping[str, DaySpan],
    agreeing: Mapping[Place, CameraClip | None],
) -> bool:
    """Whether most clips that are called as the log calls them are at quite another time, and their time has another clip: the log
    counts its clips otherwise than the camera."""
    both = [t for t in takes if t.place in named and any(c.file in at for c in named[t.place])]
    wrong = [
        t
        for t in both
        if agreeing.get(t.place) is not None
        and not any(is_near(spans[t.place], at[c.file]) for c in named[t.place] if c.file in at)
    ]
    return 2 * len(wrong) > len(both) > 0


def _any_day(_take: Take, _clip: CameraClip) -> bool:
    """Where no date of a clip is of a day of the log: the camera's date was never set, and tells nothing."""
    return True


def _best(take: DaySpan, clips: Iterable[CameraClip], at: Mapping[str, DaySpan]) -> CameraClip | None:
    """The clip that has most in common with the take, and enough; of two, the one that begins nearer to it."""
    best, most = None, (0, 0)
    for clip in clips:
        span = at[clip.file]
        common = common_ms(take, span)
        if common < SHORTEST_SHARE * min(take.length_ms, span.length_ms) or common <= 0:
            continue
        worth = (common, -abs(apart_ms_of(span.at_ms, take.at_ms)))
        if best is None or worth > most:
            best, most = clip, worth
    return best


def _shift(
    takes: Sequence[Take],
    clips: Sequence[CameraClip],
    spans: Mapping[Place, DaySpan],
    at: Mapping[str, DaySpan],
    named: Mapping[Place, list[CameraClip]],
    may_be: MayBe,
) -> int:
    """What has to be added to the camera's times: where names tell, their median; else what brings most takes to a clip of their
    length; 0 where that is no better than as it stands."""
    by_name = [
        apart_ms_of(spans[t.place].at_ms, at[c.file].at_ms)
        for t in takes
        for c in named.get(t.place, ())
        if c.file in at
    ]
    tried = [0]
    if by_name:
        middle = round(statistics.median(by_name))
        close = [one for one in by_name if abs(apart_ms_of(one, middle)) <= NEAR_MS]
        if 2 * len(close) > len(by_name):
            tried.append(round(statistics.median(close)))
    alone = min(len(takes), len(clips)) < 2  # one of each lie on each other by some shift always
    tried += (
        []
        if alone
        else _frequent(
            [
                apart_ms_of(spans[t.place].at_ms, at[c.file].at_ms)
                for t in takes[:MOST_COMPARED]
                for c in clips[:MOST_COMPARED]
                if may_be(t, c)
            ]
        )
    )
    scores = [(_score(takes, clips, spans, at, shift), shift) for shift in dict.fromkeys(tried)]
    as_it_stands = scores[0][0]
    best, shift = max(scores, key=lambda one: (round(one[0], 6), -abs(one[1])))
    return shift if best > 1.2 * as_it_stands else 0


def _frequent(differences: Sequence[int]) -> list[int]:
    """The differences that most pairs have within NEAR_MS, the most frequent first."""
    if not differences:
        return []
    bins = Counter(round(one / NEAR_MS) for one in differences)
    wide = {n: bins[n - 1] + bins[n] + bins[n + 1] for n in bins}
    best = sorted(wide, key=lambda n: (-wide[n], abs(n)))[:MOST_TRIED]
    by_bin: dict[int, list[int]] = {}
    for one in differences:
        by_bin.setdefault(round(one / NEAR_MS), []).append(one)
    return [round(statistics.median([*by_bin.get(n - 1, ()), *by_bin[n], *by_bin.get(n + 1, ())])) for n in best]


def _score(
    takes: Sequence[Take],
    clips: Sequence[CameraClip],
    spans: Mapping[Place, DaySpan],
    at: Mapping[str, DaySpan],
    shift: int,
) -> float:
    """How well takes and clips lie on each other: of each take the share of it and its clip that both have."""
    moved = {file: DaySpan((span.at_ms + shift) % DAY_MS, span.length_ms) for file, span in at.items()}
    worth = 0.0
    for take in takes[:MOST_COMPARED]:
        span = spans[take.place]
        clip = _best(span, clips[:MOST_COMPARED], moved)
        if clip is not None:
            common = common_ms(span, moved[clip.file])
            worth += 0.2 + common / (span.length_ms + moved[clip.file].length_ms - common)
    return worth
