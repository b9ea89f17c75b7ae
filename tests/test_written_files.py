"""A file that a person wrote is never written over by `-o FILE`; what the program wrote is, while nobody has changed it."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.problems import CannotDo
from scriptkit.written_files import not_over_own_work, record_written

Run = Callable[..., "subprocess.CompletedProcess[str]"]
SUPPER, CUT = str(EXAMPLES / "harbour-supper.yaml"), str(EXAMPLES / "harbour-supper-cut.srt")
OWN = "1\n00:00:01,000 --> 00:00:02,000\nMy own words, typed by hand.\n"


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache of the test's own."""
    folder = tmp_path / "cache"
    folder.mkdir(mode=0o700)
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))
    return folder


def commands(out: str) -> list[list[str]]:
    return [
        ["captions", SUPPER, "-o", out],
        ["conform", CUT, "--offset", "1", "-o", out],
        ["proof", CUT, "--fix", out],
    ]


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_persons_file_is_refused_and_force_overrides(run: Run, tmp_path: Path, number: int) -> None:
    out = tmp_path / "transcript.srt"
    out.write_text(OWN, encoding="utf-8")
    command = commands(str(out))[number]
    done = run(*command)
    assert done.returncode == 2
    assert "[own-work]" in done.stderr
    assert "--force" in done.stderr
    assert out.read_text(encoding="utf-8") == OWN
    assert run(*command, "--force").returncode in (0, 1)
    assert out.read_text(encoding="utf-8") != OWN


def test_what_the_program_wrote_is_written_again_until_somebody_changes_it(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "moved.srt"
    assert run("conform", CUT, "--offset", "1", "-o", str(out)).returncode in (0, 1)
    assert run("conform", CUT, "--offset", "2", "-o", str(out)).returncode in (0, 1)
    out.write_text(out.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert run("conform", CUT, "--offset", "3", "-o", str(out)).returncode == 2


def test_the_same_bytes_and_an_empty_file_are_nobodys_loss(tmp_path: Path) -> None:
    same, empty, missing = tmp_path / "same", tmp_path / "empty", tmp_path / "missing"
    same.write_bytes(b"a")
    empty.touch()
    not_over_own_work({same: b"a", empty: b"b", missing: b"c"})


def test_every_file_that_is_somebodys_is_told_and_a_record_is_of_a_path(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    for path in (one, other):
        path.write_bytes(b"a")
    record_written([one])
    not_over_own_work({one: b"b"})
    with pytest.raises(CannotDo) as wrong:
        not_over_own_work({one: b"b", other: b"b"})
    assert [p.place.file for p in wrong.value.problems] == [str(other)]


def test_without_a_cache_what_is_there_counts_as_a_persons(tmp_path: Path, cache: Path) -> None:
    cache.rmdir()
    cache.write_text("no folder", encoding="utf-8")
    path = tmp_path / "one"
    path.write_bytes(b"a")
    record_written([path])
    with pytest.raises(CannotDo):
        not_over_own_work({path: b"b"})
