"""Cues as a SubRip file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from scriptkit.timed_text.cue import Cue, must_be_in_order


def write_srt(cues: Sequence[Cue]) -> str:
    """SubRip text, numbered from 1. Cues must be in order, not overlap and not be empty: ValueError otherwise, for a
    player would drop or flash them."""
    import srt

    must_be_in_order(cues)
    if broken := next((c for c in cues if any(len(line.splitlines()) > 1 for line in c.lines)), None):
        raise ValueError(f"cue with a line end inside a line: {broken}")
    subtitles = [
        srt.Subtitle(n, timedelta(milliseconds=c.start_ms), timedelta(milliseconds=c.end_ms), c.text)
        for n, c in enumerate(cues, 1)
    ]
    return str(srt.compose(subtitles, reindex=False))
