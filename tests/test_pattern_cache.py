"""Compiled expressions that are kept are those that would be compiled, and nothing else is taken for one."""

from __future__ import annotations

import importlib
import marshal
import os
import pkgutil
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import scriptkit
from scriptkit import pattern_cache
from scriptkit.pattern_cache import KeptPatterns, keep_patterns, kept_patterns
from scriptkit.pattern_needs import needs_of
from scriptkit.patterns import LazyPattern

PATTERN = r"\b(?P<what>leeks?|(?:spring )?onions?)(?: in)?\b"
LETTERS = r"ab(|)?:*+[]{}^$.\d-=<!P2i,"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "patterns"


@pytest.fixture
def kept(file: Path) -> Path:
    """The file with an expression in it."""
    first = KeptPatterns(file)
    first.compiled(PATTERN, re.IGNORECASE)
    first.needs(PATTERN)
    first.keep()
    return file


def test_what_was_kept_is_what_would_be_compiled(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    again = KeptPatterns(kept)
    monkeypatch.setattr(re, "compile", None)
    monkeypatch.setattr(pattern_cache, "_code_of", None)
    found = again.compiled(PATTERN, re.IGNORECASE)
    monkeypatch.undo()
    assert found == re.compile(PATTERN, re.IGNORECASE)
    match = found.search("two SPRING ONIONS in")
    assert match and match["what"] == "SPRING ONIONS" and match.groupdict() == {"what": "SPRING ONIONS"}
    assert again.needs(PATTERN) == needs_of(PATTERN)


def lazy_patterns() -> list[LazyPattern]:
    modules = [
        importlib.import_module(m.name)
        for m in pkgutil.walk_packages(scriptkit.__path__, "scriptkit.")
        if "__main__" not in m.name
    ]
    return [one for module in modules for one in vars(module).values() if isinstance(one, LazyPattern)]


def test_every_expression_of_the_house_is_the_same_from_its_code(file: Path) -> None:
    ours = lazy_patterns()
    assert len(ours) > 200
    first = KeptPatterns(file)
    for one in ours:
        first.compiled(one.pattern, one.flags)
    first.keep()
    again = KeptPatterns(file)
    assert all(again.compiled(one.pattern, one.flags) == re.compile(one.pattern, one.flags) for one in ours)
    assert file.stat().st_size < pattern_cache.LARGEST_BYTES / 4


@pytest.mark.filterwarnings("ignore::FutureWarning")  # of sets in sets
@given(st.text(alphabet=LETTERS, max_size=12), st.sampled_from([0, re.IGNORECASE, re.MULTILINE | re.DOTALL]))
def test_any_expression(pattern: str, flags: int) -> None:
    kept = KeptPatterns(Path("nowhere"))  # never written
    try:
        meant = re.compile(pattern, flags)
    except re.error:
        with pytest.raises(re.error):
            kept.compiled(pattern, flags)
        return
    assert kept.compiled(pattern, flags) == meant
    assert kept.compiled(pattern, flags).groupindex == meant.groupindex


@pytest.mark.parametrize("spoilt", ["cut", "a byte", "empty", "another's", "no table"])
def test_a_file_that_is_not_whole_is_compiled_anew(kept: Path, spoilt: str) -> None:
    whole = kept.read_bytes()
    table = marshal.dumps("no table")
    kept.write_bytes({
        "cut": whole[:-5], "a byte": whole[:60] + bytes([whole[60] ^ 1]) + whole[61:], "empty": b"",
        "another's": bytes(32) + whole[32:], "no table": pattern_cache._digest(table) + table,
    }[spoilt])  # fmt: skip
    again = KeptPatterns(kept)
    assert again.compiled(PATTERN, re.IGNORECASE) == re.compile(PATTERN, re.IGNORECASE)


def test_code_that_the_engine_refuses_is_compiled_anew(file: Path) -> None:
    sly = marshal.dumps(({(PATTERN, 0): (32, bytes(400), 1, {}, (None, None))}, {}))
    file.write_bytes(pattern_cache._digest(sly) + sly)
    assert KeptPatterns(file).compiled(PATTERN) == re.compile(PATTERN)


def test_where_nothing_can_be_kept_it_is_compiled(tmp_path: Path) -> None:
    for place in (None, tmp_path / "no" / "folder"):
        kept = KeptPatterns(place)
        assert kept.compiled(PATTERN) == re.compile(PATTERN)
        kept.keep()
    assert list(tmp_path.iterdir()) == []


def test_an_interpreter_of_another_build_compiles(monkeypatch: pytest.MonkeyPatch, file: Path) -> None:
    monkeypatch.setattr("re._compiler._code", None)
    assert KeptPatterns(file).compiled(PATTERN) == re.compile(PATTERN)
    kept_patterns.cache_clear()
    monkeypatch.setattr(pattern_cache, "_magic", lambda: 0)
    assert kept_patterns()._file is None
    kept_patterns.cache_clear()


def test_too_many_begin_anew(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pattern_cache, "MOST", 3)
    first = KeptPatterns(file)
    for n in range(5):
        first.compiled(f"{n} leeks")
    first.keep()
    assert KeptPatterns(file)._codes == {}


def test_a_command_keeps_what_it_compiled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *_, **__: tmp_path)
    kept_patterns.cache_clear()
    assert LazyPattern(PATTERN).search("one leek")
    keep_patterns()
    (written,) = (tmp_path / "patterns").iterdir()
    before = written.stat().st_mtime_ns
    keep_patterns()  # nothing new
    assert written.stat().st_mtime_ns == before
    assert os.name == "nt" or written.parent.stat().st_mode & 0o077 == 0
    kept_patterns.cache_clear()
