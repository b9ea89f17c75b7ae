"""Markers of timelines against OpenTimelineIO itself (Apache 2.0): random timelines that it writes, and where its
own transforms put each marker."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import absent
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.cut.timeline import timeline_markers

try:
    import opentimelineio as otio
    from opentimelineio.opentime import RationalTime, TimeRange
    from opentimelineio.schema import Clip, ExternalReference, Gap, Marker, Stack, Timeline, Track, Transition
except ImportError:
    otio = None

TICKS = st.integers(0, 500)
RATES = st.sampled_from((24, 25, 30000 / 1001, 50))


@pytest.fixture(autouse=True)
def _library() -> None:
    if otio is None:
        absent("OpenTimelineIO")


def span(draw: st.DrawFn, least: int = 0) -> Any:
    rate = draw(RATES)
    return TimeRange(RationalTime(draw(TICKS), rate), RationalTime(draw(st.integers(least, 500)), rate))


def marked(draw: st.DrawFn, item: Any, names: list[str]) -> Any:
    """The item with markers, each with a name of its own."""
    for _ in range(draw(st.integers(0, 2))):
        names.append(f"marker {len(names)}")
        item.markers.append(Marker(name=names[-1], marked_range=span(draw)))
    return item


def clip(draw: st.DrawFn, names: list[str]) -> Any:
    """Shown in part, or whole, as long as its medium."""
    kind = draw(st.sampled_from(("cut", "whole", "both", "gap")))
    if kind == "gap":
        return marked(draw, Gap(source_range=span(draw)), names)
    made = Clip(name="clip", source_range=None if kind == "whole" else span(draw, 30))
    if kind != "cut":
        made.media_reference = ExternalReference(target_url="a.mov", available_range=span(draw, 30))
    return marked(draw, made, names)


def track(draw: st.DrawFn, names: list[str], deep: int) -> Any:
    made = Track(kind="Video")
    for n in range(draw(st.integers(0, 4))):
        if n and draw(st.integers(0, 3)) == 0:
            made.append(Transition(in_offset=RationalTime(10, 25), out_offset=RationalTime(5, 25)))
        inner = deep and draw(st.integers(0, 3)) == 0
        made.append(stack(draw, names, deep - 1) if inner else clip(draw, names))
    if deep < 2 and draw(st.booleans()):
        made.source_range = span(draw)
    return marked(draw, made, names)


def stack(draw: st.DrawFn, names: list[str], deep: int) -> Any:
    made = Stack()
    for _ in range(draw(st.integers(1, 2))):
        made.append(track(draw, names, deep))
    if deep < 2 and draw(st.booleans()):
        made.source_range = span(draw)
    return marked(draw, made, names)


@st.composite
def timelines(draw: st.DrawFn) -> Any:
    made = Timeline(name="cut")
    made.tracks = stack(draw, [], 2)
    return made


def by_the_library(item: Any, top: Any) -> dict[str, float]:
    found = {}
    for marker in item.markers:
        start = marker.marked_range.start_time
        found[marker.name] = (start if item is top else item.transformed_time(start, top)).to_seconds()
    for child in item if isinstance(item, Stack | Track) else ():
        if not isinstance(child, Transition):
            found |= by_the_library(child, top)
    return found


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(timelines())
def test_markers_stand_where_the_library_puts_them(timeline: Any) -> None:
    expected = by_the_library(timeline.tracks, timeline.tracks)
    found = {
        names[0]: seconds for names, seconds in timeline_markers(otio.adapters.write_to_string(timeline, "otio_json"))
    }
    assert found == pytest.approx(expected, abs=1e-6)
