"""What a command reads it never writes over: a take log, a cut, a video are there once."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT

Run = Callable[..., subprocess.CompletedProcess[str]]

CUT = "harbour-supper-cut.srt"
LOG = "harbour-supper-takes.csv"
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
HAKE = str(EXAMPLES / "seared-hake.yaml")

SLIPS: list[tuple[str, str, Sequence[str]]] = [  # what is read, the name that it has here, the command
    (CUT, "cut.srt", ("captions", SUPPER, "--cut", "cut.srt", "-o", "cut.srt")),
    (CUT, "cut.srt", ("captions", SUPPER, "--dialogue", "cut.srt", "-o", "cut.srt")),
    (CUT, "cut.srt", ("conform", "cut.srt", "--offset", "2", "-o", "cut.srt")),
    (CUT, "cut.mp4", ("preview", SUPPER, "--cut", "cut.mp4", "-o", "cut.mp4")),
    (CUT, "files/overlays.srt", ("pack", SUPPER, "--cut", "files/overlays.srt", "-o", ".")),
    (CUT, "files/chapters.vtt", ("publish", SUPPER, "--cut", "files/chapters.vtt", "-o", ".")),
    (CUT, "dialogue.srt", ("captions", SUPPER, "--dialogue", "dialogue.srt", "-o", "overlays.srt")),
    (LOG, "paper-edit.csv", ("paper-edit", SUPPER, "--log", "paper-edit.csv", "-o", ".")),
    (LOG, "coverage.html", ("coverage", SUPPER, "--log", "coverage.html", "-o", ".")),
]


@pytest.mark.parametrize(
    ("what", "name", "command"), SLIPS, ids=lambda value: value if isinstance(value, str) else None
)
def test_what_is_read_stays(what: str, name: str, command: Sequence[str], tmp_path: Path, run: Run) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    shutil.copy(EXAMPLES / what, tmp_path / name)
    done = run(*command)
    assert done.returncode == 2, done.stdout + done.stderr
    assert f"{name}:1:1: error: it is read here, and would be written over [written-over]" in done.stderr
    assert [p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*.*")] == [name]
    assert (tmp_path / name).read_bytes() == (EXAMPLES / what).read_bytes()


@pytest.mark.parametrize("command", ["pack", "shoot", "publish"])
def test_so_do_templates_of_ones_own(command: str, tmp_path: Path, run: Run) -> None:
    own = "recipe-card.html" if command == "publish" else "shoot-list.html"
    shutil.copy(ROOT / "templates" / own, tmp_path / own)
    done = run(command, HAKE, "--templates", ".", "-o", ".")
    assert done.returncode == 2 and "written-over" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == [own]
    assert (tmp_path / own).read_bytes() == (ROOT / "templates" / own).read_bytes()


def test_so_it_does_by_another_name(tmp_path: Path, run: Run) -> None:
    """A second name for the same file, and the way to it through another folder."""
    shutil.copy(EXAMPLES / CUT, tmp_path / "cut.srt")
    (tmp_path / "sub").mkdir()
    for second in ("sub/../cut.srt", "link.srt", "hard.srt"):
        if second == "link.srt":
            (tmp_path / second).symlink_to("cut.srt")
        if second == "hard.srt":
            os.link(tmp_path / "cut.srt", tmp_path / second)
        done = run("conform", "cut.srt", "--offset", "2", "-o", second)
        assert done.returncode == 2 and "written-over" in done.stderr
    assert (tmp_path / "cut.srt").read_bytes() == (EXAMPLES / CUT).read_bytes()


@pytest.mark.parametrize("leads_to", ["away/gone.vtt", "nowhere/gone.vtt", "link.vtt", "away/ours.vtt"])
def test_a_link_of_that_name_stays_and_so_does_what_it_leads_to(leads_to: str, tmp_path: Path, run: Run) -> None:
    """A link that leads nowhere, into a folder that is not there, in a circle, and to a file that the program wrote."""
    (tmp_path / "away").mkdir()
    assert run("captions", HAKE, "-o", "away/ours.vtt").returncode in (0, 1)
    ours = (tmp_path / "away" / "ours.vtt").read_bytes()
    (tmp_path / "link.vtt").symlink_to(leads_to)
    done = run("captions", SUPPER, "-o", "link.vtt")
    assert (done.returncode, "[own-work]" in done.stderr, "a link" in done.stderr) == (2, True, True)
    assert (tmp_path / "link.vtt").readlink() == Path(leads_to)
    assert [p.name for p in (tmp_path / "away").iterdir()] == ["ours.vtt"]
    assert (tmp_path / "away" / "ours.vtt").read_bytes() == ours
    assert run("captions", SUPPER, "-o", "link.vtt", "--force").returncode in (0, 1)
    assert not (tmp_path / "link.vtt").is_symlink()
    assert (tmp_path / "away" / "ours.vtt").read_bytes() == ours


def test_a_link_in_the_folder_of_a_pack_is_kept_and_nothing_is_written_where_it_leads(tmp_path: Path, run: Run) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "description.txt").symlink_to("../elsewhere.txt")
    done = run("publish", HAKE, "-o", "out")
    assert done.returncode in (0, 1) and "a link" in done.stderr
    assert (tmp_path / "out" / "description.txt").is_symlink()
    assert not (tmp_path / "elsewhere.txt").exists()


def test_captions_are_mended_in_their_place_where_that_is_asked_but_never_over_the_recipe(
    tmp_path: Path, run: Run
) -> None:
    shutil.copy(EXAMPLES / CUT, tmp_path / "cut.srt")
    shutil.copy(HAKE, tmp_path / "hake.yaml")
    assert run("proof", "cut.srt", "--fix", "hake.yaml", "--recipe", "hake.yaml").returncode == 2
    assert (tmp_path / "hake.yaml").read_bytes() == Path(HAKE).read_bytes()
    assert run("proof", "cut.srt", "--fix", "cut.srt").returncode in (0, 1)


def test_another_file_of_the_same_name_is_written_over_where_that_is_asked(tmp_path: Path, run: Run) -> None:
    (tmp_path / "moved.srt").write_text("an earlier one", encoding="utf-8")
    assert run("conform", str(EXAMPLES / CUT), "--offset", "2", "-o", "moved.srt").returncode == 2
    assert (tmp_path / "moved.srt").read_text(encoding="utf-8") == "an earlier one"
    assert run("conform", str(EXAMPLES / CUT), "--offset", "2", "-o", "moved.srt", "--force").returncode in (0, 1)
    assert "an earlier one" not in (tmp_path / "moved.srt").read_text(encoding="utf-8")


def test_a_video_that_somebody_made_is_no_preview(tmp_path: Path, run: Run) -> None:
    (tmp_path / "cut.mp4").write_text("a video", encoding="utf-8")
    done = run("preview", SUPPER, "-o", "cut.mp4")
    assert (done.returncode, "[own-work]" in done.stderr, "--force" in done.stderr) == (2, True, True)
    assert (tmp_path / "cut.mp4").read_text(encoding="utf-8") == "a video"
