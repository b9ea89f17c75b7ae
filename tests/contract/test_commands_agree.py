"""Every command that takes the same files finds the same: where the steps stand, which cues are shown, and what must be told."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from subprocess import CompletedProcess
from typing import Any

import pytest
from conftest import EXAMPLES

from scriptkit.cli.preview import preview_of
from scriptkit.measure.timecode import label_of
from scriptkit.production import Production, read
from scriptkit.timed_text.subrip import write_srt

Run = Callable[..., "CompletedProcess[str]"]
Json = dict[str, Any]

OWN_PROFILE = "like: vertical-short\ncharacters_a_second: 17\n"
MARKERS = "Marker Name,Start\n"
OF_THE_TIMES = re.compile(
    r"step-not-placed|not-placed|not-spoken-of|out-of-order|other-video|one-line|unknown-step|twice|bad-timecode|planned"
)
"""Codes of what is told of where the steps stand."""


@dataclass(frozen=True, slots=True)
class Files:
    """A recipe of the examples, and the cut, log and profile beside it; ``placed``: how many steps the cut tells the time of."""

    recipe: str
    cut: str = ""
    log: str = ""
    profile: str = ""
    placed: int = 0


CUTS = {
    "a dish, one marker": Files("seared-hake.yaml", cut="one.csv", placed=1),
    "a dish, markers of all steps": Files("seared-hake.yaml", cut="all.csv", placed=6),
    "a dish, markers and an own profile": Files("seared-hake.yaml", cut="all.csv", profile="own.yaml", placed=6),
    "a dish, a transcript of another video": Files("seeded-loaf.yaml", cut="harbour-supper-cut.srt"),
    "a meal, its transcript": Files("harbour-supper.yaml", cut="harbour-supper-cut.srt", placed=14),
    "a meal, a rough transcript": Files("harbour-supper.yaml", cut="harbour-supper-rough-cut.srt", placed=14),
    "a meal, a cut file": Files("harbour-supper.yaml", cut="cut.yaml", placed=3),
    "a meal, its transcript and a log": Files(
        "harbour-supper.yaml", cut="harbour-supper-cut.srt", log="harbour-supper-rough-takes.csv", placed=14
    ),
}


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """The examples in a folder of one's own, with markers, a cut file and a profile."""
    for path in EXAMPLES.iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    steps = [step for dish in read(str(tmp_path / "seared-hake.yaml")).dishes for step in dish.steps]
    rate = read(str(tmp_path / "seared-hake.yaml")).rate
    rows = [f"{s.id},{label_of((n + 1) * 20 * rate.nominal, rate)}\n" for n, s in enumerate(steps)]
    (tmp_path / "all.csv").write_text(MARKERS + "".join(rows), encoding="utf-8")
    (tmp_path / "one.csv").write_text(MARKERS + rows[2], encoding="utf-8")
    (tmp_path / "own.yaml").write_text(OWN_PROFILE, encoding="utf-8")
    dish = read(str(tmp_path / "harbour-supper.yaml")).dishes[0]
    placements = [s for s in dish.in_shoot_order if s.additions][:3]
    lines = [f"  - {{step: {s.id}, time: 0:{10 + 20 * n}, by: hand}}\n" for n, s in enumerate(placements)]
    (tmp_path / "cut.yaml").write_text("cut: Harbour supper\nsteps:\n" + "".join(lines), encoding="utf-8")
    return tmp_path


def production_of(files: Files) -> Production:
    """By the names that the commands are given, so that the places of problems are the same."""
    return read(files.recipe, cut=files.cut, log=files.log, profile=files.profile)


def told(done: CompletedProcess[str]) -> Json:
    found: Json = json.loads(done.stdout)
    return found


def of_the_times(problems: list[Json]) -> list[Json]:
    """What of the problems is about where the steps stand."""
    return [p for p in problems if OF_THE_TIMES.fullmatch(p["code"])]


