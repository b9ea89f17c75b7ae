"""Problems to standard error, data to standard output."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Mapping, Sequence
from typing import Any, TextIO

from scriptkit.problems import Problem, Severity, Style, format_problem, in_order, needs_a_person

FORMAT = 1
"""The first key of the JSON of every command. Within a format keys may be added, and whoever reads it leaves alone those that it
does not know; a key that goes, or whose meaning, unit or type changes, makes the next format."""


def print_json(value: Mapping[str, Any]) -> None:
    """To standard output, its format first; as it is written, without escapes for letters, and never NaN, which is no JSON
    (RFC 8259)."""
    print_raw_json({"format": FORMAT} | dict(value))


def print_raw_json(value: Mapping[str, Any]) -> None:
    """JSON whose form another standard has laid down, such as JSON Schema."""
    import json

    print(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def print_problems(problems: Sequence[Problem], texts: Mapping[str, Sequence[str]] | None = None) -> None:
    """To standard error, errors first and notes last, each in order of its place. ``texts``: the lines of each file by its name, to show
    the offending ones; a note goes without its line."""
    style = terminal_style(sys.stderr, os.environ)
    order = list(Severity)
    for problem in sorted(in_order(problems), key=lambda p: order.index(p.severity)):
        lines = None if problem.severity is Severity.NOTE else texts
        print(format_problem(problem, lines, style), file=sys.stderr)


def terminal_style(stream: TextIO, environment: Mapping[str, str]) -> Style:
    """Colour and wrapping for a terminal; plain text, unwrapped, for a file or a pipe.

    ``NO_COLOR`` (not empty) always switches colour off (https://no-color.org), ``FORCE_COLOR`` switches it on even where the
    stream is no terminal, ``TERM=dumb`` has none. ``COLUMNS`` goes before the width that the terminal reports.
    """
    terminal = stream.isatty()
    forced = bool(environment.get("FORCE_COLOR"))
    colour = not environment.get("NO_COLOR") and (forced or (terminal and environment.get("TERM") != "dumb"))
    return Style(colour, _width(stream, environment) if terminal else None)


def _width(stream: TextIO, environment: Mapping[str, str]) -> int | None:
    columns = environment.get("COLUMNS", "")
    if columns.isdecimal() and int(columns):
        return int(columns)
    try:
        return os.get_terminal_size(stream.fileno()).columns or None
    except (OSError, ValueError):  # a terminal that does not say
        return None


def count_words(problems: Sequence[Problem]) -> str:
    """``2 errors, 1 warning``."""
    words = []
    for severity in Severity:
        count = sum(p.severity is severity for p in problems)
        if count:
            words.append(f"{count} {severity.value}{'' if count == 1 else 's'}")
    return ", ".join(words) or "no problems"


def cue_count(count: int) -> str:
    """``1 cue``, ``2 cues``."""
    return f"{count} cue{'' if count == 1 else 's'}"


def exit_code(problems: Sequence[Problem]) -> int:
    """1 if any problem is more than a note, else 0."""
    return 1 if needs_a_person(problems) else 0


class Progress:
    """A line on standard error that tells how far a long work is; none where that is no terminal, where it is asked to be
    quiet, or before a second has passed."""

    def __init__(self, what: str, of: int, *, quiet: bool = False) -> None:
        self.what, self.of, self.done = what, of, 0
        self.shown = not quiet and sys.stderr.isatty()
        self.began = time.monotonic()
        self.line: Any = None

    def __enter__(self) -> Progress:
        return self

    def step(self, name: str) -> None:
        """One more is done."""
        self.at(self.done + 1, name)

    def at(self, done: int, name: str) -> None:
        """So many are done."""
        self.done = done
        if not self.shown or time.monotonic() - self.began < 1:
            return
        if self.line is None:
            from rich.console import Console
            from rich.status import Status

            self.line = Status("", console=Console(stderr=True))
            self.line.start()
        from rich.markup import escape

        self.line.update(f"{self.what}: {self.done} of {self.of}, {escape(name)}")

    def __exit__(self, *_: object) -> None:
        if self.line is not None:
            self.line.stop()
