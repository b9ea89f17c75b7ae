"""Moving captions to another cut."""

from __future__ import annotations

import itertools
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from messages import kinds

from scriptkit.captions.proofing.conform import Stretch, mapped, offset, retimed, without_overlaps
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.reading import ReadCue, parse_captions
from scriptkit.timed_text.webvtt import clock

CUES = [ReadCue(1_000, 2_000, "one", 1), ReadCue(5_000, 8_000, "two", 5), ReadCue(10_000, 11_000, "three", 9)]


def times(cues: list[ReadCue]) -> list[tuple[int, int, str]]:
    return [(c.start_ms, c.end_ms, c.text) for c in cues]


def test_an_offset_keeps_what_is_still_there() -> None:
    assert times(offset(CUES, -1_500)) == [(0, 500, "one"), (3_500, 6_500, "two"), (8_500, 9_500, "three")]
    assert times(offset(CUES, -3_000))[0] == (2_000, 5_000, "two")
    assert times(offset(CUES, -1_999))[0] == (0, 1, "one")
    assert times(offset(CUES, -2_000))[0] == (3_000, 6_000, "two")


def test_a_cue_that_is_wrong_already_is_moved_all_the_same() -> None:
    """It is for `proof` to tell; here it would go without a word."""
    wrong = [ReadCue(9_000, 6_000, "backwards", 1), ReadCue(7_000, 7_000, "no time", 5)]
    assert times(offset(wrong, 500)) == [(9_500, 6_500, "backwards"), (7_500, 7_500, "no time")]
    stretches = [Stretch(0, 60_000), Stretch(6_500, 0)]
    assert times(mapped(wrong, stretches).cues) == [(500, 500, "no time"), (2_500, 0, "backwards")]
    assert times(offset([ReadCue(9_000, 1_000, "backwards", 1)], -1_000)) == []


def test_a_moved_cue_keeps_everything_but_its_times() -> None:
    cue = ReadCue(1_000, 2_000, "<i>one</i>", 7, "first", "line:10%", "NOTE of the quay")
    later = replace(cue, start_ms=2_000, end_ms=4_000)
    assert offset([cue], 0) == mapped([cue], [Stretch(0, 0)]).cues == [cue]
    assert retimed([cue], RATES["50"], RATES["25"]) == [later]


def test_of_a_cue_that_a_boundary_parts_the_longest_part_is_kept_and_told() -> None:
    cues = [
        ReadCue(3_000, 7_000, "mostly after", 1),
        ReadCue(2_000, 4_500, "mostly before", 5),
        ReadCue(8_000, 9_000, "whole", 9),
    ]
    found = mapped(cues, [Stretch(0, 0), Stretch(4_000, 19_000)])
    assert times(found.cues) == [
        (2_000, 4_000, "mostly before"),
        (19_000, 22_000, "mostly after"),
        (23_000, 24_000, "whole"),
    ]
    assert [c.text for c in found.shortened] == ["mostly after", "mostly before"]
    assert found.gone == []


def test_what_stays_of_a_cue_whose_beginning_was_cut_out() -> None:
    found = mapped(
        [ReadCue(3_000, 7_000, "half", 1), ReadCue(1_000, 2_000, "out", 5)], [Stretch(0, None), Stretch(4_000, 0)]
    )
    assert times(found.cues) == [(0, 3_000, "half")]
    assert ([c.text for c in found.shortened], [c.text for c in found.gone]) == (["half"], ["out"])


def test_a_cue_from_which_the_middle_was_cut_out_stays_one() -> None:
    found = mapped(
        [ReadCue(3_000, 7_000, "both ends", 1)], [Stretch(0, 0), Stretch(4_000, None), Stretch(5_000, 4_000)]
    )
    assert times(found.cues) == [(3_000, 6_000, "both ends")]


@given(st.lists(st.integers(1, 12_000), max_size=5, unique=True), st.integers(-1_000, 10**6))
def test_a_boundary_without_a_shift_cuts_nothing(boundaries: list[int], shift: int) -> None:
    stretches = [Stretch(old, old + shift) for old in sorted([0, *boundaries])]
    found = mapped(CUES, stretches)
    assert times(found.cues) == [(c.start_ms + shift, c.end_ms + shift, c.text) for c in CUES]
    assert found.shortened == found.gone == []


