"""Published cooking yields: what a cut weighs cooked, by method."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace

from scriptkit.data_files import made_of_rows

_ALSO = {
    "sear": ("fry", "grill"),
    "fry": ("grill",),
    "deep-fry": ("fry",),
    "boil": ("simmer", "braise"),
    "simmer": ("braise",),
    "bake": ("roast",),
    "roast": ("bake",),
}
"""Methods whose published yield stands in where a method has none of its own: the nearest way of losing water."""


@dataclass(frozen=True, slots=True)
class Yield:
    """Cooked edible weight as a share of the raw edible weight. ``row`` is the SR28 number that it comes from."""

    food: str
    method: str
    share: float
    row: str
    stands_for: str = ""
    """The method that was asked for, where none is published for it and this is the nearest."""

    def __str__(self) -> str:
        nearest = f", the nearest published to {self.stands_for}" if self.stands_for else ""
        return f"{self.food} {self.share:.2f} of its raw weight ({self.method}{nearest}; USDA SR28 {self.row})"


@functools.cache
def _table() -> dict[tuple[str, str], Yield]:
    columns = ("food", "method", "yield", "basis", "row", "printed", "raw_g", "cooked_g")
    return {(y.food, y.method): y for y in made_of_rows("scriptkit.pantry", "yields.csv", columns, _yield)}


def _yield(food: str, method: str, share: str, _basis: str, row: str, *_measured: str) -> Yield:
    return Yield(food, method, float(share), row)


def yield_of(food: str, method: str) -> Yield | None:
    """The published yield of the food (a kitchen name of the pantry) cooked this way, else the nearest way that one is
    published for; None where none is."""
    if (food, method) in _table():
        return _table()[food, method]
    near = next((y for m in _ALSO.get(method, ()) if (y := _table().get((food, m)))), None)
    return None if near is None else replace(near, stands_for=method)
