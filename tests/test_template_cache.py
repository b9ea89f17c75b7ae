"""Compiled templates lie in the user's cache folder: used again, never trusted, and never needed."""

from __future__ import annotations

import io
import marshal
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import jinja2
import pytest
from conftest import EXAMPLES, ROOT
from jinja2.bccache import Bucket, bc_magic

from scriptkit import template_cache
from scriptkit.documents import template_folder
from scriptkit.template_cache import CompiledTemplates, cache_folder


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of its own, without XDG_CACHE_HOME."""
    made = tmp_path / "home"
    made.mkdir()
    monkeypatch.setenv("HOME", str(made))
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    return made


class Kitchen:
    """An environment with one template of its own and a cache in a folder; counts what it compiles."""

    def __init__(self, folder: Path, text: str = "{{ what }} leeks", *, kind: str = "page") -> None:
        self.compiled = 0
        self.cache = CompiledTemplates(folder, kind)
        kitchen = self

        class Counting(jinja2.Environment):
            def _compile(self, source: str, filename: str) -> object:
                kitchen.compiled += 1
                return super()._compile(source, filename)

        self.environment = Counting(loader=jinja2.DictLoader({"a.html": text}), bytecode_cache=self.cache)

    def cook(self) -> str:
        return self.environment.get_template("a.html").render(what="300 g")


def test_what_was_compiled_is_used_again(tmp_path: Path) -> None:
    first, second = Kitchen(tmp_path), Kitchen(tmp_path)
    assert (first.cook(), first.compiled) == ("300 g leeks", 1)
    assert (second.cook(), second.compiled) == ("300 g leeks", 0)
    assert [p.name for p in tmp_path.iterdir()] == ["a.html.page"]  # nothing half-written is left beside it


def test_a_changed_template_is_compiled_anew_and_takes_the_place_of_the_old(tmp_path: Path) -> None:
    Kitchen(tmp_path).cook()
    changed = Kitchen(tmp_path, "{{ what }} of leeks")
    assert (changed.cook(), changed.compiled) == ("300 g of leeks", 1)
    assert len(list(tmp_path.iterdir())) == 1
    assert Kitchen(tmp_path, kind="text").cook() == "300 g leeks"
    assert sorted(p.suffix for p in tmp_path.iterdir()) == [".page", ".text"]


def damaged() -> list[tuple[str, Callable[[Path], None]]]:
    def cut(path: Path) -> None:
        path.write_bytes(path.read_bytes()[:-7])

    def flipped(at: int) -> Callable[[Path], None]:
        def flip(path: Path) -> None:
            raw = bytearray(path.read_bytes())
            raw[at % len(raw)] ^= 0x40
            path.write_bytes(bytes(raw))

        return flip

    def folder(path: Path) -> None:
        path.unlink()
        path.mkdir()

    return [
        ("empty", lambda path: path.write_bytes(b"") and None),
        ("cut short", cut),
        ("longer", lambda path: path.write_bytes(path.read_bytes() + b"x") and None),
        ("not ours", lambda path: path.write_bytes(os.urandom(3_000)) and None),
        ("of an older format", lambda path: path.write_bytes(path.read_bytes()[32:]) and None),
        ("far too large", lambda path: path.write_bytes(bytes(3_000_000)) and None),
        ("a folder", folder),
        *[(f"bit {at}", flipped(at)) for at in (0, 31, 32, 40, 77, 100, 200, 333, -1)],
    ]


@pytest.mark.parametrize(("how", "damage"), damaged())
def test_a_damaged_file_is_compiled_anew(how: str, damage: Callable[[Path], None], tmp_path: Path) -> None:
    Kitchen(tmp_path).cook()
    damage(tmp_path / "a.html.page")
    again = Kitchen(tmp_path)
    assert (again.cook(), again.compiled) == ("300 g leeks", 1), how


def test_code_that_was_put_there_is_not_run(tmp_path: Path) -> None:
    """Made as jinja itself would write it, for this very template; only our digest is not on it."""
    kitchen = Kitchen(tmp_path)
    kitchen.cook()
    sly = compile("open('was-run', 'w')", "a.html", "exec")
    bucket = Bucket(kitchen.environment, "a.html.page", kitchen.cache.get_source_checksum("{{ what }} leeks"))
    bucket.code = sly
    out = io.BytesIO()
    bucket.write_bytecode(out)
    assert out.getvalue().startswith(bc_magic) and marshal.dumps(sly) in out.getvalue()
    (tmp_path / "a.html.page").write_bytes(bytes(32) + out.getvalue())
    again = Kitchen(tmp_path)
    assert (again.cook(), again.compiled) == ("300 g leeks", 1)
    assert not Path("was-run").exists()


def test_one_version_does_not_read_what_another_wrote(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    now = cache_folder()
    monkeypatch.setattr(template_cache, "__version__", "9.9.9")
    later = cache_folder()
    assert now is not None and later is not None and now != later
    assert {now.parent, later.parent} == {home / ".cache" / "scriptkit"} or sys.platform != "linux"
    assert "9.9.9" in later.name


@pytest.mark.skipif(os.name == "nt", reason="permissions of another kind")
def test_a_folder_that_others_can_write_to_is_not_read(home: Path) -> None:
    folder = cache_folder()
    assert folder is not None and folder.is_relative_to(home)
    assert folder.stat().st_mode & 0o077 == 0
    folder.chmod(0o777)
    assert cache_folder() is None
    folder.chmod(0o700)
    assert cache_folder() == folder
    folder.rename(folder.with_name("elsewhere"))
    folder.symlink_to("elsewhere")
    assert cache_folder() is None


@pytest.mark.skipif(os.name == "nt", reason="owners of another kind")
def test_a_home_of_somebody_else_is_left_alone(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As under sudo, where HOME is still that of the person who asked."""
    monkeypatch.setattr(os, "geteuid", lambda: home.stat().st_uid + 1)
    assert cache_folder() is None
    assert list(home.iterdir()) == []


