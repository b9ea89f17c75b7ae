"""The pack with the cut and the log at hand: timed by the cut, with its coverage."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import srt
from conftest import EXAMPLES
from messages import kinds

Run = Callable[..., CompletedProcess[str]]

SUPPER = str(EXAMPLES / "harbour-supper.yaml")
CUT, ROUGH = str(EXAMPLES / "harbour-supper-cut.srt"), str(EXAMPLES / "harbour-supper-rough-cut.srt")
LOG = str(EXAMPLES / "harbour-supper-takes.csv")


def starts(path: Path) -> dict[str, float]:
    return {c.content: c.start.total_seconds() for c in srt.parse(path.read_text(encoding="utf-8"))}


def test_the_overlays_are_those_that_captions_writes_for_the_cut(run: Run, tmp_path: Path) -> None:
    done = run("pack", SUPPER, "--cut", CUT, "--log", LOG, "-o", "pack")
    assert done.returncode == 0, done.stderr
    run("captions", SUPPER, "--cut", CUT, "-o", "overlays.srt")
    assert (tmp_path / "pack" / "files" / "overlays.srt").read_bytes() == (tmp_path / "overlays.srt").read_bytes()
    run("publish", SUPPER, "--cut", CUT, "-o", "publish")
    for name in ("files/chapters.vtt", "description.txt", "files/recipe.jsonld"):
        assert (tmp_path / "pack" / name).read_bytes() == (tmp_path / "publish" / name).read_bytes()
    run("coverage", SUPPER, "--transcript", CUT, "--log", LOG, "-o", "coverage")
    assert (tmp_path / "pack" / "cut.yaml").read_bytes() == (tmp_path / "coverage" / "cut.yaml").read_bytes()
    assert (tmp_path / "pack" / "coverage.html").exists()


def test_without_a_cut_the_plan_times_it(run: Run, tmp_path: Path) -> None:
    run("pack", SUPPER, "-o", "plain")
    run("pack", SUPPER, "--log", LOG, "-o", "logged")
    assert not (tmp_path / "plain" / "coverage.html").exists()
    assert (tmp_path / "logged" / "coverage.html").exists()
    assert starts(tmp_path / "plain" / "files" / "overlays.srt") == starts(
        tmp_path / "logged" / "files" / "overlays.srt"
    )


def test_times_that_a_person_corrects_move_the_overlay(run: Run, tmp_path: Path) -> None:
    run("pack", SUPPER, "--cut", CUT, "-o", "pack")
    cut = tmp_path / "pack" / "cut.yaml"
    before = starts(tmp_path / "pack" / "files" / "overlays.srt")
    run("pack", SUPPER, "--cut", CUT, "-o", "pack")
    assert starts(tmp_path / "pack" / "files" / "overlays.srt") == before
    text = cut.read_text(encoding="utf-8")
    (line,) = [line for line in text.splitlines() if "blend" in line]
    cut.write_text(text.replace(line, f"{line.split(', time:')[0]}, time: 1:50, by: hand}}"), encoding="utf-8")
    run("pack", SUPPER, "--cut", CUT, "-o", "pack")
    after = starts(tmp_path / "pack" / "files" / "overlays.srt")
    moved = {text for text in before if after.get(text) != before[text]}
    blend = {"18 min later", "Hot: jug one third full, vent open", "Towel on the lid; 3 batches, start slow"}
    assert blend <= moved and all(after[text] > before[text] for text in blend)
    assert all(abs(after[text] - before[text]) < 6 for text in before if text not in blend)  # what waits for them


def test_what_the_rough_cut_lacks_is_told(run: Run, tmp_path: Path) -> None:
    done = run("pack", SUPPER, "--cut", ROUGH, "-o", "pack")
    assert done.returncode == 1
    assert "warning: capers" in done.stderr and "warning not-heard" in kinds(done.stderr)
    assert "capers" in (tmp_path / "pack" / "coverage.html").read_text(encoding="utf-8")


def test_a_cut_of_a_folder_is_refused(run: Run) -> None:
    done = run("pack", str(EXAMPLES), "--cut", CUT, "-o", "pack")
    assert (done.returncode, "has no one cut" in done.stderr) == (2, True)
