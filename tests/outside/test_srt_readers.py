"""What we write, as three other programs' readers read it: the same times, the same words."""

from __future__ import annotations

import itertools
from pathlib import Path

import pysubs2
import pytest
import srt
import webvtt
from conftest import EXAMPLES
from hypothesis import example, given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.text_fitting import fit
from scriptkit.production import read
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.subrip import write_srt

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

Row = tuple[int, int, str]
"""Start and end in milliseconds, and the text."""


def read_with_srt(path: Path) -> list[Row]:
    found = srt.parse(path.read_text(encoding="utf-8"))
    return [(round(s.start.total_seconds() * 1000), round(s.end.total_seconds() * 1000), s.content) for s in found]


def read_with_pysubs2(path: Path) -> list[Row]:
    return [(e.start, e.end, e.plaintext) for e in pysubs2.load(str(path), encoding="utf-8", format_="srt")]


def read_with_webvtt(path: Path) -> list[Row]:
    def ms(moment: str) -> int:
        hours, minutes, seconds = moment.split(":")
        whole, thousandths = seconds.split(".")
        return ((int(hours) * 60 + int(minutes)) * 60 + int(whole)) * 1000 + int(thousandths)

    return [(ms(c.start), ms(c.end), c.text) for c in webvtt.from_srt(str(path))]


READERS = [read_with_srt, read_with_pysubs2, read_with_webvtt]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_overlay_of_an_example(path: Path, reader: object, tmp_path: Path) -> None:
    text = read(str(path)).captions("srt")
    file = tmp_path / "overlays.srt"
    file.write_text(text, encoding="utf-8", newline="")
    rows = read_with_srt(file)
    assert len(rows) == text.count(" --> ") > 5
    assert callable(reader)
    assert reader(file) == rows
    assert all(a[1] < b[0] for a, b in itertools.pairwise(rows))


TEXTS = st.text(max_size=80) | st.sampled_from(
    ["12", "00:00:01,000 --> 00:00:02,000", "WEBVTT", "&amp; &lt;i&gt;", "NOTE x", "- a", r"a\Nb\hc"]
)
CUES = st.lists(st.tuples(st.integers(0, 400_000), st.integers(1, 20_000), TEXTS), max_size=8)


@settings(max_examples=100, deadline=None)
@given(CUES)
@example([(0, 1, "1"), (0, 1, "2\n3"), (999, 1, "{\\an8}<b>bold</b>")])
@example([(0, 1, "0:0:0.0000:0:0.0"), (0, 1, "00:00:01,000 00:00:02,000")])
@example([(3_599_999, 20_000, "past the hour"), (86_400_000, 5, "past the day")])
def test_any_text_any_time(tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[int, int, str]]) -> None:
    cues, now = [], 0
    for gap, length, text in rows:
        lines = fit(clean(text))
        if lines and lines[0]:
            cues.append(Cue(start_ms=now + gap, end_ms=now + gap + length, lines=lines, track="addition"))
            now = cues[-1].end_ms
    file = tmp_path_factory.mktemp("srt") / "cues.srt"
    file.write_text(write_srt(cues), encoding="utf-8", newline="")
    expected = [(c.start_ms, c.end_ms, c.text) for c in cues]
    assert read_with_srt(file) == expected
    assert read_with_pysubs2(file) == expected
    if cues:  # webvtt-py refuses an empty file
        assert read_with_webvtt(file) == expected
