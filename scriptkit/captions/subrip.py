"""Cues as a SubRip file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from scriptkit.captions.cue import Cue


def write_srt(cues: Sequence[Cue]) -> str:
    """SubRip text, numbered from 1. Cues must be in order, not overlap and not be empty: ValueError otherwise, for a
    player would drop or flash them."""
    import srt

    _check(cues)
    subtitles = [
        srt.Subtitle(n, timedelta(milliseconds=c.start_ms), timedelta(milliseconds=c.end_ms), c.text)
        for n, c in enumerate(cues, 1)
    ]
    return str(srt.compose(subtitles, reindex=False))


def _check(cues: Sequence[Cue]) -> None:
    end = 0
    for cue in cues:
        blank = not cue.lines or any(not line.strip() or len(line.splitlines()) > 1 for line in cue.lines)
        if cue.start_ms < end or cue.end_ms <= cue.start_ms or blank:  # a blank line ends a cue
            raise ValueError(f"cue out of order, overlapping, empty or with a blank line: {cue}")
        end = cue.end_ms
