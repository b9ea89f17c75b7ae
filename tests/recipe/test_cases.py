"""Recipes as files: those in valid/ have nothing wrong; those in invalid/ end with what must be told of them.

An invalid file ends with lines of ``# expect: LINE:COLUMN code words``: exactly these are told, in any severity, and the
words (left out: any) stand in the message or the hint. Captions that find no room are held in tests/captions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from scriptkit.checks import check
from scriptkit.preproduction import Preproduction
from scriptkit.problems import CannotDo, Problem, in_order
from scriptkit.recipe.reader import read_source

HERE = Path(__file__).parent
VALID = sorted((HERE / "valid").glob("*.yaml"))
INVALID = sorted((HERE / "invalid").glob("*.yaml"))


@dataclass(frozen=True)
class Expected:
    line: int
    column: int
    code: str
    words: str


def expected_of(path: Path) -> list[Expected]:
    text = path.read_text(encoding="utf-8")
    rows = re.findall(r"^# expect: (\d+):(\d+) (\S+) ?(.*)$", text, re.MULTILINE)
    assert len(rows) == text.count("# expect"), f"an `# expect` line in {path.name} is not LINE:COLUMN code words"
    return [Expected(int(line), int(column), code, words) for line, column, code, words in rows]


def problems_of(path: Path) -> list[Problem]:
    try:
        reading = read_source(str(path))
    except CannotDo as wrong:
        return list(wrong.problems)
    found = check(Preproduction(reading.source)) if reading.source is not None else []
    return in_order(p for p in (*reading.problems, *found) if not p.code.startswith("caption-"))


def test_there_are_cases() -> None:
    assert len(VALID) >= 8
    assert len(INVALID) >= 25


@pytest.mark.parametrize("path", VALID, ids=lambda p: p.stem)
def test_nothing_is_wrong(path: Path) -> None:
    assert problems_of(path) == []


@pytest.mark.parametrize("path", INVALID, ids=lambda p: p.stem)
def test_what_is_wrong_is_told_where_it_stands(path: Path) -> None:
    found, expected = problems_of(path), expected_of(path)
    assert expected, f"{path.name} has no `# expect:` lines"
    told = [f"{p.place.line}:{p.place.column} {p.code}" for p in found]
    assert told == [f"{e.line}:{e.column} {e.code}" for e in expected]
    for problem, wanted in zip(found, expected, strict=True):
        assert wanted.words in f"{problem.message} | {problem.hint}"
        assert problem.place.file == str(path)


@pytest.mark.parametrize("path", INVALID, ids=lambda p: p.stem)
def test_every_message_is_a_sentence_for_a_cook(path: Path) -> None:
    jargon = re.compile(r"pydantic|Traceback|\bNone\b|\bdict\b|\[length\]|validation|type=|mapping value")
    for problem in problems_of(path):
        assert problem.message
        assert not jargon.search(problem.message + problem.hint)
        assert len(problem.message) < 300
