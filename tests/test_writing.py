"""Files written whole, or not at all."""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from one_problem import problem

from scriptkit.problems import CannotDo
from scriptkit.writing import folder_beside, write_all

OLD = {"a.txt": "old a\n", "b.txt": "old b\n", "notes.md": "the cook's own\n"}
NEW = {"a.txt": "new a ½\r\n", "b.txt": "new b\n", "c.txt": "new c\n"}


def contents(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): p.read_bytes().decode() for p in folder.rglob("*") if p.is_file()}


def old_folder(folder: Path) -> Path:
    folder.mkdir(parents=True)
    for name, text in OLD.items():
        (folder / name).write_bytes(text.encode())
    return folder


def test_new_folders_are_made_and_files_are_written_as_given(tmp_path: Path) -> None:
    write_all(str(tmp_path / "deep" / "er"), NEW)
    assert contents(tmp_path / "deep" / "er") == NEW


def test_files_are_replaced_and_others_left_alone(tmp_path: Path) -> None:
    folder = old_folder(tmp_path / "pack")
    write_all(str(folder), NEW)
    assert contents(folder) == {**OLD, **NEW}


@pytest.mark.parametrize("umask", [0o022, 0o077, 0o002])
def test_permissions_are_those_of_any_new_file(tmp_path: Path, umask: int) -> None:
    before = os.umask(umask)
    try:
        write_all(str(tmp_path / "pack"), {"a.txt": "a"})
    finally:
        assert os.umask(before) == umask  # writing leaves the umask as it was
    assert stat.S_IMODE((tmp_path / "pack" / "a.txt").stat().st_mode) == 0o666 & ~umask


@pytest.mark.parametrize("name", ["pack", "pack/deep/er"])
def test_a_file_where_the_folder_should_be(tmp_path: Path, name: str) -> None:
    (tmp_path / "pack").write_text("mine", encoding="utf-8")
    with pytest.raises(CannotDo) as wrong:
        write_all(str(tmp_path / name), NEW)
    assert problem(wrong) == (str(tmp_path / name), "cannot-write", "the folder cannot be made: a file has this name")
    assert contents(tmp_path) == {"pack": "mine"}


@pytest.mark.parametrize("name", ["x" * 300, "deep/" + "x" * 300, "nul\0byte"])
def test_a_folder_that_no_disk_can_hold(tmp_path: Path, name: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        write_all(str(tmp_path / name), NEW)
    assert problem(wrong)[1] == "cannot-write"
    assert list(tmp_path.iterdir()) == []


def test_a_folder_where_a_file_should_be(tmp_path: Path) -> None:
    folder = old_folder(tmp_path / "pack")
    (folder / "c.txt").mkdir()
    with pytest.raises(CannotDo) as wrong:
        write_all(str(folder), NEW)
    assert problem(wrong)[2].startswith("nothing was written: ")
    assert contents(folder) == OLD


def test_a_folder_of_the_name_is_told_by_its_name(tmp_path: Path) -> None:
    folder = old_folder(tmp_path / "pack")
    (folder / "c.txt").mkdir()
    with pytest.raises(CannotDo) as wrong:
        write_all(str(folder), NEW)
    assert problem(wrong)[2].endswith("c.txt is a folder, not a file")
    assert wrong.value.problems[0].hint == "write to another name or folder with -o"
    assert (folder / "c.txt").is_dir()
    (folder / "c.txt").rmdir()
    assert contents(folder) == OLD


@pytest.mark.parametrize("by_link", [False, True])
def test_a_device_or_a_pipe_is_never_put_out_of_the_way(tmp_path: Path, by_link: bool) -> None:
    folder = old_folder(tmp_path / "pack")
    pipe = tmp_path / "pipe" if by_link else folder / "c.txt"
    os.mkfifo(pipe)
    if by_link:
        (folder / "c.txt").symlink_to(pipe)
    with pytest.raises(CannotDo) as wrong:
        write_all(str(folder), NEW)
    assert "is a device or a pipe" in problem(wrong)[2]
    assert wrong.value.problems[0].hint == "write to another name or folder with -o"
    assert pipe.is_fifo()
    assert contents(folder) == OLD


@pytest.mark.parametrize("name", ["no/such/folder.txt", "x" * 300])
def test_a_name_that_cannot_be_written(tmp_path: Path, name: str) -> None:
    folder = old_folder(tmp_path / "pack")
    with pytest.raises(CannotDo):
        write_all(str(folder), {"a.txt": "new", name: "x"})
    assert contents(folder) == OLD
    with pytest.raises(CannotDo):
        write_all(str(tmp_path / "fresh" / "er"), {"a.txt": "new", name: "x"})
    assert not (tmp_path / "fresh").exists()


def failing(real: Callable[..., Any], at: int, error: type[BaseException]) -> Callable[..., Any]:
    """``real``, but its ``at``-th call fails."""
    calls = 0

    def call(*args: Any, **kwargs: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == at:
            raise error(28, "No space left on device") if issubclass(error, OSError) else error
        return real(*args, **kwargs)

    return call


STEPS = {
    "replace": (Path, "replace", Path.replace),
    "make": (os, "open", os.open),
    "write": (os, "write", os.write),
    "flush": (os, "fsync", os.fsync),
}


@pytest.mark.parametrize("error", [OSError, KeyboardInterrupt])
@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize("step", STEPS)
def test_a_failure_in_the_middle_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, at: int, error: type[BaseException]
) -> None:
    folder = old_folder(tmp_path / "pack")
    owner, name, real = STEPS[step]
    monkeypatch.setattr(owner, name, failing(real, at, error))
    with pytest.raises(CannotDo if error is OSError else error):
        write_all(str(folder), NEW)
    monkeypatch.undo()
    assert contents(folder) == OLD


@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize("step", STEPS)
def test_a_folder_that_was_made_goes_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, at: int) -> None:
    owner, name, real = STEPS[step]
    monkeypatch.setattr(owner, name, failing(real, at, OSError))
    with pytest.raises(CannotDo):
        write_all(str(tmp_path / "deep" / "er"), NEW)
    monkeypatch.undo()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("at", [1, 2])