@given(st.integers(0, 10**7))
def test_there_and_back(by: int) -> None:
    assert times(offset(offset(CUES, by), -by)) == times(CUES)


def test_24_played_at_25_is_shorter_by_a_25th() -> None:
    assert times(retimed(CUES, RATES["24"], RATES["25"]))[1] == (4_800, 7_680, "two")


def test_a_map_moves_cuts_and_reorders() -> None:
    """The first 4 s are cut out, 4-6 s come last, the rest first."""
    stretches = [Stretch(0, None), Stretch(4_000, 20_000), Stretch(6_000, 0)]
    assert times(mapped(CUES, stretches).cues) == [(0, 2_000, "two"), (4_000, 5_000, "three")]


def test_what_would_run_into_the_next_stretch_is_cut_out() -> None:
    """6 s are taken out before 8 s; and where stretches change places, what the first of them has too much."""
    found, added = without_overlaps([Stretch(0, 0), Stretch(8_000, 2_000)])
    assert (found, added) == ([Stretch(0, 0), Stretch(2_000, None), Stretch(8_000, 2_000)], [Stretch(2_000, None)])
    assert times(mapped(CUES, found).cues) == [(1_000, 2_000, "one"), (4_000, 5_000, "three")]
    swapped = [Stretch(0, 4_000), Stretch(6_000, 0)]
    assert without_overlaps(swapped) == ([*swapped, Stretch(10_000, None)], [Stretch(10_000, None)])
    assert without_overlaps([Stretch(0, 0), Stretch(9_000, 0)])[0] == [Stretch(0, None), Stretch(9_000, 0)]
    fits = [Stretch(0, 0), Stretch(4_000, None), Stretch(5_000, 4_000)]
    assert without_overlaps(fits) == (fits, [])


@given(st.lists(st.tuples(st.integers(0, 12_000), st.none() | st.integers(0, 9_000)), min_size=1, max_size=6))
def test_no_map_lays_one_cue_over_another(rows: list[tuple[int, int | None]]) -> None:
    stretches = [Stretch(old, new) for old, new in sorted(dict(rows).items())]
    cues = mapped(CUES, without_overlaps(stretches)[0]).cues
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(cues))


SRT = "1\n00:00:01,000 --> 00:00:02,000\none\n\n2\n00:00:05,000 --> 00:00:08,000\ntwo\n"
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.mark.parametrize(
    ("arguments", "times"),
    [
        (("--offset", "1.5"), ["00:00:02,500", "00:00:06,500"]),
        (("--offset", "-0:00.5"), ["00:00:00,500", "00:00:04,500"]),
        (("--offset", "00:00:10:12", "--fps", "24"), ["00:00:11,500", "00:00:15,500"]),
        (("--from", "24", "--to", "25"), ["00:00:00,960", "00:00:04,800"]),
        (("--map", "map.csv"), ["00:01:00,000"]),
    ],
)
def test_the_command_moves_a_file(run: Run, tmp_path: Path, arguments: tuple[str, ...], times: list[str]) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    (tmp_path / "map.csv").write_text("old,new\n0,cut\n0:04,0:59\n", encoding="utf-8")
    done = run("conform", "cut.srt", *arguments, "-o", "moved.srt")
    assert done.returncode == 0, done.stderr
    moved = parse_captions((tmp_path / "moved.srt").read_text(encoding="utf-8"), "moved.srt")
    assert [clock(c.start_ms).replace(".", ",") for c in moved.cues] == times
    assert (tmp_path / "cut.srt").read_text(encoding="utf-8") == SRT


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ((), "option"),
        (("--from", "24"), "option"),
        (("--offset", "soon"), "time"),
        (("--offset", "00:01:00;01", "--fps", "29.97 drop"), "timecode"),
        (("--map", "none.csv"), "no-such-file"),
        (("--map", "bad.csv"), "map"),
        (("--map", "long.csv"), "map"),
        (("--map", "cell.csv"), "map"),
        (("--map", "binary.csv"), "map"),
        (("--map", "/dev/zero"), "too-large"),
        (("--map", "hours.csv"), "time"),
        (("--offset", "9" * 5000 + ":00:00"), "time"),
        (("--offset", "9" * 5000 + ":00:00:00", "--fps", "25"), "time"),
    ],
)
def test_what_cannot_be_moved_is_told_and_nothing_written(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], code: str
) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    (tmp_path / "bad.csv").write_text("0,1,2\n", encoding="utf-8")
    (tmp_path / "long.csv").write_text("0," + "1" * 200_000, encoding="utf-8")
    (tmp_path / "cell.csv").write_text('"' + "x" * 200_000 + '",1\n', encoding="utf-8")
    (tmp_path / "binary.csv").write_bytes(bytes(5000))
    (tmp_path / "hours.csv").write_text("9" * 5000 + ":00:00,1\n", encoding="utf-8")
    done = run("conform", "cut.srt", *arguments, "-o", "moved.srt")
    assert done.returncode == 2
    assert f"error {code}" in kinds(done.stderr) and "Traceback" not in done.stderr
    assert not (tmp_path / "moved.srt").exists()


