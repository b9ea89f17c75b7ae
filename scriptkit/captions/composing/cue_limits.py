"""What a cue may fill: characters, lines, seconds and gaps, of the house or of a profile at a frame rate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.captions.composing.text_fitting import MOST_LINES, WIDEST, broken_as_written, fit, readable_ms
from scriptkit.captions.limits import can_stand, least_ms
from scriptkit.captions.profile import Profile
from scriptkit.measure.timecode import FrameRate

GAP_MS = 120
"""Between two cues, so that a change of text is seen: 3 frames at 25 frames/s (2 frames at least: Netflix Timed Text
Style Guide)."""


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

    def stands_ms(self, text: str) -> int:
        """How long the text stands: to be read twice, never less than the profile wants nor more than it allows."""
        stands = max(readable_ms(text), self.least_ms(text))
        return stands if self.longest_ms is None else min(stands, self.longest_ms)


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
    )
