"""``scriptkit new --example``: the examples that `--help` and the README name, laid out where a person can try them."""

from __future__ import annotations

import os
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error, nearest

FOLDER = "examples"
"""Where they go unless -o says otherwise: the lines of `--help` then run as they stand, and a person's own folder stays tidy."""
LIST, ALL = "list", "all"


def run(name: str, output: str) -> int:
    """Write the files of an example, or of all; ``list`` prints which there are. A file that is there already stays, and where
    one differs nothing is written. Raises CannotDo for that, and where there is no example of that name."""
    from scriptkit.example_files import example_names, example_title
    from scriptkit.writing import write_all

    if name == LIST:
        width = max(map(len, example_names()))
        print("\n".join(f"{known:<{width}}  {example_title(known)}" for known in example_names()))
        return 0
    folder = Path(output or FOLDER)
    files = {path.name: path.read_bytes() for path in _files(name)}
    missing = {file: raw for file, raw in files.items() if not os.path.lexists(folder / file)}
    _must_be_the_same(folder, {file: raw for file, raw in files.items() if file not in missing})
    if missing:
        write_all(str(folder), {file: raw.decode("utf-8") for file, raw in missing.items()})
    for file in files:
        print(f"{'wrote' if file in missing else 'there already:'} {folder / file}")
    return 0


def _files(name: str) -> list[Path]:
    from scriptkit.example_files import example_files, example_names

    if name == ALL:
        return sorted({path for known in example_names() for path in example_files(known)})
    try:
        return example_files(name)
    except KeyError:
        names = nearest(name, example_names()) or example_names()
        message, hint = f"there is no example “{name}”", f"write one of: {', '.join([*names, ALL])}"
        raise CannotDo([error(Place("--example"), "option", message, hint)]) from None


def _must_be_the_same(folder: Path, files: dict[str, bytes]) -> None:
    """Raises CannotDo with every file that is there already and differs."""
    differ = []
    for file, raw in files.items():
        try:
            same = (folder / file).read_bytes() == raw
        except OSError:
            same = False
        if not same:
            place, message = Place(str(folder / file)), "this file is there already, and differs from the example"
            differ.append(error(place, "exists", message, "choose another folder with -o"))
    if differ:
        raise CannotDo(differ)
