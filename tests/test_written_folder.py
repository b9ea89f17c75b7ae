"""A folder that is written again: what a person changed or made stays, and is told; --force overrides."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.cut.cut_file import holds_what_is_written_in
from scriptkit.problems import CannotDo
from scriptkit.written_files import RECORD, write_folder

Run = Callable[..., "subprocess.CompletedProcess[str]"]
MINE = "my own words\n"
HAKE = str(EXAMPLES / "seared-hake.yaml")


def test_what_was_written_is_written_again_and_what_a_person_changed_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first = write_folder(str(out), {"a.txt": "1", "inner/b.csv": "1"})
    assert (first.names, first.kept) == (("a.txt", "inner/b.csv"), ())
    (out / "inner" / "b.csv").write_text(MINE)
    second = write_folder(str(out), {"a.txt": "2", "inner/b.csv": "2"})
    assert second.names == ("a.txt",)
    assert [(p.code, p.place.file) for p in second.kept] == [("own-work", str(out / "inner" / "b.csv"))]
    assert ((out / "a.txt").read_text(), (out / "inner" / "b.csv").read_text()) == ("2", MINE)
    third = write_folder(str(out), {"a.txt": "3", "inner/b.csv": "3"}, force=True)
    assert (third.kept, (out / "inner" / "b.csv").read_text()) == ((), "3")
    assert write_folder(str(out), {"a.txt": "4", "inner/b.csv": "4"}).kept == ()


def test_what_a_person_made_is_kept_though_nothing_was_ever_written_there(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(MINE)
    done = write_folder(str(tmp_path), {"a.txt": "1"})
    assert (done.names, len(done.kept)) == ((), 1)
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]  # nothing was written, and no record of it


@pytest.mark.parametrize("record", ["", "{", "[]", '{"files": 3}', '{"files": {"a.txt": 3}}', "[" * 100_000])
def test_a_record_that_cannot_be_read_is_none(tmp_path: Path, record: str) -> None:
    (tmp_path / "a.txt").write_text(MINE)
    (tmp_path / RECORD).write_text(record)
    assert len(write_folder(str(tmp_path), {"a.txt": "1"}).kept) == 1
    assert (tmp_path / "a.txt").read_text() == MINE


def test_what_a_killed_run_put_in_place_is_still_the_programs(tmp_path: Path) -> None:
    write_folder(str(tmp_path), {"a.txt": "1", "b.txt": "1"})
    before = (tmp_path / "b.txt").read_text()
    write_folder(str(tmp_path), {"a.txt": "2", "b.txt": "2"})
    (tmp_path / "b.txt").write_text(before)  # the second run got no further than its first file
    assert write_folder(str(tmp_path), {"a.txt": "3", "b.txt": "3"}).kept == ()


def test_a_second_command_keeps_what_the_first_one_recorded(tmp_path: Path) -> None:
    write_folder(str(tmp_path), {"a.txt": "1"})
    write_folder(str(tmp_path), {"b.txt": "1"})
    assert set(json.loads((tmp_path / RECORD).read_text())["files"]) == {"a.txt", "b.txt"}
    assert write_folder(str(tmp_path), {"a.txt": "2"}).kept == ()


def test_a_file_whose_corrections_were_read_is_written_again(tmp_path: Path) -> None:
    write_folder(str(tmp_path), {"cut.yaml": "1"})
    (tmp_path / "cut.yaml").write_text(MINE)
    assert write_folder(str(tmp_path), {"cut.yaml": MINE + "more"}, corrected={"cut.yaml": str.__contains__}).kept == ()
    assert [p.name for p in tmp_path.iterdir() if p.name != RECORD] == ["cut.yaml"]


def test_what_of_a_cut_file_is_not_in_the_new_one_is_kept_beside_it(run: Run, tmp_path: Path) -> None:
    shutil.copy(HAKE, tmp_path / "hake.yaml")
    (tmp_path / "marks.csv").write_text("name,time\nbrown-butter,0:40\n")
    command, cut = ["coverage", "hake.yaml", "--cut", "marks.csv", "-o", "out"], tmp_path / "out" / "cut.yaml"
    run(*command)
    before = cut.read_bytes()
    mine = before + b"# the second take is better\n"
    cut.write_bytes(mine)
    assert "kept as cut-kept1.yaml" in run(*command).stderr
    assert (cut.read_bytes(), (tmp_path / "out" / "cut-kept1.yaml").read_bytes()) == (before, mine)
    cut.write_bytes(mine)
    (tmp_path / "out" / "coverage.html").unlink()
    (tmp_path / "out" / "coverage.html").mkdir()
    assert run(*command).returncode == 2 and not (tmp_path / "out" / "cut-kept2.yaml").exists()
    assert cut.read_bytes() == mine


@pytest.mark.parametrize(
    ("old", "kept"),
    [
        ("cut: x\nsteps:\n  - {step: a, time: 0:10,  confidence: 0.50}\n", True),
        ("cut: x\nsteps:\n  - {step: a, time: 0:11, confidence: 0.91}\n", False),
        ("cut: x\n# mine\nsteps:\n  - {step: a, time: 0:10, confidence: 0.91}\n", False),
    ],
)
def test_how_sure_a_time_is_is_no_word_of_a_person(old: str, kept: bool) -> None:
    new = "# ours\ncut: x\nconfidence: 0.91\nsteps:\n  - {step: a, time: 0:10, confidence: 0.91}\n"
    assert holds_what_is_written_in(new, old) is kept


def test_a_record_that_cannot_be_written_means_that_nothing_is(tmp_path: Path) -> None:
    (tmp_path / RECORD).mkdir()
    with pytest.raises(CannotDo):
        write_folder(str(tmp_path), {"a.txt": "1"})
    assert [p.name for p in tmp_path.iterdir()] == [RECORD]


@pytest.mark.parametrize(
    ("command", "name"),
    [
        (["shoot", HAKE], "shoot-list.html"),
        (["publish", HAKE], "description.txt"),
        (["paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", str(EXAMPLES / "harbour-supper-takes.csv")], "paper-edit.csv"),
    ],
    ids=["shoot", "publish", "paper-edit"],
)  # fmt: skip
def test_every_command_that_writes_a_folder_keeps_a_persons_file(
    run: Run, tmp_path: Path, command: list[str], name: str
) -> None:
    out = tmp_path / "out"
    ran = run(*command, "-o", str(out))
    place = next(out.rglob(name))
    before = place.read_text(encoding="utf-8")
    assert "own-work" not in ran.stderr
    place.write_text(MINE)
    again = run(*command, "-o", str(out))
    assert (again.returncode, place.read_text()) == (1, MINE)
    assert str(place) in again.stderr and "[own-work]" in again.stderr
    run(*command, "-o", str(out), "--force")
    assert place.read_text(encoding="utf-8") == before
