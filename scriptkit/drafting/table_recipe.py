"""A table of ingredients (CSV) into a found recipe: a column of names, and one of amounts beside it."""

from __future__ import annotations

import csv
import io
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
    head = [cell.strip().strip('"').casefold() for cell in first.split(mark)]
    at = {what: next((head.index(w) for w in words if w in head), None) for what, words in _COLUMNS.items()}
    if at["name"] is None or at["amount"] is None:
        return None
    rows = csv.reader(io.StringIO(text[:LONGEST_TABLE].lstrip("\ufeff"), newline=""), delimiter=mark)
    lines: list[str] = []
    try:
        next(rows)
        for row in rows:
            told = {w: row[n].strip() for w, n in at.items() if n is not None and n < len(row)}
            if told.get("name") and len(lines) < MOST_ROWS:
                line = " ".join(told[w] for w in ("amount", "unit", "name") if told.get(w))
                lines.append(line + (f", {told['prep']}" if told.get("prep") else ""))
    except csv.Error:
        return None
    name = PurePath(file).stem.replace("-", " ").replace("_", " ").strip().capitalize()
    return RawRecipe(name=name, ingredients=tuple(lines)) if lines else None
