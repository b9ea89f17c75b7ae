"""What a cook does next with a recipe, by the files that are there: recipe → check → pack → take log → coverage → captions → publish."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

MOST_BYTES = 2_000_000
"""Of a file that is looked into; a recipe or a log is smaller."""
MOST_FILES = 2000
"""That are looked at in a folder and the folders in it."""
_RECIPE = re.compile(r"^(?:dish|meal):\s*(.+?)\s*(?:#.*)?$", re.MULTILINE)
_GUESS = re.compile(r"^[^#\n]*\bunsure:", re.MULTILINE)
_CAPTIONS = (".srt", ".vtt")


@dataclass(frozen=True, slots=True)
class RecipeFile:
    """A dish or a meal, as its file calls it. ``guesses``: something in it has `unsure:`."""

    path: Path
    name: str
    guesses: bool


def recipes_in(folder: Path) -> tuple[RecipeFile, ...]:
    """The dishes and meals that lie in a folder, by name."""
    found = (recipe_at(path) for path in sorted(folder.glob("*.yaml")) if path.is_file())
    return tuple(recipe for recipe in found if recipe is not None)


def recipe_at(path: Path) -> RecipeFile | None:
    """The recipe in a file; None where it is none, or cannot be read."""
    text = _text(path)
    named = _RECIPE.search(text)
    if named is None:
        return None
    return RecipeFile(path=path, name=named[1].strip("\"'"), guesses=_GUESS.search(text) is not None)


def next_step(recipe: RecipeFile, *, checked: bool = False) -> str:
    """The next command, to be copied as it stands, with what to do before it where a person must. ``checked``: nothing is wrong in the
    file."""
    source = _shell(recipe.path)
    there = tuple(_files(recipe.path.parent))
    pack = _newest(p for p in there if p.name == "index.html" and recipe.name in _text(p, 20_000))
    if recipe.guesses:
        return f"scriptkit confirm {source}"
    if pack is None and not checked:
        return f"scriptkit check {source}"
    if pack is None or _older(pack, recipe.path):
        return f"scriptkit pack {source} -o {_shell(pack.parent) if pack else 'pack'}"
    cut = _newest(p for p in there if p.suffix in _CAPTIONS and p.name.startswith(recipe.path.stem))
    return _after_the_cut(recipe, there, pack, cut) if cut else _before_the_cut(recipe, there, pack)


def _before_the_cut(recipe: RecipeFile, there: Sequence[Path], pack: Path) -> str:
    source, binder = _shell(recipe.path), _shell(pack.parent)
    log = _newest(p for p in there if p.suffix == ".csv" and _is_log_of(p, recipe.name))
    if log is None:
        return f"film with {_shell(pack.parent / 'stage.html')}, save its log, then scriptkit coverage {source} --log LOG.csv -o {binder}"
    coverage = _newest(p for p in there if p.name == "coverage.html" and recipe.name in _text(p, 20_000))
    if coverage is None or _older(coverage, log):
        return f"scriptkit coverage {source} --log {_shell(log)} -o {binder}"
    return f"cut the video, then scriptkit captions {source} --cut TRANSCRIPT.srt -o overlays.srt"


def _after_the_cut(recipe: RecipeFile, there: Sequence[Path], pack: Path, cut: Path) -> str:
    source = _shell(recipe.path)
    published = _newest(p for p in there if p.name == "description.txt" and p.parent != pack.parent)
    captions = _newest(p for p in there if p.stem == "overlays" and p.parent.name != "files")
    if captions is None or _older(captions, cut):
        return f"scriptkit captions {source} --cut {_shell(cut)} -o {_shell(recipe.path.parent / 'overlays.srt')}"
    if published is None or _older(published, cut):
        return f"scriptkit publish {source} --cut {_shell(cut)} -o {_shell(recipe.path.parent / 'publish')}"
    return ""


def _files(folder: Path) -> Iterator[Path]:
    """Those of the folder and of the folders in it, and of the machines' folder of a pack."""
    count = 0
    for pattern in ("*", "*/*", "*/files/*"):
        for path in sorted(folder.glob(pattern)):
            count += 1
            if count > MOST_FILES:
                return
            if path.is_file():
                yield path


def _is_log_of(path: Path, name: str) -> bool:
    head, _, rows = _text(path).lstrip("\ufeff").partition("\n")
    columns = {c.strip(' "').casefold() for c in re.split("[,;\t]", head)}
    return "verdict" in columns and bool(columns & {"step", "scene"}) and ("title" not in columns or name in rows)


def _newest(paths: Iterator[Path]) -> Path | None:
    return max(paths, key=_changed, default=None)


def _older(path: Path, than: Path) -> bool:
    return _changed(path) < _changed(than)


def _changed(path: Path) -> int:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def _text(path: Path, most: int = MOST_BYTES) -> str:
    """The beginning of a file; empty where it cannot be read."""
    try:
        with path.open("rb") as file:
            return file.read(most).decode("utf-8", errors="replace")
    except OSError:
        return ""


def _shell(path: Path) -> str:
    """As it can be pasted into a shell."""
    return shlex.quote(path.as_posix())
