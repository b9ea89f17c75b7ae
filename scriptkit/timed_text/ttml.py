"""Cues as TTML text (W3C IMSC 1.1, text profile): one region for each place on the picture, times in milliseconds. The box stands
behind the words of each line, and not behind the whole width."""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue, must_be_in_order
from scriptkit.timed_text.places import CENTRAL, LOWER, MIDDLE, RAISED, UPPER, WIDE, foot_percent, place_of, top_percent
from scriptkit.timed_text.webvtt import clock

_ROOM = 30
"""Height of a region in percent of the picture: what is shown in it stands at its foot, at the upper place at its top."""


def _region(place: str, shape: float) -> str:
    top = top_percent(UPPER, 1) if place == UPPER else foot_percent(place, shape) - _ROOM
    align = "before" if place == UPPER else "after"
    where = f'tts:origin="5% {top:g}%" tts:extent="90% {_ROOM}%" tts:displayAlign="{align}"'
    return f'      <region xml:id="{place}" {where}/>'


USUAL_FONT = 5.5
"""Size of the type in percent of the picture's height, of a profile that states none (common practice, no source)."""
_CELL = 100 / 15
"""Height of a cell in percent of the picture: there are 15 rows where nothing is said (TTML1, 6.2.1), and sizes count in them."""

_HEAD = """\
<?xml version="1.0" encoding="UTF-8"?>
<tt xmlns="http://www.w3.org/ns/ttml" xmlns:tts="http://www.w3.org/ns/ttml#styling" xmlns:ttp="http://www.w3.org/ns/ttml#parameter" xmlns:ttm="http://www.w3.org/ns/ttml#metadata" xmlns:ebutts="urn:ebu:tt:style" xmlns:itts="http://www.w3.org/ns/ttml/profile/imsc1#styling" ttp:contentProfiles="http://www.w3.org/ns/ttml/profile/imsc1.1/text" ttp:timeBase="media" xml:lang={language}>
  <head>
    <metadata><ttm:title>{title}</ttm:title></metadata>
    <styling>
      <style xml:id="plain" tts:fontFamily="proportionalSansSerif" tts:fontSize="{size}%" tts:textAlign="center" ebutts:linePadding="0.3c" itts:fillLineGap="true"/>
      <style xml:id="box" tts:color="white" tts:backgroundColor="#000000cc"/>
    </styling>
    <layout>
{regions}
    </layout>
  </head>
  <body style="plain">
    <div>
"""
_TAIL = "    </div>\n  </body>\n</tt>\n"


_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML file may hold, written out or not (XML 1.0, 2.2)."""


def write_ttml(
    cues: Sequence[Cue],
    title: str,
    language: str = "en",
    *,
    overlapping: bool = False,
    font_percent: float = USUAL_FONT,
    shape: float = WIDE,
) -> str:
    """TTML text. Cues must be in order, not be empty, and unless ``overlapping`` not overlap: ValueError otherwise.
    ``font_percent``: the size of the type in percent of the picture's height; ``shape``: its width ÷ height."""
    must_be_in_order(cues, overlapping=overlapping)
    regions = "\n".join(_region(place, shape) for place in (LOWER, UPPER, MIDDLE, RAISED, CENTRAL))
    parts = [
        _HEAD.format(
            language=quoteattr(language),
            title=escape(clean(title)),
            regions=regions,
            size=round(font_percent / _CELL * 100),
        )
    ]
    for number, cue in enumerate(cues, 1):
        region = place_of(cue)
        lines = "<br/>".join(escape(_NO_XML.sub("", line)) for line in cue.lines)
        text = f'<span style="box">{lines}</span>'
        parts.append(
            f'      <p xml:id="cue{number}" begin="{clock(cue.start_ms)}" end="{clock(cue.end_ms)}" region="{region}">{text}</p>\n'
        )
    return "".join([*parts, _TAIL])
