"""Cues on frames: snapped to the rate, never overlapping, and moved to the time code that the cut starts at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.timed_text.cue import Cue


def on_frames(cues: Sequence[Cue], rate: FrameRate, start_frame: int = 0) -> list[Cue]:
    """Each cue from the nearest frame to the nearest frame, one frame at least, and not into the one before.
    ``start_frame``: the frame of the cut's first picture, as where it starts at 01:00:00:00."""
    snapped: list[Cue] = []
    free_from = 0
    for cue in cues:
        first = max(ms_to_frames(cue.start_ms, rate), free_from)
        last = max(ms_to_frames(cue.end_ms, rate), first + 1)
        snapped.append(
            replace(
                cue, start_ms=frames_to_ms(first + start_frame, rate), end_ms=frames_to_ms(last + start_frame, rate)
            )
        )
        free_from = last
    return snapped
