"""The library: the same verbs as the commands, light to import, typed for whoever imports it; and the form of the JSON."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, ROOT, Table

import scriptkit
from scriptkit.cli import app

Run = Callable[..., "CompletedProcess[str]"]

SUPPER, HAKE = str(EXAMPLES / "harbour-supper.yaml"), str(EXAMPLES / "seared-hake.yaml")
CUT, LOG = str(EXAMPLES / "harbour-supper-cut.srt"), str(EXAMPLES / "harbour-supper-takes.csv")

JSON_COMMANDS = {
    "confirm": [HAKE],
    "check": [HAKE],
    "macros": [SUPPER],
    "portion": [SUPPER, "--at-most", "net_carbs_g=40"],
    "pair": [HAKE, "--with", str(EXAMPLES), "--at-most", "net_carbs_g=40"],
    "schedule": [HAKE],
    "buying": [HAKE],
    "food": ["butter"],
    "pack": [HAKE, "-o", "pack"],
    "shoot": [HAKE, "-o", "shoot"],
    "paper-edit": [SUPPER, "--log", LOG, "-o", "edit"],
    "coverage": [SUPPER, "--cut", CUT],
    "captions": [HAKE, "-o", "o.srt"],
    "proof": [CUT],
    "publish": [HAKE, "-o", "publish"],
    "overlays": [HAKE, "-o", "overlays", "--as", "none"],
}


def test_every_command_with_json_is_among_them() -> None:
    """`preview` needs ffmpeg; its test stands beside it (tests/outside/test_preview.py)."""
    with_json = {
        command.name
        for command in app.registered_commands
        if command.callback is not None and "json" in command.callback.__annotations__
    }
    assert with_json - {"preview"} == set(JSON_COMMANDS)


@pytest.mark.parametrize(("command", "arguments"), JSON_COMMANDS.items(), ids=JSON_COMMANDS)
def test_json_begins_with_its_format(command: str, arguments: list[str], run: Run) -> None:
    found = json.loads(run(command, *arguments, "--json").stdout)
    assert next(iter(found.items())) == ("format", 1)
    assert len(found) > 1


def test_json_of_a_folder_and_of_a_file_that_cannot_be_read_has_its_format_too(run: Run, table: Table) -> None:
    assert json.loads(run("pack", str(EXAMPLES), "-o", "packs", "--json").stdout)["format"] == 1
    done = run("check", table.write("no.yaml", "dish: [\n"), "--json")
    assert (done.returncode, json.loads(done.stdout)["format"]) == (2, 1)


def test_the_library_computes_what_the_command_prints(run: Run) -> None:
    macros = json.loads(run("macros", HAKE, "--json").stdout)
    serving = scriptkit.read(HAKE).macros.dishes[0].serving
    assert macros["serving"]["protein_g"] == pytest.approx(serving.at_least("protein_g"), abs=0.06)
    problems = json.loads(run("check", SUPPER, "--json").stdout)["problems"]
    assert [p.as_json() for p in scriptkit.read(SUPPER).problems] == problems


def test_text_is_read_as_its_file_is() -> None:
    text = Path(SUPPER).read_text(encoding="utf-8")
    of_text, of_file = scriptkit.read_text(text, SUPPER), scriptkit.read(Path(SUPPER))
    assert of_text.source == of_file.source
    assert of_text.problems == of_file.problems
    assert of_text.captions("srt") == of_file.captions("srt")


def test_problems_of_a_file_with_an_error_are_told_and_the_rest_raises(table: Table) -> None:
    production = scriptkit.read_text("dish: Leeks\nservings: 2\ningredients: {leek: 300 grumms}\n", "leeks.yaml")
    assert [p.place.file for p in production.problems if p.severity == "error"] == ["leeks.yaml"]
    with pytest.raises(scriptkit.CannotDo) as wrong:
        _ = production.macros
    assert {p.code for p in wrong.value.problems} <= {p.code for p in production.problems}
    with pytest.raises(scriptkit.CannotDo, match="captions are not written as"):
        scriptkit.read(HAKE).captions("doc")
    with pytest.raises(scriptkit.CannotDo):
        scriptkit.read(table.folder / "none.yaml")


def test_each_result_is_computed_once_and_kept_with_its_production() -> None:
    one, other = scriptkit.read(HAKE), scriptkit.read(HAKE)
    for name in ("macros", "plan", "shots", "schedule", "script", "cautions", "cues", "chapters"):
        assert getattr(one, name) is getattr(one, name), name
        assert getattr(one, name) is not getattr(other, name), name


def test_importing_the_package_loads_nothing_heavy() -> None:
    """And what it offers is there: `__all__` is true."""
    probe = "import sys, scriptkit; print(sorted(m for m in sys.modules if m.startswith('scriptkit.') or m in ('yaml', 'pydantic')))"
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, encoding="utf-8", check=True, cwd=ROOT)
    assert done.stdout.strip() == "[]"
    assert all(getattr(scriptkit, name) is not None for name in scriptkit.__all__)
    with pytest.raises(AttributeError, match="no attribute 'pan'"):
        _ = scriptkit.pan


def test_the_readmes_python_runs(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """The macros of a dish in three lines, the captions of a cut in five."""
    monkeypatch.chdir(ROOT)
    blocks = re.findall(
        r"```python\n(.*?)```", (ROOT / "scriptkit" / "docs" / "reference.md").read_text(encoding="utf-8"), re.DOTALL
    )
    assert [len([line for line in block.splitlines() if line]) for block in blocks] == [3, 5]
    printed = []
    for block in blocks:
        exec(block, {})
        printed.append(capsys.readouterr().out)
    assert float(printed[0]) == pytest.approx(29.4, abs=0.05)  # as `scriptkit macros` prints it
    assert printed[1].startswith("WEBVTT")
    assert "examples/" in printed[1]  # a problem has its file


FOREIGN = """
from pathlib import Path

import scriptkit


def protein_g(path: Path) -> float:
    return scriptkit.read(path).macros.dishes[0].serving.at_least("protein_g")


def captions(path: str, cut: str) -> tuple[str, list[scriptkit.Problem]]:
    production: scriptkit.Production = scriptkit.read(path, cut=cut)
    return production.captions("vtt"), list(production.problems)


wrong: int = scriptkit.read_text("dish: Leeks").captions()  # type: ignore[assignment]
"""
"""The last line is wrong on purpose: were the library untyped, mypy would find nothing to ignore there."""


def test_a_project_that_imports_it_passes_mypy_strict(tmp_path: Path) -> None:
    pytest.importorskip("mypy", reason="mypy is not installed")
    (tmp_path / "theirs.py").write_text(FOREIGN, encoding="utf-8")
    command = [sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(tmp_path / "cache"), "theirs.py"]
    env = os.environ | {"PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, capture_output=True, encoding="utf-8", check=False, cwd=tmp_path, env=env)
    assert done.returncode == 0, done.stdout
    assert re.search(r"no issues found in 1 source file", done.stdout)


def test_a_name_that_there_is_not_is_answered_with_those_that_there_are() -> None:
    with pytest.raises(KeyError, match=r"there is no “proteen”.*protein_g"):
        scriptkit.read(str(EXAMPLES / "seared-hake.yaml")).macros.dishes[0].serving.figure("proteen")
    assert dir(scriptkit) == sorted(scriptkit.__all__)
