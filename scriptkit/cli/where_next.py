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


def print_next_of(
    source: str, problems: Sequence[Problem] = (), packed: str = "", *, cut: str = "", made: str = ""
) -> None:
    """The next command for a recipe that has just been read, by the files that lie beside it; ``packed``: the folder that its pack has
    just been written to; ``cut``: the cut or the talk that the command was given; ``made``: which of the commands has just run."""
    from scriptkit.next_step import next_step, recipe_at

    if source == "-":
        return
    if any(p.severity is Severity.ERROR for p in problems):
        print_next(f"correct what is marked error, then scriptkit check {shlex.quote(source)}")
    elif guesses := [p for p in problems if p.code == "unsure"]:
        print_next(f"scriptkit confirm {shlex.quote(guesses[0].place.file)}")
    elif (recipe := recipe_at(Path(source))) is not None:
        given = Path(cut) if cut not in ("", "-") else None
        print_next(next_step(recipe, checked=True, packed=Path(packed) if packed else None, cut=given, made=made))


def print_next_of_answers(source: str) -> None:
    """The next command once questions of a recipe were answered; what is left to confirm comes first."""
    from scriptkit.next_step import next_step, recipe_at

    if (recipe := recipe_at(Path(source))) is not None:
        print_next(next_step(recipe))


def print_next_after_filming(source: str, log: Path, output: Path) -> None:
    """The next command once takes are in a log: what is not on camera, while it can still be filmed."""
    quoted = (shlex.quote(text) for text in (source, log.as_posix(), output.as_posix()))
    print_next("scriptkit coverage {} --log {} -o {}".format(*quoted))


def print_next_of_the_edit(source: str, edit: Path) -> None:
    """The next command for who has the list of circled takes that the video is cut by."""
    print_next(
        f"cut the video by {shlex.quote(edit.as_posix())}, then "
        f"scriptkit captions {shlex.quote(source)} --cut TRANSCRIPT.srt -o overlays.srt"
    )


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
