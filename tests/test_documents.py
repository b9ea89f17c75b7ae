"""Templates to text, and files written whole or not at all."""

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

from scriptkit.documents import render, template_folder, write_all
from scriptkit.problems import CannotDo

OLD = {"a.txt": "old a\n", "b.txt": "old b\n", "notes.md": "the cook's own\n"}
NEW = {"a.txt": "new a ½\r\n", "b.txt": "new b\n", "c.txt": "new c\n"}


def contents(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): p.read_bytes().decode() for p in folder.rglob("*") if p.is_file()}


def old_folder(folder: Path) -> Path:
    folder.mkdir(parents=True)
    for name, text in OLD.items():
        (folder / name).write_bytes(text.encode())
    return folder


def problem(wrong: pytest.ExceptionInfo[CannotDo]) -> tuple[str, str, str]:
    (one,) = wrong.value.problems
    return one.place.file, one.code, one.message


# --- writing ---------------------------------------------------------------------------------------------------------


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


# --- templates -------------------------------------------------------------------------------------------------------


def own(folder: Path, text: str | bytes, name: str = "own.html") -> str:
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(folder)


def test_a_value_that_there_is_not_is_told(tmp_path: Path) -> None:
    folder = own(tmp_path / "t", "{{ title }} {{ titel }}")
    with pytest.raises(CannotDo) as wrong:
        render("own.html", folder, title="Bisque")
    assert problem(wrong) == (
        str(Path(folder) / "own.html"),
        "template",
        "the template cannot be filled in: 'titel' is undefined",
    )


def test_an_own_template_comes_before_ours_and_may_build_on_it(tmp_path: Path) -> None:
    text = '{% extends "page.html" %}{% block kind %}Own words{% endblock %}'
    folder = own(tmp_path / "t", text, "mise-en-place.html")
    page = {"title": "T", "made_by": "m", "cautions": [], "allergens": []}
    assert "Own words" in render("mise-en-place.html", folder, page=page)
    assert "Own words" not in render("mise-en-place.html", page=page, trays=[])


@pytest.mark.parametrize(
    "text",
    [
        "{% if %}",
        "{{ 1 / 0 }}",
        "{{ 1 + 'a' }}",
        "{{ title.nothing }}",
        "{{ 'x'|nofilter }}",
        "{% include 'no-such.html' %}",
        "{% extends 'own.html' %}",
        "{{ range(10 ** 9)|list }}",
        "{{ [].append(1) }}{{ (1).__class__ }}",
        b"\xff\xfe",
    ],
)
def test_an_own_template_that_goes_wrong_is_told_and_never_a_traceback(tmp_path: Path, text: str | bytes) -> None:
    with pytest.raises(CannotDo) as wrong:
        render("own.html", own(tmp_path / "t", text), title="Bisque")
    assert problem(wrong)[1] == "template"


@pytest.mark.parametrize(
    "text",
    [
        "{{ ''.__class__.__mro__ }}",
        "{{ title.__init__.__globals__ }}",
        "{{ cycler.__init__.__globals__.os }}",
        "{{ (title|attr('__class__')).__base__ }}",
        "{{ '{0.__class__}'.format(title).__class__ }}",
    ],
)
def test_the_sandbox_keeps_an_own_template_from_the_machine(tmp_path: Path, text: str) -> None:
    with pytest.raises(CannotDo):
        render("own.html", own(tmp_path / "t", text), title="Bisque")


def test_a_template_reads_no_file_outside_its_folders(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    with pytest.raises(CannotDo):
        render("own.html", own(tmp_path / "t", "{% include '../secret.txt' %}"))


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"),
        ("\"'><img src=x onerror=alert(1)>", "&#34;&#39;&gt;&lt;img src=x onerror=alert(1)&gt;"),
        ("{{ 7 * 7 }}{% for x in y %}", "{{ 7 * 7 }}{% for x in y %}"),
        ("salt\u202e\u2066\u200ftlas", "salttlas"),
        ("a & b", "a &amp; b"),
        ("crème fraîche — ½ 塩", "crème fraîche — ½ 塩"),
    ],
)
def test_hostile_names_are_text(name: str, printed: str) -> None:
    page = {
        "title": name,
        "made_by": name,
        "cautions": [{"where": name, "text": name, "source": name}],
        "allergens": [name],
    }
    tray = {
        "dish": name,
        "servings": "2",
        "bowls": [
            {"number": 1, "step": 1, "stage": "prep", "item": name, "grams": "1 g", "household": name, "cut": name}
        ],
        "vessels": [{"name": name, "steps": "step 1"}],
        "tools": [],
    }
    html = render("mise-en-place.html", page=page, trays=[tray])
    assert html.count(printed) >= 8
    assert "<script" not in html
    assert "<img" not in html
    assert "49" not in html
    assert not set("\u202e\u2066\u200f") & set(html)


def test_our_templates_are_where_they_are_looked_for() -> None:
    assert {p.name for p in template_folder().iterdir()} >= {"page.html", "shoot-list.html", "mise-en-place.html"}
