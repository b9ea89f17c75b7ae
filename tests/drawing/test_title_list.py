"""Where each overlay stands, for an editor: CSV with time code, OpenTimelineIO with a clip an overlay."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES

from scriptkit.cli.overlays import clip_name, placed_overlays
from scriptkit.drawing.shown import merged
from scriptkit.drawing.title_list import Placed, write_title_csv
from scriptkit.measure.timecode import RATES, frames_of
from scriptkit.overlay_clips import KINDS
from scriptkit.problems import CannotDo
from scriptkit.production import read
from scriptkit.timed_text.cue import Cue

Run = Callable[..., subprocess.CompletedProcess[str]]
SUPPER = str(EXAMPLES / "harbour-supper.yaml")


@pytest.fixture
def folder(run: Run, tmp_path: Path) -> Path:
    done = run("overlays", SUPPER, "--as", "none", "--fps", "29.97", "-o", "out")
    assert done.returncode == 0, done.stderr
    return tmp_path / "out"


def test_the_csv_names_each_overlay_with_its_time_code(folder: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((folder / "titles.csv").read_text(encoding="utf-8-sig"))))
    production = read(SUPPER, fps="29.97")
    cues = merged(production.cues)
    assert [r["text"] for r in rows] == [" ".join(c.lines) for c in cues]
    for row, cue in zip(rows, cues, strict=True):
        assert float(row["start_s"]) * 1000 == cue.start_ms
        assert frames_of(row["end"], RATES["29.97"]) == round(cue.end_ms * 30 / 1001)


def test_the_timeline_has_a_clip_an_overlay_and_a_marker_a_step(folder: Path) -> None:
    otio = pytest.importorskip("opentimelineio")
    timeline: Any = otio.adapters.read_from_file(str(folder / "titles.otio"))
    cues = merged(read(SUPPER, fps="29.97").cues)
    (track,) = timeline.tracks
    clips = list(track.find_clips())
    assert [c.name for c in clips] == [" ".join(cue.lines) for cue in cues]
    for clip, cue in zip(clips, cues, strict=True):
        begins = clip.transformed_time_range(clip.trimmed_range(), track)
        assert begins.start_time.value == round(cue.start_ms * 30 / 1001)
        assert begins.duration.value == round(cue.end_ms * 30 / 1001) - round(cue.start_ms * 30 / 1001)
    assert {m.name for m in track.markers} >= {"simmer", "blend"}


def test_the_markers_are_read_back_as_the_cut_s(folder: Path, run: Run) -> None:
    done = run("coverage", SUPPER, "--cut", str(folder / "titles.otio"), "--json")
    steps = json.loads(done.stdout)["steps"]
    assert sum(step["time_s"] is not None for step in steps) == len(steps)


@pytest.mark.parametrize("text", ["=SUM(A1)", "＝SUM(A1)", " @A1", "Butter 28 g", ""])
def test_no_text_of_the_list_is_a_formula(text: str) -> None:
    rows = list(csv.reader(io.StringIO(write_title_csv([Placed(1, 0, 1_000, "addition", text, "")], RATES["25"]))))
    assert rows[1][6] == (f"'{text}" if "A1" in text else text)


def test_files_are_named_in_their_order() -> None:
    cues = merged(read(SUPPER).cues)
    names = [clip_name(n, c) for n, c in enumerate(cues, 1)]
    assert names == sorted(set(names))
    assert names[0] == "001-addition-salt-3-g-½-tsp"
    assert placed_overlays(cues, KINDS["vp9"])[0].file == f"{names[0]}.webm"
    assert placed_overlays(cues, None)[0].file == ""
    thai = Cue(start_ms=0, end_ms=1_000, lines=("น้ำปลา 24 g",), track="addition")
    assert clip_name(2, thai) == "002-addition-น้ำปลา-24-g"  # its vowels and marks stay on their letters


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--as", "gif"), "one or more of prores, vp9, png"),
        (("--size", "big"), "one of 1080p, 4k"),
        (("--size", "1921x1080"), "even numbers"),
        (("--font", "none.ttf"), "No such file"),
    ],
)
def test_what_is_not_there_is_told_and_nothing_written(
    run: Run, tmp_path: Path, options: tuple[str, ...], told: str
) -> None:
    done = run("overlays", SUPPER, *options, "-o", "out")
    assert done.returncode == 2
    assert told in done.stderr
    assert not (tmp_path / "out").exists()


def test_without_ffmpeg_the_lists_are_written_all_the_same(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none() -> str:
        raise CannotDo([])

    monkeypatch.setattr("scriptkit.video.ffmpeg_path", none)
    run("overlays", SUPPER, "-o", "out")
    assert {"titles.csv", "overlays.ass"} <= {p.name for p in (tmp_path / "out").iterdir()}


def test_dialogue_is_not_asked_for_as_ass(run: Run) -> None:
    done = run("captions", SUPPER, "--dialogue", str(EXAMPLES / "harbour-supper-cut.srt"), "-o", "o.ass")
    assert (done.returncode, "end -o with .vtt" in done.stderr) == (2, True)
