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
    """The dishes and meals that lie in a folder, by name; a dish of one of them is not listed by itself."""
    listed = sorted([*folder.glob("*.yaml"), *folder.glob("*.yml")])
    paths = [path for path in listed if path.is_file()][:MOST_FILES]
    found = [recipe for recipe in map(recipe_at, paths) if recipe is not None]
    texts = {one.path: _text(one.path) for one in found}
    return tuple(one for one in found if not any(_names(text, one.path) for p, text in texts.items() if p != one.path))


def _names(text: str, path: Path) -> bool:
    return re.search(rf"\bdish: *[\"']?(?:\./)?{re.escape(path.name)}", text) is not None


def recipe_at(path: Path) -> RecipeFile | None:
    """The recipe in a file; None where it is none, or cannot be read."""
    text = _text(path)
    named = _RECIPE.search(text)
    if named is None:
        return None
    return RecipeFile(path=path, name=named[1].strip("\"'"), guesses=_GUESS.search(text) is not None)


def next_step(
    recipe: RecipeFile, *, checked: bool = False, packed: Path | None = None, cut: Path | None = None, made: str = ""
) -> str:
    """The next command, to be copied as it stands, with what to do before it where a person must. ``checked``: nothing is wrong in the
    file; ``packed``: the folder that a pack of it has just been written to; ``cut``: the cut or its talk that a command has just been
    given, so that the film is cut whatever else is there; ``made``: `captions` or `publish` where that command has just run."""
    source = _shell(recipe.path)
    there = tuple(_files(recipe.path.parent))
    pack = _newest(p for p in there if p.name == "index.html" and recipe.name in _text(p, 20_000))
    pack = packed / "index.html" if packed else pack
    if recipe.guesses:
        return f"scriptkit confirm {source}"
    if cut is not None:
        return _after_the_cut(recipe, there, pack, cut, made)
    if pack is None and not checked:
        return f"scriptkit check {source}"
    if pack is None or _older(pack, recipe.path):
        return f"scriptkit pack {source} -o {_shell(pack.parent) if pack else 'pack'}"
    return _with_a_pack(recipe, there, pack)


def _with_a_pack(recipe: RecipeFile, there: Sequence[Path], pack: Path) -> str:
    source = _shell(recipe.path)
    cuts = [p for p in there if p.suffix in _CAPTIONS and p.name.startswith(recipe.path.stem)]
    log = _newest(p for p in there if p.suffix == ".csv" and _is_log_of(p, recipe.name))
    coverage = _newest(p for p in there if p.name == "coverage.html" and recipe.name in _text(p, 20_000))
    binder = _shell(pack.parent)
    if log is not None and (coverage is None or _older(coverage, log)):
        return f"scriptkit coverage {source} --log {_shell(log)} -o {binder}"
    if cuts:
        return _after_the_cut(recipe, there, pack, min(cuts, key=lambda p: (len(p.name), p.name)))
    if log is not None:
        return f"cut the video, then scriptkit captions {source} --cut TRANSCRIPT.srt -o overlays.srt"
    stage = _shell(pack.parent / "stage.html")
    return f"film with {stage}, save its log, then scriptkit coverage {source} --log LOG.csv -o {binder}"


def _after_the_cut(recipe: RecipeFile, there: Sequence[Path], pack: Path | None, cut: Path, made: str = "") -> str:
    source = _shell(recipe.path)
    binder = None if pack is None else pack.parent
    published = _newest(p for p in there if p.name == "description.txt" and p.parent != binder)
    captions = _newest(p for p in there if p.stem == "overlays" and p.parent.name != "files")
    if made != "captions" and (captions is None or _older(captions, cut)):
        return f"scriptkit captions {source} --cut {_shell(cut)} -o {_shell(recipe.path.parent / 'overlays.srt')}"
    if made != "publish" and (published is None or _older(published, cut)):
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
