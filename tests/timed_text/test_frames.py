"""Cues on frames at every rate, and what is written of them."""

from __future__ import annotations

import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from messages import kinds

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES, frames_of, frames_to_ms, ms_to_frames
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.reading import parse_captions
from scriptkit.timed_text.ttml import write_ttml

ROOT = Path(__file__).parent.parent.parent

cues = st.lists(st.tuples(st.integers(0, 4_000), st.integers(1, 9_000)), min_size=1, max_size=12).map(
    lambda parts: [
        Cue(start_ms=start, end_ms=start + length, lines=("x",), track="time")
        for start, length in zip(_starts(parts), [length for _, length in parts], strict=True)
    ]
)


def _starts(parts: list[tuple[int, int]]) -> list[int]:
    starts, now = [], 0
    for gap, length in parts:
        starts.append(now + gap)
        now += gap + length
    return starts


@given(cues, st.sampled_from(sorted(RATES)), st.sampled_from([0, 90_000]))
def test_frames_never_overlap_and_stay_near(written: list[Cue], name: str, start: int) -> None:
    rate = RATES[name]
    snapped = on_frames(written, rate, start)
    frame_ms = 1000 / float(rate.exact)
    shift = frames_to_ms(start, rate)
    for cue, was in zip(snapped, written, strict=True):
        assert cue.start_ms == frames_to_ms(ms_to_frames(cue.start_ms, rate), rate)
        assert cue.end_ms > cue.start_ms
        if was.end_ms - was.start_ms > 2 * frame_ms:
            assert abs(cue.end_ms - shift - was.end_ms) <= frame_ms * len(written) + 1
    assert all(a.end_ms <= b.start_ms for a, b in pairwise(snapped))


@pytest.mark.parametrize("rate", ["24", "25", "29.97 drop", "50"])
@pytest.mark.parametrize("kind", ["srt", "vtt", "ttml"])
def test_the_command_writes_on_frames_from_a_start(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path, rate: str, kind: str
) -> None:
    meal = str(ROOT / "examples" / "harbour-supper.yaml")
    done = run("captions", meal, "--fps", rate, "--start", "01:00:00:00", "-o", f"o.{kind}")
    assert done.returncode == 0, done.stderr
    text = (tmp_path / f"o.{kind}").read_text(encoding="utf-8")
    if kind == "ttml":
        root = ET.fromstring(text)
        shown = root.findall(".//{http://www.w3.org/ns/ttml}p")
        regions = {
            r.get("{http://www.w3.org/XML/1998/namespace}id") for r in root.iter("{http://www.w3.org/ns/ttml}region")
        }
        assert len(shown) > 20
        assert {p.get("region") for p in shown} <= regions
        assert all(str(p.get("begin")) < str(p.get("end")) for p in shown)
        return
    read = parse_captions(text, f"o.{kind}")
    assert read.cues[0].start_ms >= frames_to_ms(frames_of("01:00:00:00", RATES[rate]), RATES[rate])
    found = {p.code for p in proof(Sheet(read, profiles()["streaming"], RATES[rate]))}
    assert found <= {"too-long"}  # an overlay stands long enough to be read twice


def test_byte_order_mark_and_line_ends(run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path) -> None:
    run("captions", str(ROOT / "examples" / "seared-hake.yaml"), "--bom", "--crlf", "-o", "o.srt")
    raw = (tmp_path / "o.srt").read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf1\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")


@pytest.mark.parametrize(
    "arguments",
    [
        ("-o", "o.txt"),
        ("-o", "o.srt", "--fps", "9"),
        ("-o", "o.srt", "--start", "1:2"),
        ("-o", "o.srt", "--profile", "x"),
    ],
)
def test_what_cannot_be_done_is_told_and_writes_nothing(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    done = run("captions", str(ROOT / "examples" / "seared-hake.yaml"), *arguments)
    assert done.returncode == 2
    assert "error option" in kinds(done.stderr) and "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_ttml_escapes() -> None:
    cue = Cue(start_ms=0, end_ms=3_000, lines=("salt & <b>pepper</b>",), track="addition")
    root = ET.fromstring(write_ttml([cue], 'the "quay" & co', language="en-GB"))
    assert root.find(".//{http://www.w3.org/ns/ttml}p/{http://www.w3.org/ns/ttml}span").text == "salt & <b>pepper</b>"  # type: ignore[union-attr]
