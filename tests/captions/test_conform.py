"""Moving captions to another cut."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions.conform import Stretch, mapped, offset, retimed
from scriptkit.captions.reading import ReadCue
from scriptkit.measure.timecode import RATES

CUES = [ReadCue(1_000, 2_000, "one", 1), ReadCue(5_000, 8_000, "two", 5), ReadCue(10_000, 11_000, "three", 9)]


def times(cues: list[ReadCue]) -> list[tuple[int, int, str]]:
    return [(c.start_ms, c.end_ms, c.text) for c in cues]


def test_an_offset_keeps_what_is_still_there() -> None:
    assert times(offset(CUES, -1_500)) == [(0, 500, "one"), (3_500, 6_500, "two"), (8_500, 9_500, "three")]
    assert times(offset(CUES, -3_000))[0] == (2_000, 5_000, "two")


@given(st.integers(0, 10**7))
def test_there_and_back(by: int) -> None:
    assert times(offset(offset(CUES, by), -by)) == times(CUES)


def test_24_played_at_25_is_shorter_by_a_25th() -> None:
    assert times(retimed(CUES, RATES["24"], RATES["25"]))[1] == (4_800, 7_680, "two")


def test_a_map_moves_cuts_and_reorders() -> None:
    """The first 4 s are cut out, 4-6 s come last, the rest first."""
    stretches = [Stretch(0, None), Stretch(4_000, 20_000), Stretch(6_000, 0)]
    assert times(mapped(CUES, stretches)) == [(4_000, 5_000, "three"), (21_000, 22_000, "two")]
