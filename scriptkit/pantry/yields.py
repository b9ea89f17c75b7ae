"""Published cooking yields: what a cut weighs cooked, by method."""

from __future__ import annotations

import csv
import functools
import io
from dataclasses import dataclass
from importlib import resources

_ALSO = {
    "sear": ("fry", "grill"),
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

    def __str__(self) -> str:
        return f"{self.food} {self.share:.2f} of its raw weight ({self.method}; USDA SR28 {self.row})"


@functools.cache
def _table() -> dict[tuple[str, str], Yield]:
    text = resources.files("scriptkit.pantry").joinpath("yields.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(io.StringIO(text, newline=""))
    return {(r["food"], r["method"]): Yield(r["food"], r["method"], float(r["yield"]), r["row"]) for r in rows}


def yield_of(food: str, method: str) -> Yield | None:
    """The published yield of the food (a kitchen name of the pantry) cooked this way; None where none is published."""
    return next((y for m in (method, *_ALSO.get(method, ())) if (y := _table().get((food, m)))), None)
