"""The gaps between cues, against a profile: those that flicker, and slivers, which are closed to the least gap that it allows."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing.sheet import Sheet, pairs, seconds_text
from scriptkit.measure.timecode import RATES, FrameRate, frames_to_ms, ms_to_frames
from scriptkit.problems import Problem, note, warning
from scriptkit.timed_text.reading import ReadCue

_UNKNOWN = RATES["60"]
"""Where no frame rate is stated and the times tell none: two frames at any usual rate are enough."""
_TELLS = 10
"""Cues: fewer lie on the frames of several rates by chance."""
_GUESSED = tuple(RATES[name] for name in ("24", "25", "30", "23.976", "29.97", "50", "60", "59.94"))


def rate_of_times(cues: Sequence[ReadCue]) -> FrameRate:
    """The frame rate on whose frames all the times lie, within a millisecond; where there is none, 60 frames/s."""
    if len(cues) < _TELLS:
        return _UNKNOWN
    moments = [ms for cue in cues for ms in (cue.start_ms, cue.end_ms)]
    on = (r for r in _GUESSED if all(abs(frames_to_ms(ms_to_frames(ms, r), r) - ms) <= 1 for ms in moments))
    return next(on, _UNKNOWN)


def least_gap_ms(profile: Profile, rate: FrameRate) -> int:
    """The narrowest gap that the profile allows, where there is one. Two frames at 29.97 (66.7 ms) are 66 or 67 whole
    milliseconds: either is enough."""
    frame_ms = Fraction(1000) / rate.exact
    return max(profile.whole("gap_ms") or 0, math.floor((profile.whole("gap_frames") or 0) * frame_ms))


def least_gap_before(start_ms: int, profile: Profile, rate: FrameRate) -> int:
    """When a cue ends that keeps the least gap from the next one, which begins at ``start_ms``: on a frame, where that does."""
    frames = profile.whole("gap_frames") or 0
    if (gap_ms := profile.whole("gap_ms") or 0) >= frames * 1000 / rate.exact:
        return start_ms - gap_ms
    frame = ms_to_frames(start_ms, rate)
    return start_ms - (frames_to_ms(frame, rate) - frames_to_ms(frame - frames, rate))


def is_sliver(end_ms: int, start_ms: int, profile: Profile, rate: FrameRate) -> bool:
    """Whether the gap from a cue's end to the next one's start is wider than the least, by a frame at least, and should be closed
    to it."""
    if not end_ms < start_ms < end_ms + (profile.whole("sliver_ms") or 0):
        return False
    if start_ms - end_ms <= (profile.whole("gap_ms") or 0):
        return False
    return ms_to_frames(end_ms, rate) < ms_to_frames(least_gap_before(start_ms, profile, rate), rate)


def flickers(before: ReadCue, cue: ReadCue, least: int) -> bool:
    """Whether there is a gap between them, narrower than ``least`` ms. Where a cue stands that is reversed or begins before zero is not
    known."""
    return _in_order(before, cue) and 0 < cue.start_ms - before.end_ms < least


def _in_order(before: ReadCue, cue: ReadCue) -> bool:
    return 0 <= before.start_ms < before.end_ms and cue.start_ms < cue.end_ms


def narrow_gaps(sheet: Sheet, needs_ms: Callable[[ReadCue], int]) -> Iterator[Problem]:
    """A gap shorter than the profile's: it is seen as a flicker; no gap at all is fine. And slivers, as notes. ``needs_ms``: how long
    a cue must stand to be read."""
    of = sheet.profile
    if not (of.whole("gap_ms") or of.whole("gap_frames")):
        return
    rate = sheet.rate or rate_of_times(sheet.cues)
    least = least_gap_ms(of, rate) - sheet.file.grain_ms + 1  # each end is rounded to what the file can say
    sliver = of.whole("sliver_ms") or 0
    for before, cue in pairs(sheet.cues):
        gap = cue.start_ms - before.end_ms
        if gap <= 0 or gap == least or (gap > least and gap >= sliver):
            continue
        if flickers(before, cue, least):
            closed = cue.start_ms - before.start_ms
            if _closed_end(before, cue, of, rate, needs_ms, narrow=True) is not None:
                hint = "close it or widen it: `--fix` closes it"
            else:
                earlier = f"end the cue above it {least - gap} ms earlier"
                hint = f"{earlier}, or split it: closed, it would stand {seconds_text(closed)}"
            yield warning(
                sheet.place(cue),
                "gap",
                f"a gap of {gap} ms flickers; none, or at least {least} ms ({of.name})",
                hint,
            )
        elif (
            _in_order(before, cue)
            and is_sliver(before.end_ms, cue.start_ms, of, rate)
            and _closed_end(before, cue, of, rate, needs_ms, narrow=False) is not None
        ):
            message = (
                f"a gap of {gap} ms: one shorter than {of.whole('sliver_ms')} ms is closed to {least} ms ({of.name})"
            )
            yield note(sheet.place(cue), "sliver", message, "let the cue above it stand longer: `--fix` does")


def closed_gaps(cues: list[ReadCue], sheet: Sheet, needs_ms: Callable[[ReadCue], int]) -> list[ReadCue]:
    """A gap that would flicker, and a sliver: the earlier cue stands until the least gap before the next; until the next itself
    where the profile closes no slivers, and where it could not be read else, which ``needs_ms``."""
    of = sheet.profile
    rate = sheet.rate or rate_of_times(cues)
    least = least_gap_ms(of, rate) - sheet.file.grain_ms + 1
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        narrow = flickers(cue, after, least)
        if not narrow and not (_in_order(cue, after) and is_sliver(cue.end_ms, after.start_ms, of, rate)):
            continue
        if (end := _closed_end(cue, after, of, rate, needs_ms, narrow=narrow)) is not None:
            mended[n] = replace(cue, end_ms=end)
    return mended


def _closed_end(
    cue: ReadCue, after: ReadCue, of: Profile, rate: FrameRate, needs_ms: Callable[[ReadCue], int], *, narrow: bool
) -> int | None:
    """When the cue ends once the gap to the next is closed; None where it would stand longer than the profile allows."""
    end = least_gap_before(after.start_ms, of, rate) if of.whole("sliver_ms") else after.start_ms
    if narrow and end < cue.end_ms and end - cue.start_ms < needs_ms(cue):
        end = after.start_ms
    longest = of.longest_ms or math.inf
    return end if end - cue.start_ms <= longest or end < cue.end_ms else None
