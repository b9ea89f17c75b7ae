"""What is written here can be written anywhere: names that Windows keeps for itself, disks that tell no cases apart, consoles of another
code page, paths that are long."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.cli import pack_folder
from scriptkit.cli.exit_codes import _ready
from scriptkit.cli.new import slug
from scriptkit.cli.overlays import clip_name
from scriptkit.pack import make_pack
from scriptkit.papers.stage import file_name
from scriptkit.production import read
from scriptkit.writing import write_all
from scriptkit.written_files import write_folder

Run = Callable[..., "subprocess.CompletedProcess[str]"]
HAKE = str(EXAMPLES / "seared-hake.yaml")
TITLES = [
    "Con",
    "aux",
    "NUL.",
    "com1",
    "LPT9",
    "a:b",
    "What? *Soup*",
    "x" * 300,
    "Suppe/Brühe",
    "..",
    " ",
    "鍋",
    "trailing dot.",
    "a\\b",
    "tab\there",
]
# Microsoft, Naming Files, Paths, and Namespaces (from memory)
KEPT = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?", re.IGNORECASE)
NEVER = re.compile(r'[<>:"/\\|?*\x00-\x1f]|[. ]$|^$')


def is_a_name_anywhere(name: str) -> bool:
    return not (KEPT.fullmatch(name) or NEVER.search(name)) and len(name.encode("utf-8")) <= 200


@pytest.mark.parametrize("title", TITLES)
def test_a_title_makes_a_name_that_every_system_takes(title: str) -> None:
    assert is_a_name_anywhere(f"{slug(title)}.yaml")
    assert is_a_name_anywhere(f"{file_name(title)}-takes.csv")
    cue = replace(read(HAKE).cues[0], lines=(title,))
    assert is_a_name_anywhere(f"{clip_name(1, cue)}.mov")


def test_the_files_of_a_pack_are_names_anywhere_and_no_two_differ_by_case_alone() -> None:
    names = list(make_pack(read(HAKE)).files)
    assert all(is_a_name_anywhere(part) for name in names for part in name.split("/"))
    assert len({name.casefold() for name in names}) == len(names)


def test_recipes_that_differ_by_case_alone_get_packs_that_do_not(tmp_path: Path) -> None:
    for name in ("Soup.yaml", "soup.yaml", "soup.yml", "stew.yaml"):
        shutil.copy(HAKE, tmp_path / name)
    found = [pack for _, pack in pack_folder.recipes_in(str(tmp_path))]
    if len(found) == 4:  # this disk tells cases apart, and the next one may not
        assert sorted(found) == ["Soup.yaml", "soup.yaml", "soup.yml", "stew"]


@pytest.fixture
def no_cases(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder whose disk takes *Report.txt* for *report.txt*."""
    folder = tmp_path / "disk"
    folder.mkdir()
    for name in ("is_file", "exists", "replace", "open", "read_bytes", "stat", "unlink"):
        real = getattr(Path, name)

        def meant(self: Path, *given: object, real: Callable[..., object] = real, **more: object) -> object:
            return real(_on_the_disk(self, folder), *(_on_the_disk(g, folder) for g in given), **more)

        monkeypatch.setattr(Path, name, meant)
    return folder


def _on_the_disk(path: object, folder: Path) -> object:
    if not isinstance(path, Path) or path.parent != folder:
        return path
    return next((there for there in folder.iterdir() if there.name.casefold() == path.name.casefold()), path)


def test_what_a_person_named_in_other_cases_is_kept(no_cases: Path) -> None:
    (no_cases / "Report.TXT").write_text("mine")
    done = write_folder(str(no_cases), {"report.txt": "ours", "script.txt": "ours"})
    assert (done.names, [p.code for p in done.kept]) == (("script.txt",), ["own-work"])
    assert (no_cases / "Report.TXT").read_text() == "mine"


def test_a_failure_brings_back_what_stood_there_in_other_cases(no_cases: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (no_cases / "A.TXT").write_text("old")
    real, calls = Path.replace, iter(range(10))

    def fails_at_the_second(self: Path, target: Path) -> Path:
        if next(calls) == 1:
            raise OSError(28, "No space left on device")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", fails_at_the_second)
    with pytest.raises(Exception, match="nothing was written"):
        write_all(str(no_cases), {"a.txt": "new", "b.txt": "new"})
    assert (no_cases / "A.TXT").read_text() == "old"


@pytest.mark.parametrize("page", ["cp1252", "cp437", "cp932", "ascii", "utf-16"])
def test_a_console_of_another_code_page_gets_every_word(page: str) -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=page)
    ready = _ready(stream)
    ready.write("½ cup of crème fraîche, 180 °C → 鍋\n")
    ready.flush()
    assert raw.getvalue().decode("utf-8").rstrip() == "½ cup of crème fraîche, 180 °C → 鍋"


@pytest.mark.skipif(sys.platform == "win32", reason="there a switch of the system decides")
def test_a_path_longer_than_old_systems_take_is_written_and_read(run: Run, tmp_path: Path) -> None:
    deep = tmp_path.joinpath(*["a folder of a long name" * 4] * 4)
    deep.mkdir(parents=True)
    assert len(str(deep)) > 260
    shutil.copy(HAKE, deep / "hake.yaml")
    done = run("shoot", str(deep / "hake.yaml"), "-o", str(deep / "out"))
    assert done.returncode in (0, 1), done.stderr
    assert (deep / "out" / "index.html").is_file()
