"""A cook's own file is changed in its place: whole or not at all, and never over what somebody else wrote meanwhile."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any

import pytest

from scriptkit.editing import write_edit
from scriptkit.problems import CannotDo, Problem
from scriptkit.recipe.file_edit import Put
from scriptkit.recipe.reader import read_source

DISH = b"\xef\xbb\xbfdish: Tea  # of the quay\r\nservings: 2\r\ningredients: {tea: {amount: 400 ml, food: water}}"
NEW = DISH.replace(b"servings: 2", b"servings: 4")
EDIT = [Put(("servings",), 4)]


@pytest.fixture
def dish(tmp_path: Path) -> Path:
    path = tmp_path / "tea.yaml"
    path.write_bytes(DISH)
    return path


def problem(path: str, edits: list[Put], **more: Any) -> Problem:
    """The one that is told where the file cannot be changed."""
    with pytest.raises(CannotDo) as wrong:
        write_edit(path, edits, **more)
    (one,) = wrong.value.problems
    return one


def test_only_the_value_changes_and_nothing_is_left_beside_it(dish: Path) -> None:
    assert write_edit(str(dish), EDIT)
    assert dish.read_bytes() == NEW
    assert not write_edit(str(dish), EDIT)
    assert [p.name for p in dish.parent.iterdir()] == ["tea.yaml"]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_its_mode_stays(dish: Path, mode: int) -> None:
    dish.chmod(mode)
    write_edit(str(dish), EDIT)
    assert stat.S_IMODE(dish.stat().st_mode) == mode


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root gives files away")
def test_its_owner_stays(dish: Path) -> None:
    os.chown(dish, 1234, 4321)
    write_edit(str(dish), EDIT)
    assert (dish.stat().st_uid, dish.stat().st_gid) == (1234, 4321)
    assert dish.read_bytes() == NEW


def test_a_link_to_it_stays_a_link(dish: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "today.yaml"
    link.symlink_to("../tea.yaml")
    write_edit(str(link), EDIT)
    assert link.is_symlink()
    assert dish.read_bytes() == NEW
    assert [p.name for p in link.parent.iterdir()] == ["today.yaml"]


def test_a_second_name_of_it_is_refused(dish: Path) -> None:
    os.link(dish, dish.parent / "copy.yaml")
    assert "a second name" in problem(str(dish), EDIT).message
    assert dish.read_bytes() == DISH


def test_a_read_only_file_is_refused(dish: Path) -> None:
    dish.chmod(0o444)
    told = problem(str(dish), EDIT)
    assert (told.message, told.hint) == ("the file is read-only", f"allow writing: chmod u+w {dish}")
    assert dish.read_bytes() == DISH


def test_a_file_that_has_changed_since_it_was_read_is_refused(dish: Path) -> None:
    read = read_source(str(dish)).texts[str(dish)]
    dish.write_bytes(DISH.replace(b"400 ml", b"500 ml"))
    assert problem(str(dish), EDIT, as_read=read).code == "changed-meanwhile"
    assert b"500 ml" in dish.read_bytes()
    assert b"servings: 2" in dish.read_bytes()


def test_a_file_as_it_was_read_is_changed(dish: Path) -> None:
    assert write_edit(str(dish), EDIT, as_read=read_source(str(dish)).texts[str(dish)])
    assert dish.read_bytes() == NEW


def test_what_is_written_between_reading_and_writing_stays(dish: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from scriptkit import editing

    def somebody_else_writes(text: str, *_: Any) -> str:
        dish.write_bytes(b"dish: theirs\n")
        return text + "\n"

    monkeypatch.setattr(editing, "edited", somebody_else_writes)
    assert problem(str(dish), EDIT).code == "changed-meanwhile"
    assert dish.read_bytes() == b"dish: theirs\n"
    assert [p.name for p in dish.parent.iterdir()] == ["tea.yaml"]


def test_nothing_is_written_where_the_disk_is_full(dish: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert "No space left" in problem(str(dish), EDIT).message
    assert dish.read_bytes() == DISH
    assert [p.name for p in dish.parent.iterdir()] == ["tea.yaml"]


def test_a_change_that_cannot_be_made_leaves_the_file(dish: Path) -> None:
    assert problem(str(dish), [*EDIT, Put(("nowhere", "x"), 1)]).code == "cannot-edit"
    assert dish.read_bytes() == DISH


@pytest.mark.parametrize("name", ["nothing.yaml", "a\0b.yaml", "."])
def test_what_cannot_be_opened_is_told(tmp_path: Path, name: str) -> None:
    assert problem(str(tmp_path / name), EDIT).code == "unreadable"


def test_other_text_than_utf_8_is_told(dish: Path) -> None:
    dish.write_bytes(b"dish: caf\xe9\n")
    with pytest.raises(CannotDo, match="not UTF-8"):
        write_edit(str(dish), EDIT)
