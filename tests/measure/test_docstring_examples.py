"""The examples in the docstrings of the whole package are true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest
from conftest import ROOT

import scriptkit

EVERY = [
    "scriptkit",
    *sorted(m.name for m in pkgutil.walk_packages(scriptkit.__path__, "scriptkit.") if not m.name.endswith("__main__")),
]


def text_of(name: str) -> str:
    path = ROOT.joinpath(*name.split("."))
    return (path / "__init__.py" if path.is_dir() else path.with_suffix(".py")).read_text(encoding="utf-8")


MODULES = [name for name in EVERY if ">>> " in text_of(name)]


@pytest.mark.parametrize("name", MODULES)
def test_docstring_examples(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = doctest.testmod(importlib.import_module(name))
    assert found.failed == 0


def test_there_are_docstring_examples() -> None:
    finder = doctest.DocTestFinder()
    examples = [e for name in MODULES for t in finder.find(importlib.import_module(name)) for e in t.examples]
    assert len(examples) >= 10
