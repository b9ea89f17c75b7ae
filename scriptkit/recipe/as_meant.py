"""A file's data read as the hand meant them, before they are held against their form: text that a comma cut into keys, a colon without its
space, a list of ingredients in one text."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from scriptkit.problems import Problem, error
from scriptkit.recipe.yaml_slips import quoted
from scriptkit.recipe.yamltree import Path, Tree

_NO_SPACE = re.compile(r"([A-Za-z][\w ]*):(\S.*)")
_LIST = re.compile(r"\s*(?:,|;|&|\+|\band\b)\s*")


def as_meant(data: Any, tree: Tree, known_keys: Callable[[Path], list[str]]) -> list[Problem]:
    """Change the data to what was most likely meant, and tell of each change but those that no reader would see otherwise."""
    problems = []
    for path in _mappings(data):
        here = _at(data, path)
        problems += _without_space(here, path, tree)
        if known := known_keys(path):
            problems += _cut_by_commas(here, path, tree, known)
    _several_in_one(data)
    return problems


def _mappings(data: Any, path: Path = ()) -> Iterator[Path]:
    if isinstance(data, dict):
        yield path
        for key in list(data):
            yield from _mappings(data.get(key), (*path, key))
    elif isinstance(data, list):
        for n, value in enumerate(data):
            yield from _mappings(value, (*path, n))


def _at(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def _without_space(here: dict[str, Any], path: Path, tree: Tree) -> list[Problem]:
    """``{amount:30 g}``, which YAML takes for one key."""
    problems = []
    for key in [key for key, value in here.items() if value is None and _NO_SPACE.fullmatch(key)]:
        name, value = _NO_SPACE.fullmatch(key).groups()  # type: ignore[union-attr]
        place = tree.place(*path, key, key=True)
        problems.append(
            error(place, "no-space", f"a space is missing after the colon in “{key}”", f"write `{name}: {value}`")
        )
        del here[key]
        if name not in here:
            here[name] = value
            tree.moved({(*path, key): (*path, name)})
    return problems


def _cut_by_commas(here: dict[str, Any], path: Path, tree: Tree, known: list[str]) -> list[Problem]:
    """``{do: Dress it, and serve.}``: between braces a comma ends a text, and what follows it is no key."""
    problems: list[Problem] = []
    before = ""
    cut: dict[str, list[str]] = {}
    for key, value in list(here.items()):
        same_line = bool(before) and tree.place(*path, key, key=True).line == tree.place(*path, before).line
        if value is None and key not in known and same_line and isinstance(here.get(before), str):
            cut.setdefault(before, []).append(key)
            del here[key]
        else:
            before = key
    for key, rest in cut.items():
        decimal = re.fullmatch(r"\d+", here[key]) and re.match(r"\d+(?!\d*\.)", rest[0])
        text = f"{here[key]}.{rest[0]}" if decimal else ", ".join([here[key], *rest])
        place = tree.place(*path, rest[0], key=True)
        shown = f"{key}: {text}" if decimal else f"{key}: {quoted(text)}"
        why = "has a decimal comma" if decimal else f"is cut off by its comma before “{rest[0]}”"
        problems.append(error(place, "comma", f"`{key}` {why}, which between braces ends a value", f"write `{shown}`"))
        here[key] = text.strip("“”‘’")
    return problems


def _several_in_one(data: Any) -> None:
    """``add: olive oil, leek and carrot`` as a list, where each of them is listed and the text as a whole is not."""
    steps, listed = (data.get(key) for key in ("steps", "ingredients")) if isinstance(data, dict) else (None, None)
    if not isinstance(steps, list) or not isinstance(listed, dict):
        return
    names = {_plain(key): key for key in listed}
    for step in steps:
        for key in ("add", "uses") if isinstance(step, dict) else ():
            text = step.get(key)
            if isinstance(text, str) and _plain(text) not in names:
                parts = [_listed(_plain(part), names) for part in _LIST.split(text) if part]
                if len(parts) > 1 and all(parts):
                    step[key] = parts


def _listed(name: str, names: dict[str, str]) -> str | None:
    """The ingredient of this name, or the only one that ends in it: *oil* where olive oil is listed."""
    ending = [key for one, key in names.items() if one.endswith(f" {name}")]
    return names.get(name) or (ending[0] if len(ending) == 1 else None)


def _plain(name: str) -> str:
    return " ".join(str(name).replace("_", " ").casefold().split())
