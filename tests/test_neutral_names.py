"""No broadcaster, streaming service, platform, camera, editing program or maker of kitchen tools is named in what the program prints, in an
example, or on a page. Where a limit comes from stands in the data, and is not printed. The help, packs and what commands print are
held against the same names by test_plain_english.py."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from neutral_names import TOOLS, named
from test_plain_english import _strings

from scriptkit.captions.profiles import profiles

Run = Callable[..., subprocess.CompletedProcess[str]]


def test_names_are_found() -> None:
    assert named("as on youtube, with a Microplane; an avid cook") == ["youtube", "Microplane"]
    assert named("the itvx, ebullient, canonical") == []


@pytest.mark.parametrize(
    "arguments",
    [
        *[["proof", str(EXAMPLES / "harbour-supper-cut.srt"), "--profile", profile] for profile in profiles()],
        *[
            ["captions", str(EXAMPLES / "harbour-supper.yaml"), "--profile", profile, "-o", "o.vtt"]
            for profile in profiles()
        ],
        ["captions", str(EXAMPLES / "harbour-supper.yaml"), "--profile", "none", "-o", "o.vtt"],
        ["coverage", str(EXAMPLES / "harbour-supper.yaml"), "--log", str(EXAMPLES / "harbour-supper-rough-takes.csv")],
        ["check", str(EXAMPLES / "faulty-chowder.yaml")],
    ],
    ids=lambda a: " ".join(Path(x).name for x in a),
)
def test_what_commands_print(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    done = run(*arguments)
    written = [p.read_text(encoding="utf-8") for p in tmp_path.glob("o.*")]
    assert done.stdout + done.stderr
    assert named("\n".join([done.stdout, done.stderr, *written])) == []


def test_examples_templates_and_the_readme() -> None:
    files = [
        p
        for folder in (EXAMPLES, ROOT / "templates")
        for p in sorted(folder.rglob("*"))
        if p.suffix not in (".png", ".pyc")
    ]
    files = [p for p in files if p.is_file()] + [ROOT / "README.md", *(ROOT / "scriptkit" / "docs").iterdir()]
    assert {p.name: found for p in files if (found := named(p.read_text(encoding="utf-8")))} == {}
    assert len(files) > 20


def test_messages_of_the_program() -> None:
    """Strings with a name in them are docstrings, which may cite a source."""
    modules = [ROOT / "scriptkit" / "cli", ROOT / "scriptkit" / "papers", ROOT / "scriptkit" / "captions" / "limits.py"]
    paths = [p for one in modules for p in ([one] if one.is_file() else sorted(one.rglob("*.py")))]
    assert {p.name: found for p in paths if (found := [n for text in _strings(p) for n in named(text)])} == {}
    assert len(paths) > 40


def test_the_tests_call_a_fine_grater_a_fine_grater() -> None:
    """Limits of captions are tested against the guides that publish them, which are cited; no tool needs its maker."""
    tools = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, TOOLS))})s?(?![\w-])", re.IGNORECASE)
    files = [
        p
        for p in (ROOT / "tests").rglob("*")
        if p.suffix in (".py", ".csv", ".txt", ".md") and p.name != "neutral_names.py" and p != Path(__file__)
    ]
    assert {
        p.name: found for p in files if (found := tools.findall(p.read_text(encoding="utf-8", errors="replace")))
    } == {}
    assert len(files) > 200
