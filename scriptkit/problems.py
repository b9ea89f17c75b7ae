"""Diagnostics: what is wrong in a file, where, and what to write instead; and how they are printed."""

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
    """``error`` and ``warning`` need attention (exit code 1); a ``note`` does not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Problem:
    """A diagnostic: location, severity, code, message, and the fix (``hint``, what to write instead; may be empty)."""

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
    """A problem that must be mended (exit code 1). ``hint``: what to write instead; empty if there is no advice."""
    return Problem(place, Severity.ERROR, code, message, hint)


def warning(place: Place, code: str, message: str, hint: str = "") -> Problem:
    """A problem to look at, which may be intended (exit code 1). ``hint``: what to write instead."""
    return Problem(place, Severity.WARNING, code, message, hint)


def note(place: Place, code: str, message: str, hint: str = "") -> Problem:
    """Something good to know that needs no action (exit code 0)."""
    return Problem(place, Severity.NOTE, code, message, hint)


class CannotDo(Exception):
    """The command cannot do its work. Carries every problem found, never only the first.

    ``lines`` are the lines of the files that were read, to show the offending ones.
    """

    def __init__(self, problems: Sequence[Problem], lines: Mapping[str, Sequence[str]] | None = None) -> None:
        if not problems:
            raise ValueError("CannotDo needs at least one problem")
        super().__init__("; ".join(p.message for p in problems))
        self.problems = tuple(problems)
        self.lines = dict(lines or {})


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """The problems sorted by file, line and column, without duplicates."""
    return sorted(dict.fromkeys(problems), key=lambda p: p.sort_key)


def needs_a_person(problems: Iterable[Problem]) -> bool:
    """Whether any is more than a note; the exit code is then 1."""
    return any(p.severity is not Severity.NOTE for p in problems)


def nearest(word: str, known: Iterable[str], *, most: int = 3) -> list[str]:
    """The known words that a misspelling was most likely meant to be, best first."""
    import difflib

    by_fold = {k.casefold(): k for k in known}
    return [by_fold[w] for w in difflib.get_close_matches(word.casefold(), by_fold, n=most, cutoff=0.6)]


def likeness(one: str, other: str) -> float:
    """How alike two words are, case ignored: 0 to 1."""
    import difflib

    return difflib.SequenceMatcher(None, one.casefold(), other.casefold()).ratio()


def any_of(words: Sequence[str]) -> str:
    """``a``, ``a or b``, ``a, b or c``: for hints."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} or {words[-1]}"


@dataclass(frozen=True, slots=True)
class Style:
    """How messages look: coloured or plain, and the width in columns that long fixes are wrapped to (None: no wrapping)."""

    colour: bool = False
    width: int | None = None


PLAIN = Style()
_COLOURS = {Severity.ERROR: "1;31", Severity.WARNING: "1;33", Severity.NOTE: "1;36"}
_FIX = "  fix: "


def format_problem(problem: Problem, lines: Mapping[str, Sequence[str]] | None = None, style: Style = PLAIN) -> str:
    """``FILE:LINE:COLUMN: error: what is wrong [code]``, the line with a caret under the place, and ``fix: what to write``.

    The first line has the form of the GNU coding standards, so that editors can jump to the place. ``lines`` maps a file's
    name to its lines; a file that is not in it is printed without its line. No line ends in a line feed.
    """
    p = problem.place
    severity = _coloured(f"{problem.severity}:", _COLOURS[problem.severity], style)
    out = [f"{_file_name(p.file)}:{p.line}:{p.column}: {severity} {printable(f'{problem.message} [{problem.code}]')}"]
    text = (lines or {}).get(p.file, ())
    if 0 < p.line <= len(text) and (source := printable(text[p.line - 1].rstrip())):
        shown, column = _window(source, p.column)
        out += [f"    {shown}", f"    {' ' * (column - 1)}{_coloured('^', _COLOURS[problem.severity], style)}"]
    if problem.hint:
        first, *more = _wrapped(printable(problem.hint), style.width)
        out += [_coloured(_FIX, "1;32", style) + first, *(" " * len(_FIX) + line for line in more)]
    return "\n".join(out)


def _file_name(name: str) -> str:
    """A name that begins with a space, or that itself reads like the beginning of a message, gets a ``·`` for that space."""
    import re

    return re.sub(r"^ |(:\d+:\d+:) (?=(?:error|warning|note): )", r"\1·", printable(name))


def _coloured(text: str, colour: str, style: Style) -> str:
    return f"\x1b[{colour}m{text}\x1b[0m" if style.colour else text


def _wrapped(text: str, width: int | None) -> list[str]:
    """Never an option or a word broken: what a person copies must stay whole."""
    if width is None or len(text) + len(_FIX) <= width:
        return [text]
    import textwrap

    return textwrap.wrap(text, max(width - len(_FIX), 20), break_long_words=False, break_on_hyphens=False) or [text]


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