@pytest.mark.parametrize("files", CUTS.values(), ids=CUTS.keys())
def test_the_times_are_the_same_for_all_who_are_given_a_cut(
    files: Files, kitchen: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(kitchen)
    cut, log = ("--cut", files.cut), (("--log", files.log) if files.log else ())
    profile = ("--profile", files.profile) if files.profile else ()
    production = production_of(files)
    coverage = told(run("coverage", files.recipe, *cut, *log, "--json"))
    captions = told(run("captions", files.recipe, *cut, *profile, "-o", "out.srt", "--json"))
    pack = told(run("pack", files.recipe, *cut, *log, "-o", "pack", "--json"))
    publish = told(run("publish", files.recipe, *cut, "-o", "publish", "--json"))
    preview = preview_of(production)

    # placements
    placed = {(p.dish.name, p.step.id): p.time_ms for p in (production.cut.placements if production.cut else ())}
    assert sum(ms is not None for ms in placed.values()) == files.placed
    assert {(s["dish"], s["id"]): s["time_s"] for s in coverage["steps"]} == {
        name: None if ms is None else ms / 1000 for name, ms in placed.items()
    }
    chapters = (kitchen / "pack" / "files" / "chapters.vtt").read_bytes()
    assert chapters == (kitchen / "publish" / "files" / "chapters.vtt").read_bytes()
    assert [c["start_s"] for c in publish["chapters"]] == [c.start_ms / 1000 for c in production.chapters.chapters]

    # cues
    written = (kitchen / "out.srt").read_text(encoding="utf-8")
    assert written == write_srt(production.cues) == write_srt(preview.cues)
    assert captions["cues"] == len(production.cues) > 0
    if not files.profile:
        assert written == (kitchen / "pack" / "files" / "overlays.srt").read_text(encoding="utf-8")

    # problems
    of_preview = [p.as_json() for p in preview.problems]
    found = {
        "captions": captions["problems"], "preview": of_preview, "pack": pack["problems"], "publish": publish["problems"]
    }  # fmt: skip
    times = {name: of_the_times(problems) for name, problems in found.items()}
    assert times["captions"] == times["preview"] == times["pack"] == times["publish"]
    assert of_the_times(coverage["problems"]) == [p for p in times["captions"] if p["code"] != "planned"]
    if production.cut_problems:
        assert times["captions"]
    assert captions["problems"] == of_preview
    assert {json.dumps(p) for p in coverage["problems"]} <= {json.dumps(p) for p in pack["problems"]}


@pytest.mark.usefixtures("kitchen")
def test_a_cut_that_holds_one_step_is_told_of_by_all(run: Run) -> None:
    """Five of the six steps are missing: a person must look, whichever command found it."""
    for command in ("captions", "pack", "publish", "coverage"):
        output = ("-o", "out.srt") if command == "captions" else ("-o", f"of-{command}")
        done = run(command, "seared-hake.yaml", "--cut", "one.csv", *output)
        missing = re.findall(r": warning: step \d.* \[step-not-placed\]\n", done.stderr)
        assert (command, done.returncode, len(missing)) == (command, 1, 5), done.stderr


def test_an_own_profile_is_the_same_for_all(kitchen: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """What `captions` composes for it passes `proof` with it, and the preview has the shape of its picture."""
    monkeypatch.chdir(kitchen)
    recipe = "harbour-supper.yaml"
    assert run("captions", recipe, "--profile", "own.yaml", "-o", "out.vtt").returncode in (0, 1)
    proofed = told(run("proof", "out.vtt", "--profile", "own.yaml", "--recipe", recipe, "--json"))
    assert (proofed["profile"], proofed["problems"]) == ("own", [])
    for name, shape in (("own.yaml", 9 / 16), ("vertical-short", 9 / 16), ("streaming", 16 / 9)):
        assert preview_of(read(recipe, profile=name)).picture.shape == pytest.approx(shape)
    (kitchen / "square.yaml").write_text('like: vertical-short\naspect: "1:1"\n', encoding="utf-8")
    assert preview_of(read(recipe, profile="square.yaml")).picture.shape == 1


@pytest.mark.parametrize("log", ["harbour-supper-takes.csv", "harbour-supper-rough-takes.csv"])
def test_a_log_is_the_same_for_all(log: str, kitchen: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(kitchen)
    recipe = "harbour-supper.yaml"
    rows = (kitchen / log).read_bytes().splitlines(keepends=True)
    (kitchen / log).write_bytes(b"".join([*rows, rows[-1]]))  # the last take, logged twice
    production = read(recipe, log=log)
    edit = told(run("paper-edit", recipe, "--log", log, "-o", "edit", "--json"))
    pack = told(run("pack", recipe, "--log", log, "-o", "pack", "--json"))
    coverage = told(run("coverage", recipe, "--log", log, "--json"))
    assert production.takes is not None and production.log is not None
    assert edit["takes"] == len(production.takes)
    of_edit = "several-circled"  # what the paper edit makes of the takes
    of_log = [
        [p for p in found["problems"] if p["file"] == log and p["code"] != of_edit] for found in (edit, pack, coverage)
    ]
    assert "take-twice" in [p["code"] for p in of_log[0]]
    assert of_log[0] == of_log[1] == of_log[2] == [p.as_json() for p in production.log.problems]


@pytest.mark.parametrize("name", ["seared-hake", "harbour-supper", "mussel-chowder"])
def test_the_recipe_is_the_same_for_all(name: str, kitchen: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a cut, what `check` finds is what the papers tell, and nothing that is found in reading is kept back."""
    monkeypatch.chdir(kitchen)
    path = kitchen / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("servings: 4", "servings: 5").replace("plates: 2", "plates: 9"), encoding="utf-8")
    recipe = path.name
    checked = told(run("check", recipe, "--json"))["problems"]
    production = read(recipe)
    assert checked == [p.as_json() for p in production.problems]
    keys = {json.dumps(p) for p in checked}
    for command in ("pack", "shoot", "publish"):
        found = told(run(command, recipe, "-o", command, "--json"))["problems"]
        assert keys <= {json.dumps(p) for p in found}, command
    of_reading = {(p.code, p.message) for p in production.reading.problems}
    for command in (
        ("macros", recipe),
        ("schedule", recipe),
        ("coverage", recipe),
        ("captions", recipe, "-o", "o.srt"),
    ):
        printed = run(*command).stderr
        assert all(f": {message} [{code}]\n" in printed for code, message in of_reading), command
