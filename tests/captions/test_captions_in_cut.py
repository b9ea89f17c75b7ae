"""Captions timed by the cut: each step's where it stands there, and a step that is not found is told."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.production import read
from scriptkit.timed_text.reading import parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]
MEAL, CUT = str(EXAMPLES / "harbour-supper.yaml"), str(EXAMPLES / "harbour-supper-cut.srt")


@pytest.mark.parametrize("profile", sorted(profiles()))
def test_every_profile_is_kept_in_the_cut_too(run: Run, tmp_path: Path, profile: str) -> None:
    done = run("captions", MEAL, "--cut", CUT, "--dialogue", CUT, "--sounds", "--profile", profile, "-o", "o.vtt")
    assert done.returncode in (0, 1), done.stderr
    shown = parse_captions((tmp_path / "o.vtt").read_text(encoding="utf-8"), "o.vtt")
    assert proof(Sheet(shown, profiles()[profile], RATES["25"])) == []
    spoken = parse_captions(Path(CUT).read_text(encoding="utf-8"), CUT).cues
    beside = parse_captions((tmp_path / "dialogue.vtt").read_text(encoding="utf-8"), "dialogue.vtt").cues
    assert [(c.start_ms, c.text) for c in beside if not c.text.startswith("[")] == [
        (c.start_ms, c.text) for c in spoken
    ]
    # The cook says "in goes the butter" at 1:05 in this cut; the overlay names it while it is said or shown.
    butter = next(c for c in shown.cues if "Butter 28 g" in " ".join(c.text.split()))
    said = next(c for c in spoken if "in goes the butter" in " ".join(c.text.split()).casefold())
    assert abs(butter.start_ms - said.start_ms) < 12_000


def test_a_step_that_is_not_in_the_cut_is_told(run: Run, tmp_path: Path) -> None:
    cues = Path(CUT).read_text(encoding="utf-8").split("\n\n")
    (tmp_path / "short.srt").write_text("\n\n".join(cues[:12]), encoding="utf-8")
    done = run("captions", MEAL, "--cut", "short.srt", "-o", "o.srt")
    assert done.returncode == 1
    cut = read(MEAL, cut=str(tmp_path / "short.srt")).cut
    assert cut is not None
    missing = [p.step.place for p in cut.placements if p.time_ms is None]
    assert missing
    assert all(f"{at.file}:{at.line}:{at.column}: warning: " in done.stderr for at in missing)
