"""Where each overlay stands, as lists for an editor: CSV, and OpenTimelineIO with a clip an overlay and a marker a step."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.csv_text import not_a_formula
from scriptkit.measure.timecode import FrameRate, label_of, ms_to_frames

COLUMNS = ("number", "start", "end", "start_s", "end_s", "kind", "text", "file")


@dataclass(frozen=True, slots=True)
class Placed:
    """An overlay on the timeline: milliseconds, its track's name, its text and the file that shows it; empty where there is none."""

    number: int
    start_ms: int
    end_ms: int
    kind: str
    text: str
    file: str


@dataclass(frozen=True, slots=True)
class StepMarker:
    """Where a step begins."""

    start_ms: int
    name: str
    comment: str


def write_title_csv(placed: Sequence[Placed], rate: FrameRate, first_frame: int = 0) -> str:
    """CSV (RFC 4180) with a header, after a byte order mark: time code at the rate, and seconds from the first picture."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for one in placed:
        start, end = (label_of(ms_to_frames(ms, rate) + first_frame, rate) for ms in (one.start_ms, one.end_ms))
        seconds = (f"{ms / 1000:.3f}" for ms in (one.start_ms, one.end_ms))
        writer.writerow([one.number, start, end, *seconds, one.kind, not_a_formula(one.text), one.file])
    return "\ufeff" + out.getvalue()


def write_title_otio(
    placed: Sequence[Placed], steps: Sequence[StepMarker], title: str, rate: FrameRate, first_frame: int = 0
) -> str:
    """A timeline with one track of the overlays' clips and the gaps between them, and a marker where each step begins. Raises
    ImportError where OpenTimelineIO is not installed."""
    import opentimelineio as otio
    from opentimelineio.opentime import RationalTime, TimeRange
    from opentimelineio.schema import Clip, ExternalReference, Gap, Marker, MissingReference, Timeline, Track

    per_second = float(rate.exact)

    def span(start: int, frames: int) -> Any:
        return TimeRange(RationalTime(start, per_second), RationalTime(frames, per_second))

    track = Track(name="overlays", kind="Video")
    now = 0
    for one in placed:
        start, end = ms_to_frames(one.start_ms, rate), ms_to_frames(one.end_ms, rate)
        if start > now:
            track.append(Gap(source_range=span(0, start - now)))
        frames = span(0, end - start)
        media = ExternalReference(target_url=one.file, available_range=frames) if one.file else MissingReference()
        facts = {"kind": one.kind, "text": one.text, "number": one.number}
        track.append(Clip(name=one.text, media_reference=media, source_range=frames, metadata={"scriptkit": facts}))
        now = end
    for step in steps:
        frame = ms_to_frames(step.start_ms, rate)
        track.markers.append(Marker(name=step.name, marked_range=span(frame, 1), color="GREEN", comment=step.comment))
    made = Timeline(name=title, global_start_time=RationalTime(first_frame, per_second))
    made.tracks.append(track)
    return str(otio.adapters.write_to_string(made, "otio_json"))
