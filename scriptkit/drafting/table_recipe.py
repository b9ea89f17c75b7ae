"""A table of ingredients (CSV) into a found recipe: a column of names, and one of amounts beside it."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Iterable, Sequence
from pathlib import PurePath

from scriptkit.drafting.raw_recipe import RawRecipe

MOST_ROWS = 1_000
LONGEST_TABLE = 1_000_000
"""Characters that are read."""
_COLUMNS = {
    "amount": ("amount", "quantity", "qty", "how much"),
    "unit": ("unit", "units", "measure"),
    "name": ("ingredient", "ingredients", "item", "food", "name"),
    "prep": ("prep", "preparation", "notes", "note", "cut"),
}


def recipe_in_table(text: str, file: str) -> RawRecipe | None:
    """The recipe of a table whose first row names its columns; None where the text is no such table. It gives no method, and is named
    after its file."""
    first = text.lstrip("\ufeff").partition("\n")[0]
    mark = next((m for m in ("\t", ";", ",") if m in first), None)
    if mark is None:
        return None
    reader = csv.reader(io.StringIO(text[:LONGEST_TABLE].lstrip("\ufeff"), newline=""), delimiter=mark)
    try:
        lines = lines_of_rows(itertools.islice(reader, MOST_ROWS + 1))
    except csv.Error:
        return None
    name = PurePath(file).stem.replace("-", " ").replace("_", " ").strip().capitalize()
    return RawRecipe(name=name, ingredients=tuple(lines)) if lines else None


def lines_of_rows(rows: Iterable[Sequence[str]]) -> list[str]:
    """A line for each row below the first, which names the columns; none where it names no food or no amount."""
    waiting = iter(rows)
    head = [cell.strip().strip('"').casefold() for cell in next(waiting, ())]
    at = {what: next((head.index(w) for w in words if w in head), None) for what, words in _COLUMNS.items()}
    if at["name"] is None or at["amount"] is None:
        return []
    lines = []
    for row in waiting:
        told = {w: row[n].strip() for w, n in at.items() if n is not None and n < len(row)}
        if told.get("name"):
            line = " ".join(told[w] for w in ("amount", "unit", "name") if told.get(w))
            lines.append(line + (f", {told['prep']}" if told.get("prep") else ""))
    return lines