@pytest.mark.parametrize("where", ["no such home", "a file"])
def test_without_a_home_that_can_be_written_to_there_is_no_cache(
    where: str, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    gone = {"no such home": tmp_path / "gone", "a file": tmp_path / "file"}[where]
    monkeypatch.setenv("HOME", str(gone))
    assert cache_folder() is None
    assert not (tmp_path / "gone").exists() and list(home.iterdir()) == []


def test_where_no_home_is_known_at_all_nothing_is_made_in_the_current_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *_, **__: Path("~/.cache/scriptkit"))
    assert cache_folder() is None
    assert list(tmp_path.iterdir()) == []


def test_a_cache_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    for _ in range(2):
        kitchen = Kitchen(tmp_path / "gone")
        assert (kitchen.cook(), kitchen.compiled) == ("300 g leeks", 1)


def test_a_command_writes_to_the_cache_and_nothing_beside_the_templates(home: Path, tmp_path: Path) -> None:
    before = {p for top in ("templates", "scriptkit") for p in (ROOT / top).rglob("*") if p.suffix != ".pyc"}
    command = [sys.executable, "-m", "scriptkit", "publish", str(EXAMPLES / "seared-hake.yaml"), "-o"]
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    for folder in ("one", "two"):
        done = subprocess.run([*command, folder], cwd=tmp_path, env=env, capture_output=True, check=False)
        assert done.returncode in (0, 1), done.stderr
    kept = [p for p in home.rglob("*") if p.is_file()]
    assert {"recipe-card.html.page", "description.txt.text"} <= {p.name for p in kept}
    assert {p for top in ("templates", "scriptkit") for p in (ROOT / top).rglob("*") if p.suffix != ".pyc"} == before
    assert not (template_folder() / "__pycache__").exists()
    for name in ("recipe-card.html", "description.txt"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
