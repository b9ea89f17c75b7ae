"""A table of ingredients (CSV, or a table in Markdown) into a found recipe: a column of names, and one of amounts beside it."""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterable, Sequence
from pathlib import PurePath

from scriptkit.drafting.old_measures import begins_with_amount
from scriptkit.drafting.raw_recipe import RawRecipe

MOST_ROWS = 1_000
LONGEST_TABLE = 1_000_000
"""Characters that are read."""
_COLUMNS = {
    "amount": ("amount", "quantity", "qty", "how much", "weight", "measurement"),
    "unit": ("unit", "units", "measure"),
    "name": ("ingredient", "ingredients", "item", "food", "name", "product"),
    "prep": ("prep", "preparation", "notes", "note", "cut"),
}
_TITLE_ROWS = 6
"""So many rows of titles may stand above the names of the columns."""
_UNIT_IN_HEAD = re.compile(r"^(?P<name>.*?)\s*[(\[](?P<unit>[^)\]]{1,12})[)\]]$")
_NO_FIGURE = re.compile(r"(?:to|as|for)\b", re.IGNORECASE)
"""*To taste*, *as needed*: behind the food, as in a list."""
_LISTED = 0.7
"""So much of a table without names of columns must have an amount beside a name."""


def recipe_in_table(text: str, file: str) -> RawRecipe | None:
    """The recipe of a table; None where the text is no such table. It gives no method, and is named after its file. One whose columns have
    no names is read where the file is called .csv or .tsv."""
    text = text[:LONGEST_TABLE].lstrip("\ufeff")
    top = "\n".join(text.split("\n", _TITLE_ROWS)[:_TITLE_ROWS])
    mark = next((m for m in ("\t", ";", ",") if m in top), None)
    if mark is None:
        return None
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        rows = [row for row in itertools.islice(reader, MOST_ROWS + _TITLE_ROWS) if any(cell.strip() for cell in row)]
    except csv.Error:
        return None
    called_table = PurePath(file).suffix.casefold() in (".csv", ".tsv")
    lines = lines_of_rows(rows) or (_lines_without_head(rows) if called_table else [])
    name = PurePath(file).stem.replace("-", " ").replace("_", " ").strip().capitalize()
    return RawRecipe(name=name, ingredients=tuple(lines[:MOST_ROWS])) if lines else None


def lines_of_rows(rows: Iterable[Sequence[str]]) -> list[str]:
    """A line for each row below the one that names the columns, among the first; none where there is no such row."""
    waiting = iter(rows)
    for row in itertools.islice(waiting, _TITLE_ROWS):
        at, unit = _columns(row)
        if "name" in at and "amount" in at:
            return [line for below in waiting if (line := _line(below, at, unit))]
    return []


def _columns(head: Sequence[str]) -> tuple[dict[str, int], str]:
    """Where each column stands, and the unit that the head of the amounts names: *amount (g)*, *Menge/Amount*."""
    at: dict[str, int] = {}
    unit = ""
    for n, cell in enumerate(head):
        told = cell.strip().strip('"*').casefold()
        found = _UNIT_IN_HEAD.match(told)
        words = {part.strip() for part in (found["name"] if found else told).split("/")}
        for what, names in _COLUMNS.items():
            if what not in at and not words.isdisjoint(names):
                at[what] = n
                unit = found["unit"] if found and what == "amount" else unit
    return at, unit


def _line(row: Sequence[str], at: dict[str, int], unit: str) -> str:
    told = {w: row[n].strip() for w, n in at.items() if n < len(row)}
    if not told.get("name"):
        return ""
    if unit and re.fullmatch(r"[\d.,/ ½⅓⅔¼¾]+", told.get("amount", "")):
        told["amount"] += f" {unit}"
    if _NO_FIGURE.match(told.get("amount", "")):
        told["name"] += f", {told.pop('amount')}"
    line = " ".join(told[w] for w in ("amount", "unit", "name") if told.get(w))
    return line + (f", {told['prep']}" if told.get("prep") else "")


def _lines_without_head(rows: Sequence[Sequence[str]]) -> list[str]:
    """Two columns, a name and an amount, whichever comes first."""
    lines = []
    for row in rows:
        cells = [cell.strip() for cell in row if cell.strip()]
        if len(cells) >= 2 and any(map(begins_with_amount, cells[:2])):
            first, second = sorted(cells[:2], key=begins_with_amount, reverse=True)
            lines.append(", ".join([f"{first} {second}", *cells[2:]]))
    return lines if len(lines) >= max(_LISTED * len(rows), 2) else []