@pytest.mark.parametrize(
    ("arguments", "kept", "told"),
    [
        (("--offset", "-0:03"), 1, "the cue would end before 0:00 and fell away: “one”"),
        (("--map", "late.csv"), 1, "the cue stands before the first time of the map and fell away: “one”"),
    ],
)
def test_cues_that_nobody_asked_to_take_out_are_told(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], kept: int, told: str
) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    (tmp_path / "late.csv").write_text("old,new\n0:04,0:59\n", encoding="utf-8")
    done = run("conform", "cut.srt", *arguments, "-o", "moved.srt")
    assert done.returncode == 1
    assert f"warning: {told} [fell-away]\n" in done.stderr and "fix: " in done.stderr
    assert f"{kept} cue" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize("arguments", [("--offset", "-1:00"), ("--map", "late.csv")])
def test_where_no_cue_would_be_left_nothing_is_written(run: Run, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    (tmp_path / "late.csv").write_text("old,new\n9:00,0:00\n", encoding="utf-8")
    done = run("conform", "cut.srt", *arguments, "-o", "moved.srt")
    assert done.returncode == 2 and "error nothing-left" in kinds(done.stderr)
    assert not (tmp_path / "moved.srt").exists()


def test_a_cue_that_would_begin_before_zero_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    done = run("conform", "cut.srt", "--offset", "-1.5", "-o", "moved.srt")
    assert (done.returncode, kinds(done.stderr)) == (0, ["note cut-short"])


SUNG = "stir<00:00:01.500><c> it</c><00:01.900><c> in</c>"


def test_moments_of_words_inside_a_cue_move_with_it() -> None:
    cue = ReadCue(1_000, 2_000, SUNG, 1)
    (later,) = offset([cue], 2_000)
    assert later.text == "stir<00:00:03.500><c> it</c><00:00:03.900><c> in</c>"
    (slower,) = retimed([cue], RATES["50"], RATES["25"])
    assert slower.text == "stir<00:00:03.000><c> it</c><00:00:03.800><c> in</c>"
    (cut_out,) = mapped([cue], [Stretch(0, 10_000), Stretch(1_800, None)]).cues
    assert cut_out.text == "stir<00:00:11.500><c> it</c><00:00:11.000><c> in</c>"
    (early,) = offset([cue], -1_600)
    assert (early.start_ms, early.text) == (0, "stir<00:00:00.000><c> it</c><00:00:00.300><c> in</c>")
    assert offset([replace(cue, text="<00:99.1> 2 <3")], 5)[0].text == "<00:99.1> 2 <3"


def test_every_line_of_a_map_that_is_wrong_is_told_at_once(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    (tmp_path / "map.csv").write_text("old,new\n0,soon\n1,2,3\n9,5\n0:04,6\n0:04,7\n", encoding="utf-8")
    done = run("conform", "cut.srt", "--map", "map.csv", "-o", "moved.srt")
    assert done.returncode == 2
    told = [line for line in done.stderr.splitlines() if ": error: " in line]
    assert [line.split(": ")[0] for line in told] == ["map.csv:2:1", "map.csv:3:1", "map.csv:6:1"]


def test_what_fell_away_is_told_in_words_and_not_in_markup(run: Run, tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\n<i>Salt</i> &amp; butter\n\n00:11.000 --> 00:12.000\nOn.\n"
    (tmp_path / "cut.vtt").write_text(text, encoding="utf-8")
    told = run("conform", "cut.vtt", "--offset", "-9", "-o", "moved.vtt").stderr
    assert told.startswith("cut.vtt:3:1: warning: ") and "fell away: “Salt & butter” [" in told