def test_a_disk_that_knows_no_second_names_is_written_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    folder = old_folder(tmp_path / "pack")
    monkeypatch.setattr(os, "link", failing(os.link, at, PermissionError))
    write_all(str(folder), NEW)
    assert contents(folder) == {**OLD, **NEW}


@pytest.mark.parametrize("at", [1, 2])
def test_nor_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int) -> None:
    folder = old_folder(tmp_path / "pack")
    monkeypatch.setattr(os, "link", failing(os.link, at, PermissionError))
    monkeypatch.setattr(shutil, "copy2", failing(shutil.copy2, 1, OSError))
    with pytest.raises(CannotDo):
        write_all(str(folder), NEW)
    assert contents(folder) == OLD


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.sampled_from(["a", "b", "c"]), st.text(), min_size=1))
def test_every_text_is_read_back(tmp_path_factory: pytest.TempPathFactory, files: dict[str, str]) -> None:
    folder = tmp_path_factory.mktemp("pack")
    write_all(str(folder), files)
    assert contents(folder) == files


def test_half_a_character_is_no_reason_to_stop(tmp_path: Path) -> None:
    write_all(str(tmp_path), {"a.txt": "salt \ud800 and pepper"})
    assert contents(tmp_path) == {"a.txt": "salt ? and pepper"}


def test_what_a_killed_run_left_is_taken_away_and_what_another_run_writes_is_not(tmp_path: Path) -> None:
    old, saved, busy, own = (
        tmp_path / n for n in (".writing-1a.part", ".writing-1a.old", ".writing-2b.part", ".writing-notes.txt")
    )
    for path in (old, saved, busy, own):
        path.write_text("half", encoding="utf-8")
    for path in (old, saved, own):
        os.utime(path, (0, 0))
    write_all(str(tmp_path), {"card.txt": "new"})
    assert {p.name for p in tmp_path.iterdir()} == {"card.txt", busy.name, own.name}


def test_a_folder_of_a_killed_film_is_swept_and_one_in_which_a_film_still_grows_is_not(tmp_path: Path) -> None:
    dead, grows = tmp_path / ".writing-dead", tmp_path / ".writing-grows"
    for folder in (dead, grows):
        (folder / "fonts").mkdir(parents=True)
        (folder / "half.mov").write_bytes(b"half")
        (folder / "fonts" / "own.otf").write_bytes(b"font")
    for path in (*dead.rglob("*"), dead, grows, grows / "fonts"):
        os.utime(path, (0, 0))
    with folder_beside(tmp_path) as mine:
        assert mine.parent == tmp_path and not dead.exists() and (grows / "half.mov").exists()
    assert [p.name for p in tmp_path.iterdir()] == [grows.name]
