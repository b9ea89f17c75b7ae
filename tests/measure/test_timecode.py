"""Time code against the published drop-frame figures and a reference library."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.timecode import RATES, NotATimecode, frames_of, frames_to_ms, label_of, ms_to_frames, rate_named
from scriptkit.problems import CannotDo

DROP = RATES["29.97 drop"]

# SMPTE ST 12-1, drop-frame at 29.97: figures as in the standard's counting (W3C TTML1, section 6.2.3 gives the formula).
PUBLISHED = [
    (1799, "00:00:59;29"),
    (1800, "00:01:00;02"),
    (17981, "00:09:59;29"),
    (17982, "00:10:00;00"),
    (107892, "01:00:00;00"),
]


@pytest.mark.parametrize(("frames", "label"), PUBLISHED)
def test_published_drop_frame_labels(frames: int, label: str) -> None:
    assert label_of(frames, DROP) == label
    assert frames_of(label, DROP) == frames


@given(st.integers(0, 53), st.integers(0, 59))
def test_dropped_frames_by_the_formula_of_ttml(hours: int, minutes: int) -> None:
    """Dropped frames up to h:m are (54 h + m - floor(m / 10)) x 2 (W3C TTML1)."""
    label = f"{hours:02d}:{minutes:02d}:00;{'00' if minutes % 10 == 0 else '02'}"
    kept = 0 if minutes % 10 == 0 else 2
    dropped = (54 * hours + minutes - minutes // 10) * 2
    assert frames_of(label, DROP) == (hours * 60 + minutes) * 1800 + kept - dropped


@pytest.mark.parametrize("label", ["00:01:00;00", "00:01:00;01", "01:19:00;01"])
def test_labels_that_drop_frame_leaves_out(label: str) -> None:
    with pytest.raises(NotATimecode, match="does not exist") as caught:
        frames_of(label, DROP)
    assert ";02" in caught.value.hint


@pytest.mark.parametrize("label", ["", "1:2:3:4", "00:60:00:00", "00:00:00:25", "00:00:00", "xx", "-1:00:00:00"])
def test_what_is_no_time_code_at_25(label: str) -> None:
    with pytest.raises(NotATimecode):
        frames_of(label, RATES["25"])


@pytest.mark.parametrize(
    ("label", "message", "hint"),
    [("xx", "“xx” is not time code", "01:00:00:00"), ("00:00:00:25", "from 00 to 24", "frame rate")],
)
def test_what_is_no_time_code_is_told_with_a_hint(label: str, message: str, hint: str) -> None:
    with pytest.raises(NotATimecode, match=message) as caught:
        frames_of(label, RATES["25"])
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("frame", "name", "ms"),
    [(0, "25", 0), (1, "25", 40), (1, "24", 42), (2, "24", 83), (1, "23.976", 42), (30, "29.97", 1001)],
)
def test_a_frame_begins_at_the_nearest_whole_millisecond(frame: int, name: str, ms: int) -> None:
    began = frames_to_ms(frame, RATES[name])
    assert (began, type(began)) == (ms, int)


@settings(max_examples=300)
@given(st.sampled_from(sorted(RATES)), st.integers(0, 24 * 3600 * 60))
def test_every_frame_has_one_label_and_one_moment(name: str, frames: int) -> None:
    rate = RATES[name]
    assert frames_of(label_of(frames, rate), rate) == frames
    assert ms_to_frames(frames_to_ms(frames, rate), rate) == frames


def test_a_drop_frame_day_is_a_tenth_of_a_second_short() -> None:
    """24 h of labels last 86 399.9136 s: computed from 2,589,408 frames x 1001 / 30000."""
    frames = frames_of("23:59:59;29", DROP) + 1
    assert float(frames / DROP.exact) == pytest.approx(86_399.9136, abs=1e-6)


@pytest.mark.parametrize("name", ["23.976", "24", "25", "29.97", "29.97 drop", "30", "50", "59.94", "60"])
def test_labels_agree_with_the_reference_library(name: str) -> None:
    """OpenTimelineIO's own conversion, both ways, over frames of a day."""
    otio = pytest.importorskip("opentimelineio", reason="OpenTimelineIO is not installed")
    import random

    rate = RATES[name]
    exact = float(rate.exact)
    drop = rate.dropped > 0
    picks = random.Random(name)
    for _ in range(1_200):
        frames = picks.randrange(0, int(exact * 86_000))
        time = otio.opentime.RationalTime(frames, exact)
        label = otio.opentime.to_timecode(time, exact, drop)
        assert label_of(frames, rate) == label
        assert round(otio.opentime.from_timecode(label, exact).value) == frames_of(label, rate)


def test_time_code_does_not_go_below_zero() -> None:
    with pytest.raises(ValueError, match="below zero"):
        label_of(-1, DROP)


@pytest.mark.parametrize(
    ("written", "exact"),
    [
        ("10", "10"), ("120", "120"), ("12.5", "25/2"), ("24.5", "49/2"), ("30000/1001", "30000/1001"), ("23.98", "24000/1001"),
        ("47.952", "48000/1001"), ("119.88", "120000/1001"), ("14.985", "15000/1001"), ("48", "48"),
    ],
)  # fmt: skip
def test_any_rate_from_10_to_120_is_a_fraction(written: str, exact: str) -> None:
    rate = rate_named(written)
    assert rate is not None and rate.exact == Fraction(exact)
    for frame in range(0, 100_000, 997):
        assert ms_to_frames(frames_to_ms(frame, rate), rate) == frame
        assert frames_of(label_of(frame, rate), rate) == frame


@pytest.mark.parametrize("written", ["9.9", "121", "25/0", "1e2", "-25", "25 fps", "30000/", "9" * 50])
def test_what_is_no_rate_is_told(written: str) -> None:
    with pytest.raises(CannotDo):
        rate_named(written)
