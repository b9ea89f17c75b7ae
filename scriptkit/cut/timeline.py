"""Markers and clips of an OpenTimelineIO file, in the time of the whole cut. Read here, for the library's own reader ends the whole program
on some broken files (a segmentation fault); tests/outside holds the two together.

Source: OpenTimelineIO's file format (JSON; ``Timeline``, ``Stack``, ``Track``, ``Clip``, ``Gap``, ``Transition``, ``Marker``) and its
time transforms: a child of a track begins after those before it, a child of a stack at zero, and what an item shows begins at its
``source_range``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.json_depth import deepest

MOST_NESTED = 400
"""Brackets inside one another: a clip in a track in a stack has 8, and each stack in a stack 2 more."""

MOST = 1e12
"""Frames, or frames a second: more than any film."""

Item = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """A clip in the cut: its names (its own, its medium's, its reel's), where in its own time code it begins, how long it is shown, and
    when in the cut. Seconds."""

    names: tuple[str, ...]
    source_s: float
    length_s: float
    cut_s: float

    @property
    def source_end_s(self) -> float:
        """Where in its own time code it ends, in seconds."""
        return self.source_s + self.length_s


class NotATimeline(ValueError):
    """What the file lacks, in words for a person."""


def timeline_markers(text: str) -> list[tuple[tuple[str, ...], float]]:
    """What each marker is called (its name, and its comment where it has one), and its start in seconds of the cut, wherever in
    the timeline it is set. Raises NotATimeline."""
    return list(_of(_tracks(text), 0.0))


def timeline_events(text: str) -> list[Event]:
    """Every clip of its picture tracks, in the order of the tracks and in time. Raises NotATimeline."""
    return list(_events(_tracks(text), 0.0))


def _tracks(text: str) -> Item:
    if deepest(text) > MOST_NESTED:
        raise NotATimeline(f"more than {MOST_NESTED} brackets inside one another")
    try:
        data = json.loads(text)
    except ValueError as wrong:
        where = f" (line {wrong.lineno}, column {wrong.colno})" if isinstance(wrong, json.JSONDecodeError) else ""
        raise NotATimeline(f"it is not whole: this is not JSON{where}") from None
    for timeline in _items(data, "children") if _kind(data) == "SerializableCollection" else [data]:
        if _kind(timeline) == "Timeline":
            return _item(timeline, "tracks")
    raise NotATimeline("there is no timeline in it")


def _events(item: Item, begins_s: float) -> Iterator[Event]:
    """Clips of the item and of all that stands in it; what it shows begins at ``begins_s`` of the cut."""
    if _kind(item) == "Track" and item.get("kind") == "Audio":
        return
    if _kind(item) == "Clip":
        yield Event(names=_names(item), source_s=_shown_from(item), length_s=_length(item), cut_s=begins_s)
    inside_s, after_s = begins_s - _shown_from(item), 0.0
    for child in _items(item, "children"):
        if _kind(child) == "Transition":
            continue
        yield from _events(child, inside_s + after_s)
        if _kind(item) == "Track":
            after_s += _length(child)


def _names(clip: Item) -> tuple[str, ...]:
    media = _medium(clip)
    url = str(media.get("target_url") or "") if media else ""
    of_list = clip.get("metadata")
    of_list = of_list.get("cmx_3600") if isinstance(of_list, Mapping) else None
    reel = of_list.get("reel") if isinstance(of_list, Mapping) else None
    found = (clip.get("name"), media.get("name") if media else None, url.rpartition("/")[2], reel)
    return tuple(dict.fromkeys(str(name) for name in found if name))


def _of(item: Item, begins_s: float) -> Iterator[tuple[tuple[str, ...], float]]:
    """Markers of the item and of all that stands in it; what it shows begins at ``begins_s`` of the cut."""
    inside_s = begins_s - _shown_from(item)
    for marker in _items(item, "markers"):
        start_s = _seconds(_item(_item(marker, "marked_range"), "start_time"))
        names = (str(marker.get(key) or "").strip() for key in ("name", "comment"))
        yield tuple(name for name in names if name), inside_s + start_s
    after_s = 0.0
    for child in _items(item, "children"):
        if _kind(child) == "Transition":  # it lies over its neighbours
            continue
        yield from _of(child, inside_s + after_s)
        if _kind(item) == "Track":
            after_s += _length(child)


def _shown_from(item: Item) -> float:
    """Seconds of its own time at which what it shows begins."""
    shown = item.get("source_range") or _media_range(item)
    return _seconds(_item(shown, "start_time")) if shown else 0.0


def _length(item: Item) -> float:
    """Seconds that it takes in its track. Raises NotATimeline where nothing says so."""
    if shown := item.get("source_range") or _media_range(item):
        return _seconds(_item(shown, "duration"))
    children = _items(item, "children")
    if _kind(item) == "Stack":
        return max((_length(child) for child in children), default=0.0)
    if _kind(item) == "Track":
        edges = [(child, key) for child, key in ((children[:1], "in_offset"), (children[-1:], "out_offset"))]
        over = sum(_seconds(_item(c[0], key)) for c, key in edges if c and _kind(c[0]) == "Transition")
        return over + sum(_length(child) for child in children if _kind(child) != "Transition")
    raise NotATimeline(f"nothing says how long the clip “{str(item.get('name') or '')[:40]}” is")


def _media_range(item: Item) -> Item | None:
    """Of the clip's medium, where it is known."""
    media = _medium(item)
    found = media.get("available_range") if media is not None else None
    return found if isinstance(found, Mapping) else None


def _medium(item: Item) -> Item | None:
    media = item.get("media_reference")
    if isinstance(several := item.get("media_references"), Mapping):
        media = several.get(str(item.get("active_media_reference_key", "DEFAULT_MEDIA")))
    return media if isinstance(media, Mapping) else None


def _seconds(time: Item) -> float:
    value, rate = (_number(time.get(key)) for key in ("value", "rate"))
    if value is None or rate is None or rate <= 0:
        raise NotATimeline("a time in it has no value or no rate")
    return value / rate


def _number(value: object) -> float | None:
    """Finite, and of no more digits than a float can hold."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < MOST:
        return None
    return float(value)


def _kind(item: object) -> str:
    """``Clip`` of ``Clip.2``; empty where it says nothing."""
    return str(item.get("OTIO_SCHEMA", "")).partition(".")[0] if isinstance(item, Mapping) else ""


def _item(item: object, key: str) -> Item:
    """Raises NotATimeline where there is none."""
    found = item.get(key) if isinstance(item, Mapping) else None
    if not isinstance(found, Mapping):
        raise NotATimeline(f"“{key}” is missing, or is not a group of keys")
    return found


def _items(item: object, key: str) -> Sequence[Item]:
    """Groups of keys in a list; none where there is no list."""
    found = item.get(key) if isinstance(item, Mapping) else None
    return [one for one in found if isinstance(one, Mapping)] if isinstance(found, list) else []
