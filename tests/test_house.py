"""The house itself: what lies at the top, which way imports point, and that the papers about it are true."""

from __future__ import annotations

import ast
import functools
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
    "user_cache",
    "pattern_needs",
    "pattern_cache",
    "kept",
    "patterns",
    "process_limits",
    "file_in_hand",
    "problems",
    "video",
    "data_files",
    "typeface",
    "measure",
    "input_bytes",
    "json_depth",
    "csv_text",
    "timed_text",
    "drawing",
    "english",
    "pantry",
    "recipe",
    "drafting",
    "nutrition",
    "safety",
    "shoot",
    "cut",
    "captions",
    "publish",
    "preproduction",
    "checks",
    "clip_files",
    "postproduction",
    "production",
    "confirming",
    "what_if",
    "example_files",
    "next_step",
    "user_templates",
    "template_cache",
    "documents",
    "writing",
    "written_files",
    "editing",
    "burning",
    "overlay_clips",
    "fallback_fonts",
    "papers",
    "stage_server",
    "pack",
    "cli",
    "__main__",
]


@functools.cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@functools.cache
def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported_rooms(path: Path) -> Iterator[str]:
    for node in ast.walk(tree_of(path)):
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


@pytest.mark.parametrize("mine", FLOORS)
def test_imports_point_down(mine: str) -> None:
    files = [path for path in modules() if room(path) == mine]
    assert files
    reaching_up = {
        str(path.relative_to(PACKAGE)): above
        for path in files
        if (above := {r for r in imported_rooms(path) if FLOORS.index(r) > FLOORS.index(mine)})
    }
    assert not reaching_up


def public(body: list[ast.stmt], inside: str = "") -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    """Every public function and class, and the public methods of each, by its name; nested functions are nobody's but
    their own."""
    for node in body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            yield inside + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{inside}{node.name}.")


def test_a_class_name_has_one_meaning() -> None:
    defined: dict[str, list[str]] = {}
    for path in modules():
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                defined.setdefault(node.name, []).append(str(path.relative_to(PACKAGE)))
    assert {name: where for name, where in defined.items() if len(where) > 1} == {}


@functools.cache
def own_errors() -> dict[str, set[str]]:
    """The package's own exceptions, each with all that would catch it."""
    bases = {
        node.name: [ast.unparse(base).rpartition(".")[2] for base in node.bases]
        for path in modules()
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ClassDef)
    }

    def above(name: str) -> set[str]:
        return {name}.union(*(above(base) for base in bases.get(name, ())))

    known = {name: above(name) for name in bases}
    return {name: up | {"Exception"} for name, up in known.items() if up & {"Exception", "ValueError", "LookupError"}}


def let_out(node: ast.AST, caught: frozenset[str] = frozenset()) -> Iterator[str]:
    """Own exceptions that are raised in the node, and caught neither there nor by what stands around it."""
    if isinstance(node, ast.Raise) and node.exc is not None:
        raised = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
        name = ast.unparse(raised).rpartition(".")[2]
        if name in own_errors() and not own_errors()[name] & caught:
            yield name
    if isinstance(node, ast.Try):
        types = [h.type for h in node.handlers]
        here = {ast.unparse(t) for one in types if one for t in (one.elts if isinstance(one, ast.Tuple) else [one])}
        for inner in node.body:
            yield from let_out(inner, caught | here)
        for outer in (*node.handlers, *node.orelse, *node.finalbody):
            yield from let_out(outer, caught)
        return
    for child in ast.iter_child_nodes(node):
        yield from let_out(child, caught)


def undocumented(path: Path) -> Iterator[str]:
    """What a module lacks: its own docstring, those of what is public, and the own exceptions that a function raises and does not tell."""
    tree = tree_of(path)
    if not ast.get_docstring(tree):
        yield "the module"
    for name, node in public(tree.body):
        doc = ast.get_docstring(node) or ""
        if not doc:
            yield name
        elif isinstance(node, ast.FunctionDef) and "aises" not in doc:
            yield from (f"{name} raises {error}" for error in let_out(node) if error not in doc)


@pytest.mark.parametrize("mine", ["__init__", *FLOORS])
def test_all_that_is_public_says_what_it_gives_and_what_it_raises(mine: str) -> None:
    missing = {str(path.relative_to(PACKAGE)): list(undocumented(path)) for path in modules() if room(path) == mine}
    assert missing
    assert not {path: what for path, what in missing.items() if what}


def written_by_hand() -> list[Path]:
    """The program, its templates and its tests; not the golden files, nor the data of tests."""
    templates = [p for p in (ROOT / "templates").iterdir() if p.suffix in (".js", ".html", ".txt")]
    return [*modules(), *sorted(templates), *sorted((ROOT / "tests").rglob("*.py"))]


def test_no_file_is_longer_than_400_lines_and_each_says_what_it_is() -> None:
    begins = {".py": '"""', ".js": "// "}
    too_long, nameless = {}, []
    for path in written_by_hand():
        text = path.read_text(encoding="utf-8")
        name = str(path.relative_to(ROOT))
        if (lines := len(text.splitlines())) > 400:
            too_long[name] = lines
        if not text.startswith(begins.get(path.suffix, "")):
            nameless.append(name)
    assert (too_long, nameless) == ({}, [])


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
