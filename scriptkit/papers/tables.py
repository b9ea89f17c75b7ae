"""Tables as lists of columns: an entry is a column on the page, in the CSV file and in the terminal at once."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

from scriptkit.csv_text import harmless

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"
"""What JSON can hold (RFC 8259)."""
JsonObject: TypeAlias = dict[str, Json]

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of a cell. ``kind`` is how it is set: empty as it is, ``strong``, ``small``, or a class of the page's own.

    ``lead``: words before it that stand out; ``title``: what a pointer over it shows; ``new_line``: it begins a line.
    """

    text: str
    kind: str = ""
    new_line: bool = False
    lead: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableCell:
    """A cell of a page's table: its class, and the name of its column where a phone shows rows as cards. ``tick``: the
    name of the box that is ticked in it; empty: none."""

    cls: str
    spans: tuple[Span, ...]
    short: str = ""
    tick: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The head of a column on a page, with its share of the table's width."""

    text: str
    cls: str
    width: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Column(Generic[Row]):
    """One entry, every form of the table. ``name``: in a CSV file or a terminal, empty where it stands in neither;
    ``heading``: on the page, empty where it is not on it.

    ``value`` gives the cell as a text, ``spans`` as the page shows it where that is more than the text; ``cls`` is the
    class by which the page sets it, ``width`` its percentage of the page, ``short`` its name beside the cell on a phone.
    """

    value: Callable[[Row], str] = lambda _: ""
    name: str = ""
    heading: str = ""
    cls: str = ""
    head_cls: str = ""
    width: float = 10
    short: str = ""
    spans: Callable[[Row], tuple[Span, ...]] | None = None
    tick: bool = False
    right: bool = False
    """In the terminal, flush right."""


def heads_of(columns: Iterable[Column[Row]]) -> tuple[Head, ...]:
    """The heads of the page's columns; their widths come to 100 % together."""
    shown = [c for c in columns if c.heading]
    total = sum(c.width for c in shown)
    return tuple(Head(text=c.heading, cls=c.head_cls, width=f"{c.width * 100 / total:.4g}%") for c in shown)


def cells_of(row: Row, columns: Iterable[Column[Row]]) -> tuple[TableCell, ...]:
    """The cells of a row of the page, in the order of the columns."""
    return tuple(_cell(row, column) for column in columns if column.heading)


def _cell(row: Row, column: Column[Row]) -> TableCell:
    if column.tick:
        return TableCell(cls=column.cls, spans=(), tick=column.value(row))
    if column.spans is not None:
        return TableCell(cls=column.cls, spans=column.spans(row), short=column.short)
    text = column.value(row)
    return TableCell(cls=column.cls, spans=(Span(text),) if text else (), short=column.short)


def csv_of(rows: Iterable[Row], columns: Iterable[Column[Row]]) -> str:
    """CSV (RFC 4180) with a header; cells that a spreadsheet would run are made harmless."""
    written = [c for c in columns if c.name]
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([c.name for c in written])
    for row in rows:
        writer.writerow([harmless(c.value(row)) for c in written])
    return out.getvalue()


def text_of(rows: Iterable[Row], columns: Iterable[Column[Row]]) -> list[str]:
    """Lines for a terminal: the names of the columns, then a line a row."""
    shown = [c for c in columns if c.name]
    cells = [[c.name for c in shown], *([c.value(row) for c in shown] for row in rows)]
    return aligned(cells, [n for n, c in enumerate(shown) if c.right])


def aligned(rows: Sequence[Sequence[str]], right: Collection[int] = ()) -> list[str]:
    """Lines of cells one under the other, two spaces apart; columns in ``right`` flush right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if n in right else cell.ljust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
