"""What a cue may fill: characters, lines, seconds and gaps, of the house or of a profile at a frame rate."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.captions.composing.text_fitting import MOST_LINES, WIDEST, broken_as_written, fit, readable_ms
from scriptkit.captions.gaps import is_sliver, least_gap_before
from scriptkit.captions.limits import can_stand, least_ms
from scriptkit.captions.profile import Profile
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.timed_text.cue import Cue

GAP_MS = 120
"""Between two cues, so that a change of text is seen: 3 frames at 25 frames/s (2 frames at least: Netflix Timed Text
Style Guide)."""

SHORTEST_MS = 1_500
"""No cue of the overlay stands shorter, whatever the profile allows (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CueLimits:
    """The house's own room, where nothing is said; :func:`cue_limits_for` makes one of a profile.

    ``gap_ms`` is what a cue keeps from the one before; a gap that comes out narrower than ``least_gap_ms`` is closed.
    ``slack_ms``: how much longer and shorter a cue must and may be, so that its frames keep the profile too."""

    width: int = WIDEST
    lines: int = MOST_LINES
    ems: float | None = None
    gap_ms: int = GAP_MS
    least_gap_ms: int = 0
    longest_ms: int | None = None
    slack_ms: int = 0
    profile: Profile | None = None
    rate: FrameRate | None = None

    def fit(self, text: str) -> tuple[str, ...] | None:
        """The text in lines that fit, and that can be read in time; else None."""
        return self._in_time(fit(text, width=self.width, lines=self.lines, ems=self.ems))

    def as_written(self, text: str) -> tuple[str, ...] | None:
        """The lines it is written in, where they fit and can be read in time; else None."""
        return self._in_time(broken_as_written(text, width=self.width, lines=self.lines, ems=self.ems))

    def _in_time(self, lines: tuple[str, ...] | None) -> tuple[str, ...] | None:
        if lines is None or (self.profile is not None and not can_stand(lines, self.profile)):
            return None
        return lines if self.longest_ms is None or self.least_ms(" ".join(lines)) <= self.longest_ms else None

    def least_ms(self, text: str) -> int:
        """The least time that the profile gives the text."""
        return 0 if self.profile is None else least_ms(text, self.profile) + self.slack_ms

    def closed(self, cue: Cue, after: Cue) -> Cue:
        """The cue, standing longer where the gap before the next one is narrower than ``least_gap_ms``, or a sliver of its
        profile's: until the next one, or until the least gap before it."""
        gap = after.start_ms - cue.end_ms
        if self.profile is not None and self.rate is not None and self.profile.limits.get("sliver_ms"):
            begins = frames_to_ms(ms_to_frames(after.start_ms, self.rate), self.rate)  # where it will, on frames
            end = least_gap_before(begins, self.profile, self.rate)
            sliver = self.least_gap_ms <= gap and is_sliver(cue.end_ms, after.start_ms, self.profile, self.rate)
            stands = frames_to_ms(ms_to_frames(end, self.rate) - ms_to_frames(cue.start_ms, self.rate), self.rate)
            if sliver and stands > (self.profile.longest_ms or math.inf):
                return cue
            if sliver or 0 < gap < self.least_gap_ms:
                return replace(cue, end_ms=max(end, cue.start_ms + 1))
        return replace(cue, end_ms=after.start_ms) if 0 < gap < self.least_gap_ms else cue

    def stands_ms(self, text: str) -> int:
        """How long the text stands: to be read twice, never less than the profile wants nor more than it allows."""
        stands = max(readable_ms(text), self.least_ms(text))
        return stands if self.longest_ms is None else min(stands, self.longest_ms)

    def stands_once_ms(self, text: str) -> int:
        """How long the text stands where time is scarce: as long as the profile asks for; where there is none, to be read twice."""
        if self.profile is None:
            return self.stands_ms(text)
        return min(max(self.least_ms(text), SHORTEST_MS), self.stands_ms(text))


def cue_limits_for(profile: Profile, rate: FrameRate) -> CueLimits:
    """The room that a profile leaves at a frame rate: what is composed in it and put on frames keeps the profile."""
    frame = Fraction(1000) / rate.exact
    slack = math.ceil(frame)
    least_gap = max(profile.whole("gap_ms") or 0, math.ceil((profile.whole("gap_frames") or 0) * frame))
    gap = (
        max(GAP_MS, least_gap + slack) if profile.longest_ms else GAP_MS
    )  # one that may not stand longer closes no gap
    return CueLimits(
        width=profile.line_length,
        lines=profile.lines,
        ems=profile.line_ems,
        gap_ms=gap,
        least_gap_ms=least_gap + slack if least_gap else 0,
        longest_ms=None if profile.longest_ms is None else profile.longest_ms - slack,
        slack_ms=slack,
        profile=profile,
        rate=rate,
    )
