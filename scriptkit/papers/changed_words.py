"""Every word of the dialogue captions that is another than the recogniser wrote, and below them every mark: as a table and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.captions.dialogue.follow_script import WordChange
from scriptkit.papers.tables import Column, JsonObject, csv_of
from scriptkit.timed_text.webvtt import clock

COLUMNS: tuple[Column[WordChange], ...] = (
    Column(name="time", value=lambda c: clock(c.time_ms)),
    Column(name="heard", value=lambda c: c.was),
    Column(name="captioned", value=lambda c: c.now),
    Column(name="why", value=lambda c: c.why),
    Column(name="line", value=lambda c: str(c.line)),
)


def write_changes(changes: Sequence[WordChange], marks: Sequence[WordChange]) -> str:
    """A line of CSV for each change: its time, what was heard, what is captioned, why, and the line of the transcript; first those of
    words, then those of ``marks`` alone."""
    return csv_of([*changes, *marks], COLUMNS)


def changes_json(changes: Sequence[WordChange]) -> list[JsonObject]:
    """The same; times in milliseconds."""
    return [{"time_ms": c.time_ms, "heard": c.was, "captioned": c.now, "why": c.why, "line": c.line} for c in changes]
