"""What `proof` says that `--fix` does, it does; where it cannot, the hint says what a person can."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.reading import ReadCue, parse_captions

Cues = list[tuple[int, int, str]]
STREAMING = profiles()["streaming"]
ON, OFF = "On and on.", "Off."
CLOSES = "close it or widen it: `--fix` closes it"
SNAPS = "snap it: `--fix` does"


def sheet_of(cues: Cues, *, of: Profile = STREAMING, rate: str = "") -> Sheet:
    read = tuple(ReadCue(a, b, text, 10 * n) for n, (a, b, text) in enumerate(cues, 1))
    return Sheet(replace(parse_captions("", "f.srt"), cues=read), of, RATES[rate] if rate else None)


def hints(sheet: Sheet, code: str) -> list[str]:
    return [p.hint for p in proof(sheet) if p.code == code]


@pytest.mark.parametrize(
    ("cues", "hint"),
    [
        ([(0, 6_970, ON), (7_000, 9_000, OFF)], CLOSES),  # closed, it stands 7 s, the longest
        (
            [(0, 6_981, ON), (7_001, 9_000, OFF)],
            "end the cue above it 13 ms earlier, or split it: closed, it would stand 7.001 s",
        ),
        (
            [(10_000, 18_000, ON), (18_032, 20_000, OFF)],
            "end the cue above it 1 ms earlier, or split it: closed, it would stand 8.032 s",
        ),
    ],
)
def test_a_gap_that_cannot_be_closed_is_for_a_person(cues: Cues, hint: str) -> None:
    sheet = sheet_of(cues, of=STREAMING.with_limits(sliver_ms=None))
    assert hints(sheet, "gap") == [hint]
    assert bool(hints(replace(sheet, file=repair_captions(sheet)), "gap")) is ("`--fix`" not in hint)


@pytest.mark.parametrize("rate", ["", "25"])
@pytest.mark.parametrize("end", [2_041, 1_041])
def test_before_a_cue_whose_times_are_reversed_no_gap_is_told_or_closed(end: int, rate: str) -> None:
    """Where it begins is not known."""
    cues = [(0, 2_000, ON), (2_041, end, OFF)]
    sheet = sheet_of(cues, rate=rate)
    assert hints(sheet, "gap") == []
    assert [(c.start_ms, c.end_ms, c.text) for c in repair_captions(sheet).cues] == cues


def test_where_there_is_no_longest_time_every_gap_is_closed() -> None:
    sheet = sheet_of([(0, 60_000, ON), (60_032, 62_000, OFF)], of=STREAMING.with_limits(longest_ms=None))
    assert hints(sheet, "gap") == [CLOSES]
    assert hints(replace(sheet, file=repair_captions(sheet)), "gap") == []


def test_a_cue_ended_as_much_earlier_as_the_hint_says_has_its_gap() -> None:
    assert hints(sheet_of([(0, 6_981 - 13, ON), (7_001, 9_000, OFF)]), "gap") == []
    assert hints(sheet_of([(0, 6_981 - 12, ON), (7_001, 9_000, OFF)]), "gap") != []


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("<b>Stir <i>it</i> in.", "<b> is never closed"),
        ("<i>Stir <b>it in.", "<i> is never closed"),  # the first of them
        ("<i>Stir</i> <b>it <i>in.", "<b> is never closed"),
        ("<b><i>Stir <i>it</i> in.", "<b> is never closed"),
        ("<v Cook><i>Stir it in.", "<i> is never closed"),
        ("<i>Stir</i></i> it in.", "</i> closes nothing"),
        ("<i>Stir <v Cook>it</i> in.", ""),
    ],
)
def test_the_first_tag_that_is_never_closed_is_named(text: str, message: str) -> None:
    found = [p.message for p in proof(sheet_of([(0, 5_000, text)])) if p.code == "markup"]
    assert found == ([message] if message else [])


@pytest.mark.parametrize(
    ("cues", "hint"),
    [
        ([(1_010, 2_010, ON)], SNAPS),
        ([(20_000, 19_010, ON)], "swap or correct its times first: `--fix` then snaps it"),
        ([(20_010, 20_010, ON)], "swap or correct its times first: `--fix` then snaps it"),  # lasts no time
    ],
)
def test_reversed_times_off_a_frame_are_mended_first(cues: Cues, hint: str) -> None:
    sheet = sheet_of(cues, rate="25")
    assert hints(sheet, "off-frame") == [hint]
    assert bool(hints(replace(sheet, file=repair_captions(sheet)), "off-frame")) is (hint != SNAPS)
    mended = [(min(a, b), max(a, b) + 1_000, text) for a, b, text in cues]
    assert hints(sheet_of(mended, rate="25"), "off-frame") == [SNAPS]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1\n00:00:01,000 --> 00:00:03,000\nStir.\n\n2\n00:00:0x,000 --> 00:00:06,000\nAdd the mustard.\n", "6"),
        ("WEBVTT\n\n00:01.000 --> 00:03.000\nStir.\n\nAdd the mustard.\n\n00:07.000 --> 00:09.000\nDone.\n", "6"),
        ("Add the mustard.\n\n1\n00:00:01,000 --> 00:00:03,000\nStir.\n", "1"),
        ("WEBVTT\n\n00:01.000 --> 00:03.000\nStir.\n\nMustard.\n\nSalt.\n", "6 and on 1 more"),
    ],
)
@pytest.mark.parametrize("in_place", [True, False])
def test_nothing_is_mended_where_words_would_be_lost(
    text: str, line: str, in_place: bool, tmp_path: Path, run: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    done = run("proof", "cut.srt", "--fix", "cut.srt" if in_place else "mended.srt")
    assert done.returncode == 2
    assert f"error: nothing was written: words on line {line} stand in no cue" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["cut.srt"]
    assert (tmp_path / "cut.srt").read_text(encoding="utf-8") == text
