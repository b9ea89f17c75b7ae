"""What to do next: the last line of the commands, and what `scriptkit` alone prints in a folder."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Sequence
from pathlib import Path

from scriptkit.problems import Problem, Severity, printable

MOST_RECIPES = 12
"""Listed of a folder."""


def print_next(text: str) -> None:
    """The next command to standard error; nothing where there is none."""
    if text:
        print(f"next: {printable(text)}", file=sys.stderr)


def print_next_of(source: str, problems: Sequence[Problem] = (), packed: str = "") -> None:
    """The next command for a recipe that has just been read, by the files that lie beside it; ``packed``: the folder that its pack has
    just been written to."""
    from scriptkit.next_step import next_step, recipe_at

    if source == "-":
        return
    if any(p.severity is Severity.ERROR for p in problems):
        print_next(f"correct what is marked error, then scriptkit check {shlex.quote(source)}")
    elif guesses := [p for p in problems if p.code == "unsure"]:
        print_next(f"scriptkit confirm {shlex.quote(guesses[0].place.file)}")
    elif (recipe := recipe_at(Path(source))) is not None:
        print_next(next_step(recipe, checked=True, packed=Path(packed) if packed else None))


def overview(folder: Path) -> str:
    """The recipes of a folder, each with its next command; empty where there are none."""
    from scriptkit.next_step import next_step, recipes_in

    recipes = recipes_in(folder)
    if not recipes:
        return ""
    rows = [
        f"{printable(one.name)} ({one.path.name})\n  next: {next_step(one) or 'nothing is left to do'}"
        for one in recipes[:MOST_RECIPES]
    ]
    if len(recipes) > MOST_RECIPES:
        rows.append(f"and {len(recipes) - MOST_RECIPES} more")
    return "\n".join(rows)
