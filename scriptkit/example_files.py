"""The examples that `--help` and the README name: which there are, and what each needs beside it."""

from __future__ import annotations

import re
from pathlib import Path

_NAMED = re.compile(r"\b[\w-]+\.yaml\b")
_LAID_OUT = (".yaml", ".srt", ".csv")


def examples_folder() -> Path:
    """The examples inside the package in a wheel, at the top of a checkout."""
    inside = Path(__file__).parent / "examples"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "examples"


def example_names() -> list[str]:
    """The names of the dishes and meals, in alphabetical order."""
    return sorted(p.stem for p in examples_folder().glob("*.yaml"))


def example_title(name: str) -> str:
    """Which kind it is and what it calls itself: “meal: Harbour supper”."""
    text = (examples_folder() / f"{name}.yaml").read_text(encoding="utf-8")
    return next((line for line in text.splitlines() if line.startswith(("dish:", "meal:"))), "")


def example_files(name: str) -> list[Path]:
    """The files of an example: the recipe, its cuts and take logs, and every dish that it is made of. Raises KeyError where
    there is none of that name."""
    if name not in example_names():
        raise KeyError(name)
    folder = examples_folder()
    found: dict[str, Path] = {}
    wanted = [f"{name}.yaml"]
    while wanted:
        path = folder / wanted.pop()
        if path.name in found or not path.is_file():
            continue
        found[path.name] = path
        wanted += _NAMED.findall(_without_comments(path))
        for beside in folder.glob(f"{path.stem}-*"):
            if beside.suffix in _LAID_OUT:
                found[beside.name] = beside
    return [found[key] for key in sorted(found)]


def _without_comments(path: Path) -> str:
    return "\n".join(line.split("#", 1)[0] for line in path.read_text(encoding="utf-8").splitlines())
