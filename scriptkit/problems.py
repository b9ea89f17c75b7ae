"""One shape for everything a person must be told about a file, and how it is printed."""

from __future__ import annotations

import enum
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in a file a person wrote. Line and column count from 1."""

    file: str
    line: int = 1
    column: int = 1


class Severity(enum.StrEnum):
    """``error`` and ``warning`` must be seen to by a person (exit code 1); a ``note`` need not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a person must be told: where, how grave, what is wrong, and what to write instead."""

    place: Place
    severity: Severity
    code: str
    message: str
    hint: str = ""

    @property
    def sort_key(self) -> tuple[Place, str, str]:
        """By place; at one place by code, then by message."""
        return (self.place, self.code, self.message)

    def as_json(self) -> dict[str, str | int]:
        """Seven keys, flat; ``line`` and ``column`` count from 1, ``hint`` may be empty."""
        return {
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "severity": self.severity.value,
            "code": self.code,
            "message": self.message,
            "hint": self.hint,
        }


def error(place: Place, code: str, message: str, hint: str = "") -> Problem:
    """What a person must mend (exit code 1). ``hint``: what to write instead; empty: nothing can be advised."""
    return Problem(place, Severity.ERROR, code, message, hint)


def warning(place: Place, code: str, message: str, hint: str = "") -> Problem:
    """What a person must look at, though it may be meant so (exit code 1). ``hint``: what to write instead."""
    return Problem(place, Severity.WARNING, code, message, hint)


def note(place: Place, code: str, message: str, hint: str = "") -> Problem:
    """What is good to know, and asks for nothing (exit code 0)."""
    return Problem(place, Severity.NOTE, code, message, hint)


class CannotDo(Exception):
    """The work cannot be done at all; carries every problem found, never only the first.

    ``lines`` are the lines of the files that were read, to show the offending ones.
    """

    def __init__(self, problems: Sequence[Problem], lines: Mapping[str, Sequence[str]] | None = None) -> None:
        if not problems:
            raise ValueError("CannotDo needs at least one problem to tell")
        super().__init__("; ".join(p.message for p in problems))
        self.problems = tuple(problems)
        self.lines = dict(lines or {})


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Sorted by file, line and column, each told once."""
    return sorted(dict.fromkeys(problems), key=lambda p: p.sort_key)


def needs_a_person(problems: Iterable[Problem]) -> bool:
    """Whether any is more than a note: the command then leaves with 1."""
    return any(p.severity is not Severity.NOTE for p in problems)


def nearest(word: str, known: Iterable[str], *, most: int = 3) -> list[str]:
    """The known words that a misspelling was most likely meant to be, best first."""
    import difflib

    by_fold = {k.casefold(): k for k in known}
    return [by_fold[w] for w in difflib.get_close_matches(word.casefold(), by_fold, n=most, cutoff=0.6)]


def any_of(words: Sequence[str]) -> str:
    """``a``, ``a or b``, ``a, b or c``: for hints."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} or {words[-1]}"


def format_problem(problem: Problem, lines: Mapping[str, Sequence[str]] | None = None) -> str:
    """``FILE:LINE:COLUMN: error[code]: message``, the offending line with a caret, and the hint.

    ``lines`` maps a file's name to its lines; a file that is not in it is printed without its line.
    """
    p = problem.place
    out = [printable(f"{p.file}:{p.line}:{p.column}: {problem.severity}[{problem.code}]: {problem.message}")]
    text = (lines or {}).get(p.file, ())
    if 0 < p.line <= len(text) and (source := printable(text[p.line - 1].rstrip())):
        shown, column = _window(source, p.column)
        out += [f"    {shown}", f"    {' ' * (column - 1)}^"]
    if problem.hint:
        out.append(printable(f"  hint: {problem.hint}"))
    return "\n".join(out)


def _window(source: str, column: int, width: int = 100) -> tuple[str, int]:
    """The part of a long line around the column, so that the caret stays under its word."""
    if len(source) <= width:
        return source, min(column, len(source) + 1)
    start = max(0, min(column - 1 - width // 2, len(source) - width))
    cut = source[start : start + width]
    return ("…" + cut[1:] if start else cut), min(column - start, width)


def printable(text: str) -> str:
    """A terminal must not act on what a file contains: control and direction characters become ``·``."""
    text = text.replace("\t", " ")
    return text if text.isprintable() else "".join(c if c.isprintable() else "·" for c in text)
