"""The overlay as ASS: read back by a library, times on frames, fonts inside."""

from __future__ import annotations

import re

import pysubs2
import pytest
from conftest import EXAMPLES

from scriptkit.drawing.ass import ass_clock
from scriptkit.drawing.canvas import canvas_of
from scriptkit.drawing.shown import house_fonts, merged, overlay_as_ass
from scriptkit.measure.timecode import RATES, frames_to_ms
from scriptkit.production import read
from scriptkit.timed_text.cue import Cue


def test_pysubs2_reads_every_overlay_with_its_times_and_words() -> None:
    production = read(str(EXAMPLES / "harbour-supper.yaml"))
    read_back = pysubs2.SSAFile.from_string(production.written("ass", production.cues))
    texts = [e for e in read_back if "\\p1" not in e.text]
    for cue in merged(production.cues):
        there = [e for e in texts if abs(e.start - cue.start_ms) < 10 and abs(e.end - cue.end_ms) < 10]
        words = " ".join(re.sub(r"\{[^}]*\}", "", e.text) for e in there)
        figures = cue.title.figures if cue.title else ()
        for figure in figures:
            assert all(word in words for word in f"{figure.amount} {figure.name}".split())
        if not figures:
            assert all(word in words for word in " ".join(cue.lines).split())
    assert read_back.info["PlayResX"] == "1920"
    assert all("\\fad(200,200)" in e.text for e in read_back)


def test_the_fonts_inside_are_the_house_s() -> None:
    """The format's own coding: three bytes in four letters from 33 on, six bits each (libass reads it so)."""
    text = overlay_as_ass([], "t", canvas_of(1920, 1080))
    block = text.partition("[Fonts]\n")[2].partition("\n\n[Events]")[0]
    for part, font in zip(block.split("fontname: ")[1:], (house_fonts().regular, house_fonts().bold), strict=True):
        letters = "".join(part.splitlines()[1:])
        bits = "".join(f"{ord(c) - 33:06b}" for c in letters)
        raw = bytes(int(bits[n : n + 8], 2) for n in range(0, len(bits) - 7, 8))
        assert raw == font.sfnt


@pytest.mark.parametrize("rate", RATES)
def test_a_frame_is_shown_from_its_own_time(rate: str) -> None:
    """Hundredths of a second are cut off, so that no first frame is lost and no frame more is shown."""
    for frame in range(0, 2_000, 7):
        exact = float(frame * 1000 / RATES[rate].exact)
        h, m, s = ass_clock(frames_to_ms(frame, RATES[rate])).split(":")
        shown = (int(h) * 3600 + int(m) * 60 + float(s)) * 1000
        assert exact - 10.6 < shown <= exact + 0.6


def test_no_text_is_taken_for_a_code() -> None:
    cue = Cue(start_ms=0, end_ms=2_000, lines=("{\\b1}salt\\N & <pepper>",), track="time")
    events = overlay_as_ass([cue], "a\nb", canvas_of(1920, 1080)).partition("[Events]")[2]
    (text,) = [line for line in events.splitlines() if "salt" in line.rpartition("}")[2]]
    assert "\\" not in text.rpartition("}")[2]
