"""An edit decision list in the form of CMX 3600: which piece of which clip stands where in the cut.

Source: the form as OpenTimelineIO's cmx_3600 adapter documents it (event lines of number, reel, track, transition and four time codes;
``* FROM CLIP NAME:`` after the line that it names), against which the tests hold this reader.
"""

from __future__ import annotations

import re

from scriptkit.cut.timeline import Event
from scriptkit.measure.timecode import FrameRate, NotATimecode, frames_of, frames_to_ms

_CODE = r"\d{1,2}:\d\d:\d\d[:;.]\d\d"
_EVENT = re.compile(rf"^\s*\d+\s+(\S+)\s+(\S+)\s+\S+(?:\s+\d+)?\s+({_CODE})\s+({_CODE})\s+({_CODE})\s+({_CODE})\s*$")
_NAME = re.compile(r"^\*\s*(FROM|TO)?\s*CLIP NAME:\s*(.+?)\s*$", re.IGNORECASE)
_HOUR_S = 3600.0


def looks_like_decision_list(text: str) -> bool:
    """Whether a line of it is an event."""
    return any(_EVENT.match(line) for line in text.splitlines()[:2000])


def decision_list_events(text: str, rate: FrameRate) -> list[Event]:
    """The events that show a picture, in seconds at the rate of the film; the cut begins at the full hour of its first one. Events
    whose time code is none at this rate, or that last no frame, are left out."""
    found: list[tuple[list[str], int, int, int]] = []
    names: list[str] = []
    for line in text.splitlines():
        if event := _EVENT.match(line):
            reel, track, *codes = event.groups()
            names = [reel]
            if not re.search(r"V|^B$|^NONE$", track, re.IGNORECASE):
                continue
            try:
                source, source_end, cut, _ = (frames_of(_plain(code, rate), rate) for code in codes)
            except NotATimecode:
                continue
            if source_end > source and reel.upper() != "BL":
                found.append((names, source, source_end, cut))
        elif name := _NAME.match(line):
            names.insert(0, name[2])
    first = min((frames_to_ms(cut, rate) / 1000 for *_, cut in found), default=0.0)
    starts_s = first // _HOUR_S * _HOUR_S
    return [
        Event(
            names=tuple(of),
            source_s=frames_to_ms(source, rate) / 1000,
            length_s=frames_to_ms(end - source, rate) / 1000,
            cut_s=frames_to_ms(cut, rate) / 1000 - starts_s,
        )
        for of, source, end, cut in found
    ]


def _plain(code: str, rate: FrameRate) -> str:
    """With the sign before the frames that the rate asks for: lists write either, and name the rate elsewhere."""
    return code[:-3] + (";" if rate.dropped else ":") + code[-2:]
