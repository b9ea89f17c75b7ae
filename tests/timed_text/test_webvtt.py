"""WebVTT as the W3C writes it: a checklist over the overlay of the example meal and over arbitrary text."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.webvtt import clock, write_chapters, write_vtt

TIMES = re.compile(
    r"^(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3}) --> (\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})((?: [a-z]+:[^ :]+)*)$"
)


def check_rules(text: str) -> None:
    """W3C WebVTT: signature and a blank line; NOTE between blocks; starts never decrease, ends after starts; identifiers
    unique; each setting once, percentages 0-100; `-->` in no text, identifier, NOTE or setting; `&` and `<` escaped."""
    assert text.startswith("WEBVTT\n\n")
    names: list[str] = []
    last = -1.0
    for block in text.rstrip("\n").split("\n\n")[1:]:
        lines = block.split("\n")
        if lines[0].startswith("NOTE"):
            assert "-->" not in block
            continue
        names.append(lines[0])
        found = TIMES.match(lines[1])
        assert found, lines[1]
        h, m, s, ms, h2, m2, s2, ms2 = (int(g) for g in found.groups()[:8])
        start, end = ((h * 60 + m) * 60 + s) + ms / 1000, ((h2 * 60 + m2) * 60 + s2) + ms2 / 1000
        assert last <= start < end
        last = start
        settings = [part.split(":") for part in found.group(9).split()]
        assert len({name for name, _ in settings}) == len(settings)
        assert {name for name, _ in settings} <= {"line", "position", "size", "align", "vertical", "region"}
        assert all(0 <= float(v[:-1]) <= 100 for _, v in settings if v.endswith("%"))
        assert lines[2:]
        for line in lines[2:]:
            assert "-->" not in line and "<" not in line
            assert not re.search(r"&(?!amp;|lt;|gt;)", line)
    assert len(set(names)) == len(names)


@given(st.lists(st.text(max_size=40), min_size=1, max_size=5), st.text(max_size=30))
def test_rules_hold_for_any_text(texts: list[str], title: str) -> None:
    cues = [
        Cue(start_ms=n * 3_000, end_ms=n * 3_000 + 2_000, lines=(f"x{text}",), track="addition")
        for n, text in enumerate(texts)
    ]
    check_rules(write_vtt(cues, title))


def test_an_empty_or_overlapping_cue_is_refused() -> None:
    one = Cue(start_ms=0, end_ms=2_000, lines=("x",), track="time")
    with pytest.raises(ValueError, match="overlapping"):
        write_vtt([one, Cue(start_ms=1_999, end_ms=3_000, lines=("y",), track="time")], "t")


def test_chapters_follow_one_another() -> None:
    text = write_chapters([(0, "Opening"), (65_000, "Sear & turn")], 3_700_000)
    check_rules(text)
    assert "00:00:00.000 --> 00:01:05.000\nOpening" in text
    assert "00:01:05.000 --> 01:01:40.000\nSear &amp; turn" in text


@pytest.mark.parametrize(
    ("ms", "shown"), [(0, "00:00:00.000"), (3_599_999, "00:59:59.999"), (360_000_000, "100:00:00.000")]
)
def test_clock(ms: int, shown: str) -> None:
    assert clock(ms) == shown


def test_the_reference_reader_agrees(tmp_path: Path) -> None:
    """webvtt-py reads the same times and text."""
    import webvtt

    cues = [Cue(start_ms=1_000, end_ms=4_000, lines=("Butter 28 g", "½ cup & more"), track="addition")]
    path = tmp_path / "o.vtt"
    path.write_text(write_vtt(cues, "Harbour supper"), encoding="utf-8")
    read = webvtt.read(str(path))
    assert [(c.start, c.end, c.raw_text.replace("&amp;", "&")) for c in read] == [
        ("00:00:01.000", "00:00:04.000", "Butter 28 g\n½ cup & more")
    ]
