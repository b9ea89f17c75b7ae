"""Cues as SubRip."""

from __future__ import annotations

import pytest
import srt
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.subrip import write_srt


def cue(start_ms: int, end_ms: int, *lines: str) -> Cue:
    return Cue(start_ms=start_ms, end_ms=end_ms, lines=lines or ("Oil 27 g",), track="addition")


def test_as_the_format_says() -> None:
    # Times as on the Matroska codec page's SubRip example: 00:02:17,440 --> 00:02:20,375.
    assert write_srt([cue(137_440, 140_375, "Carbs 16 g", "= net 11 g"), cue(3_600_000, 3_603_001)]) == (
        "1\n00:02:17,440 --> 00:02:20,375\nCarbs 16 g\n= net 11 g\n\n2\n01:00:00,000 --> 01:00:03,001\nOil 27 g\n\n"
    )


def test_no_cues_make_an_empty_file() -> None:
    assert write_srt([]) == ""


@pytest.mark.parametrize(
    "cues",
    [
        [cue(-1, 3_000)],
        [cue(3_000, 3_000)],
        [cue(3_000, 2_000)],
        [cue(0, 3_000), cue(2_999, 6_000)],
        [cue(5_000, 8_000), cue(0, 3_000)],
        [cue(0, 3_000, "")],
        [cue(0, 3_000, " \t")],
        [cue(0, 3_000, "Oil", "")],
        [cue(0, 3_000, "Oil\n\nGhee")],
    ],
    ids=["before the cut", "no length", "backwards", "overlap", "out of order", "empty", "blank", "blank line", "gap"],
)
def test_what_a_player_would_drop_or_flash_is_refused(cues: list[Cue]) -> None:
    with pytest.raises(ValueError, match="cue"):
        write_srt(cues)


LINES = st.text(max_size=42).map(clean).filter(bool)


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 40_000), st.integers(1, 9_000), st.lists(LINES, min_size=1, max_size=2)), max_size=8
    )
)
def test_read_back_as_written(rows: list[tuple[int, int, list[str]]]) -> None:
    cues, now = [], 0
    for gap, length, lines in rows:
        cues.append(cue(now + gap, now + gap + length, *lines))
        now = cues[-1].end_ms
    found = list(srt.parse(write_srt(cues)))
    assert [(s.index, s.start.total_seconds(), s.end.total_seconds(), s.content) for s in found] == [
        (n, c.start_ms / 1000, c.end_ms / 1000, c.text) for n, c in enumerate(cues, 1)
    ]
