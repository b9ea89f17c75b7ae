"""CSV as spreadsheets write it: cells that know their line and column."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from scriptkit.problems import CannotDo, Place, error

SEPARATORS = ",;\t"
MOST_BYTES = 1_000_000
"""No day has more takes (some 7,000); it also bounds the work that a hostile file can ask for."""


@dataclass(frozen=True, slots=True)
class Cell:
    """``text`` as it is written, without the quotes that CSV asks for (RFC 4180)."""

    text: str
    place: Place


def decoded(raw: bytes, file: str) -> str:
    """Text of a CSV file: UTF-8 or UTF-16 with or without its mark, else the Windows code page of western spreadsheets.

    Raises CannotDo where it is no text.
    """
    if len(raw) > MOST_BYTES:
        raise CannotDo(
            [error(Place(file), "too-large", "the file is larger than any take log", "check which file it is")]
        )
    try:
        text = raw.decode("utf-16") if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    if "\0" in text:
        raise CannotDo(
            [error(Place(file), "not-text", "the file is not CSV text", "save it from the spreadsheet as CSV, UTF-8")]
        )
    return text


def rows_of(text: str, file: str, known: Collection[str]) -> list[list[Cell]]:
    """Rows of cells, empty rows left out. The separator is the one with which the first row has most ``known`` names.

    Raises CannotDo where a quoted cell is not closed: the file is cut off.
    """
    lines_before = 0
    if text[:4].casefold() == "sep=":  # some spreadsheets write their separator in a first line of its own
        _, _, text = text.partition("\n")
        lines_before = 1

    def names(separator: str) -> int:
        first = next(_rows(text, file, separator, lines_before), [])
        return len({cell.text.strip().casefold() for cell in first} & set(known))

    best = max(SEPARATORS, key=names)
    return [row for row in _rows(text, file, best, lines_before) if any(cell.text.strip() for cell in row)]


def _rows(text: str, file: str, separator: str, lines_before: int) -> Iterator[list[Cell]]:
    """RFC 4180, and what is written in its name: any line end, quotes only where a cell begins with one."""
    line, line_start, at = 1 + lines_before, 0, 0
    row: list[Cell] = []
    while at < len(text):
        place = Place(file, line, at - line_start + 1)
        if text[at] == '"':
            cell, end = _quoted(text, at, place)
            for n in range(at, end):
                if text[n] == "\n" or (text[n] == "\r" and text[n + 1 : n + 2] != "\n"):
                    line, line_start = line + 1, n + 1
            at = end
        else:
            cell = ""
        end = at
        while end < len(text) and text[end] not in (separator, "\r", "\n"):
            end += 1
        row.append(Cell(cell + text[at:end], place))
        at = end
        if at < len(text) and text[at] == separator:
            at += 1
            if at == len(text) or text[at] in "\r\n":
                row.append(Cell("", Place(file, line, at - line_start + 1)))
            else:
                continue
        if at < len(text):
            at += 2 if text[at : at + 2] == "\r\n" else 1
            line, line_start = line + 1, at
        yield row
        row = []


def _quoted(text: str, start: int, place: Place) -> tuple[str, int]:
    """The cell whose opening quote is at ``start``, and where what follows its closing quote begins."""
    parts, at = [], start + 1
    while True:
        end = text.find('"', at)
        if end < 0:
            raise CannotDo(
                [
                    error(
                        place,
                        "truncated",
                        "a quoted cell is not closed before the file ends: the log is cut off",
                        "save the log again from the page or the spreadsheet",
                    )
                ]
            )
        parts.append(text[at:end])
        if text[end + 1 : end + 2] != '"':
            return "".join(parts), end + 1
        parts.append('"')
        at = end + 2
