"""Allergens of foods: which word stands on which list, and what each food of the table contains or may contain.

``allergens.csv`` has a row for every food of ``foods.csv``: ``contains`` (*none* where there is none), ``may_contain`` (a
compound food: its make decides, so check the label; *any* where no allergen is likelier than another), ``note``. Common
knowledge of what foods are made of, no source; the lists are those of ``LISTS``.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from scriptkit.data_files import rows_of
from scriptkit.pantry.names import fold

LISTS = {
    "us": "FALCPA 2004 and FASTER Act 2021; which nuts are tree nuts: FDA guidance of January 2025 (from memory)",
    "eu": "Regulation (EU) 1169/2011, Annex II",
}
"""The nine of the US and the fourteen of the EU, and where they are written."""
ANY = "any"
"""In ``may_contain``: the make decides, and no allergen is likelier than another."""
NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Allergen:
    """A word of allergens.csv, and what each list calls it; empty where it is not on the list. ``us_maybe``: the word is
    wider than the list's."""

    word: str
    us: str
    eu: str
    us_maybe: bool
    also_called: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Held:
    """What one food contains and may contain, in words of allergen_lists.csv."""

    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    note: str = ""


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


@functools.cache
def allergens() -> dict[str, Allergen]:
    """Every allergen by its word, in the order of the lists."""
    return {
        word: Allergen(
            word=word,
            us=us.removesuffix("?"),
            eu=eu,
            us_maybe=us.endswith("?"),
            also_called=_split(also),
            note=note,
        )
        for word, us, eu, also, note in rows_of(
            "scriptkit.pantry", "allergen_lists.csv", ("word", "us", "eu", "also_called", "note")
        )
    }


@functools.cache
def _by_food() -> dict[str, list[str]]:
    columns = ("food", "contains", "may_contain", "note")
    return {row[0]: row for row in rows_of("scriptkit.pantry", "allergens.csv", columns)}


def held_by(food: str) -> Held:
    """What the food with this kitchen name holds. Raises KeyError where the table has no row for it."""
    _, contains, may, note = _by_food()[food]
    return Held(() if contains == NONE else _split(contains), _split(may), note)


def held() -> dict[str, Held]:
    """Every food of the table by its kitchen name."""
    return {food: held_by(food) for food in _by_food()}


@functools.cache
def _by_any_name() -> dict[str, str]:
    return {fold(name): a.word for a in allergens().values() for name in (*a.also_called, a.word)}


def allergen_word(written: str) -> str | None:
    """The table's word for an allergen as a label writes it; None where it is no allergen that the lists know.

    >>> allergen_word("Soy"), allergen_word("tree nuts"), allergen_word("chocolate")
    ('soya', 'nuts', None)
    """
    return _by_any_name().get(fold(written))
