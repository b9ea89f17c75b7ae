"""Kitchen units beyond the fast table: a list of ours, further_units.csv, whose definitions are those of pint's own registry.

The list is read where a text is not in units.csv, and pint is loaded where such a unit is in it. What pint knows beside the
list (`bag`, `slug`) is no kitchen unit.

    unit     its one name                      printed  after a number, in the singular
    words    what else a cook may write        pint     the unit's name in pint's registry
    shared   a word that it shares with another, so that a person must say which is meant, and `where` it means this one
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from scriptkit.data_files import made_of_rows
from scriptkit.measure.unit import Unit

if TYPE_CHECKING:
    import pint

_COLUMNS = ("unit", "printed", "words", "pint", "shared", "where")
_MASS, _VOLUME = {"[mass]": 1}, {"[length]": 3}
"""pint's dimensions."""


@dataclass(frozen=True, slots=True)
class Further:
    """A row of further_units.csv; ``words`` holds all that means this unit alone, ``shared`` what may mean another too."""

    unit: str
    printed: str
    words: tuple[str, ...]
    pint: str
    shared: tuple[str, ...]
    where: str


@functools.cache
def further_units() -> dict[str, Further]:
    """Every row of further_units.csv by its unit. Raises BadDataFile."""
    return {row.unit: row for row in made_of_rows("scriptkit.measure", "further_units.csv", _COLUMNS, _row)}


def _row(unit: str, printed: str, words: str, pint_name: str, shared: str, where: str) -> Further:
    return Further(unit, printed, tuple(filter(None, (printed, *words.split(";")))), pint_name, _split(shared), where)


def _split(text: str) -> tuple[str, ...]:
    return tuple(filter(None, text.split(";")))


@functools.cache
def _by_word() -> dict[str, tuple[str, ...]]:
    """Lower-case word → the units that it may mean: one, or several that share it."""
    found: dict[str, tuple[str, ...]] = {}
    for row in further_units().values():
        for word in (*row.words, *row.shared):
            found[word.casefold()] = (*found.get(word.casefold(), ()), row.unit)
    return found


@functools.cache
def _pattern() -> re.Pattern[str]:
    words = sorted(_by_word(), key=len, reverse=True)  # `imperial fluid drachm` before `imperial`
    spaced = (re.escape(word).replace(r"\ ", r"[\s._-]+") for word in words)
    return re.compile(rf"({'|'.join(spaced)})(e?s)?\b\.?(?![²³])", re.IGNORECASE)


def units_named(text: str) -> tuple[tuple[str, ...], int] | None:
    """The further units that the word may mean with which the text begins, and where it ends; None where it begins with none.
    More than one unit: a person must say which."""
    found = _pattern().match(text)
    if found is None:
        return None
    word = re.sub(r"[\s._-]+", " ", found.group(1)).casefold()
    return _by_word()[word], found.end()


def further_words() -> list[str]:
    """Every word of the list that is long enough to be misspelt, for suggestions."""
    words = [word for row in further_units().values() for word in (*row.words, *row.shared)]
    return [word for word in dict.fromkeys(words) if len(word) > 3]


@functools.cache
def further_unit(name: str) -> Unit:
    """The unit of this one name, as pint defines it, in grams or millilitres; exact. Raises KeyError where the list has none."""
    quantity = registry().Quantity(Fraction(1), further_units()[name].pint)
    dimension = dict(quantity.dimensionality)
    if dimension not in (_MASS, _VOLUME):
        raise KeyError(name)
    base, in_pint = ("gram", "gram") if dimension == _MASS else ("millilitre", "milliliter")
    return Unit(name, base, Fraction(quantity.to(in_pint).magnitude))


@functools.cache
def registry() -> pint.UnitRegistry[Any]:
    """pint's own registry of units, with exact fractions. Loaded once, and only where a unit of the list is met."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


def meaning(name: str) -> str:
    """What one of the unit is and where that is its name: ``473 ml in the US``."""
    unit = further_unit(name)
    big = unit.base == "millilitre" and unit.factor >= 1000
    figure = (
        f"{float(unit.factor / (1000 if big else 1)):.3g} {'l' if big else 'ml' if unit.base == 'millilitre' else 'g'}"
    )
    return f"{figure} {further_units()[name].where}".strip()
