"""The house itself: what lies at the top, which way imports point, and that the papers about it are true."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

Run = Callable[..., "subprocess.CompletedProcess[str]"]

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "scriptkit"

# From the ground up: a room may import those before it.
FLOORS = [
    "problems", "measure", "timed_text", "pantry", "recipe", "drafting", "nutrition", "safety", "shoot", "cut", "captions", "publish", "checks", "documents", "pages",
    "pages_on_set", "pages_script", "pages_mise", "pages_coverage", "pages_contact", "video", "burning", "pages_publish", "publishing", "covering", "pack", "commands", "manual", "options", "leaving", "cli", "__main__",
]  # fmt: skip


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported_rooms(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{a.name}" for a in node.names] if node.module == "scriptkit" else [node.module]
        for name in names:
            parts = name.split(".")
            if parts[0] == "scriptkit" and len(parts) > 1 and parts[1] in FLOORS:
                yield parts[1]


def test_the_walk_finds_the_house() -> None:
    assert len(modules()) > 30
    assert {room(p) for p in modules()} - {"__init__"} == set(FLOORS)


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_point_down(path: Path) -> None:
    mine = room(path)
    if mine == "__init__":
        return
    above = {r for r in imported_rooms(path) if FLOORS.index(r) > FLOORS.index(mine)}
    assert not above, f"{mine} reaches up to {above}"


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_no_file_is_longer_than_400_lines_and_each_says_what_it_is(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 400
    assert ast.get_docstring(ast.parse(text))


def test_the_top_level_is_what_the_readme_promises() -> None:
    if shutil.which("git") is None:
        pytest.skip("no git")
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    if listed.returncode or not listed.stdout:
        pytest.skip("not a git checkout")
    top = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert top == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "scriptkit", "templates", "tests", "examples", "LICENSE",
        ".gitignore", ".ci",
    }  # fmt: skip


def blocks(name: str) -> list[str]:
    return re.findall(r"```sh\n(.*?)```", (ROOT / name).read_text(encoding="utf-8"), re.DOTALL)


def test_ci_runs_the_readmes_test_command() -> None:
    command = next(b.strip() for b in blocks("README.md") if "pytest" in b)
    assert "\n" not in command
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*.yaml")), ids=lambda p: p.name)
def test_every_example_is_as_it_should_be(path: Path, run: Run) -> None:
    done = run("check", str(path))
    assert done.returncode == (1 if "faulty" in path.name else 0), done.stderr
