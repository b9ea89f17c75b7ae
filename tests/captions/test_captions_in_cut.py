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


HAKE = EXAMPLES / "seared-hake.yaml"


@pytest.mark.parametrize("kind", ["markers.csv", "cut.yaml"])
def test_a_time_that_a_person_gives_is_one_moment_everywhere(run: Run, tmp_path: Path, kind: str) -> None:
    """Captions, clips, markers of the timeline and chapters begin where the person says; and the timeline's markers, given back as
    the cut, move nothing."""
    otio = pytest.importorskip("opentimelineio")
    steps = [step for dish in read(str(HAKE)).dishes for step in dish.steps]
    given = {step.id: 11_000 + 20_000 * n for n, step in enumerate(steps)}
    if kind == "markers.csv":
        text = "step,time\n" + "".join(f"{name},{ms // 1000}.0\n" for name, ms in given.items())
    else:
        rows = [f"  - {{step: {name}, time: 0:{ms // 1000:02d}, by: hand}}\n" for name, ms in given.items()]
        text = "cut: Seared hake\nsteps:\n" + "".join(r.replace("0:71", "1:11").replace("0:91", "1:31").replace("0:111", "1:51") for r in rows)  # fmt: skip
    (tmp_path / kind).write_text(text, encoding="utf-8")
    production = read(str(HAKE), cut=str(tmp_path / kind))
    begins = {s.step.id: s.start_ms for s in production.timed_plan.segments if s.step is not None}
    assert begins == given
    shown = {c.start_ms for c in production.cues if c.track == "addition"}
    assert given["dry-hake"] in shown  # nothing else is to be read there
    assert any(ms >= given["plate-hake"] for ms in shown)  # the fillets are laid out before they are salted
    assert not any(given["chop-parsley"] - 5_000 < ms < given["sear-hake"] for ms in shown)
    assert {c.start_ms for c in production.chapters.chapters} <= {0, *given.values()}
    assert run("overlays", str(HAKE), "--cut", kind, "--as", "none", "-o", "drawn").returncode in (0, 1)
    timeline = otio.adapters.read_from_file(str(tmp_path / "drawn" / "titles.otio"))
    marked = {m.name: round(m.marked_range.start_time.to_seconds() * 1000) for m in timeline.tracks[0].markers}
    assert marked == given
    again = read(str(HAKE), cut=str(tmp_path / "drawn" / "titles.otio"))
    assert [(c.start_ms, c.lines) for c in again.cues] == [(c.start_ms, c.lines) for c in production.cues]


def test_a_cut_file_tells_how_far_the_film_goes_on_after_its_last_words(tmp_path: Path) -> None:
    """So that the card of the closing has time there; no step is moved."""
    plain = read(str(HAKE), cut=CUT)
    cut = tmp_path / "cut.yaml"
    cut.write_text(f"cut: {plain.source.name}\nlength: 20:00\nsteps: []\n", encoding="utf-8")
    longer = read(str(HAKE), cut=str(cut), transcript=CUT)
    assert longer.cut is not None and plain.cut is not None
    assert plain.cut.length_ms < longer.cut.length_ms == 20 * 60_000
    assert [p.time_ms for p in longer.cut.placements] == [p.time_ms for p in plain.cut.placements]
