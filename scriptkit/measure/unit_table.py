"""The kitchen's units: defined in units.txt, worked out by pint, and kept in units.csv, which is read in a tenth of the time.

    python -m scriptkit.measure.unit_table

writes units.csv again after a change of units.txt; a test holds the two together.
"""

from __future__ import annotations

import csv
import functools
import io
import re
from fractions import Fraction
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scriptkit.data_files import made_of_rows
from scriptkit.measure.unit import Unit

if TYPE_CHECKING:
    import pint

BASES = {"[mass]": "gram", "[volume]": "millilitre"}
"""What a unit's factor counts, by its dimension; of a count, itself."""


@functools.cache
def registry() -> pint.UnitRegistry[Any]:
    """pint's registry of only what stands in units.txt, with exact fractions."""
    import pint

    text = resources.files("scriptkit.measure").joinpath("units.txt")
    with resources.as_file(text) as path:
        return pint.UnitRegistry(path, non_int_type=Fraction, cache_folder=None)


@functools.cache
def unit_words() -> dict[str, str]:
    """Every word a cook may write for a unit, and the unit's one name."""
    return {word: name for word, name, _, _ in _rows()}


def unit_of(name: str) -> Unit:
    """The unit of this one name, of the table or of the list of further units. Raises KeyError where there is none."""
    if (unit := _by_name().get(name)) is not None:
        return unit
    from scriptkit.measure.further_units import further_unit

    return further_unit(name)


def in_the_table(name: str) -> bool:
    """Whether units.csv has a unit of this one name."""
    return name in _by_name()


@functools.cache
def _by_name() -> dict[str, Unit]:
    return {name: Unit(name, base, Fraction(factor)) for _, name, base, factor in _rows()}


@functools.cache
def _rows() -> tuple[tuple[str, str, str, str], ...]:
    return tuple(made_of_rows("scriptkit.measure", "units.csv", ("word", "unit", "base", "factor"), _row))


def _row(word: str, name: str, base: str, factor: str) -> tuple[str, str, str, str]:
    return word, name, base, factor


# --- made by pint ----------------------------------------------------------------------------------------------------


def written_by_pint() -> str:
    """units.csv as units.txt and pint have it: word, unit, base, and how many of the base it is."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["word", "unit", "base", "factor"])
    names = {n for n in dir(registry()) if re.fullmatch(r"[a-z]+(_[a-z]+)*", n)}
    for word in sorted(names | {n + "s" for n in names if len(n) > 2}):  # pint takes a plural s off any unit's name
        if (name := parsed_by_pint(word)) is not None:
            base, factor = _measured_by_pint(name)
            writer.writerow([word, name, base, str(factor)])
    return out.getvalue()


def _measured_by_pint(name: str) -> tuple[str, Fraction]:
    base = BASES.get(str(registry().get_dimensionality(name)), name)
    return base, Fraction(registry().Quantity(Fraction(1), name).to(base).magnitude)


def parsed_by_pint(word: str) -> str | None:
    """The one name of the unit that ``word`` means, or None; a product of units, which pint would read too, is none."""
    import pint

    try:
        name = str(registry().parse_units(word))
    except (pint.PintError, AttributeError, TypeError, ValueError):
        return None
    return name if name != "dimensionless" and re.fullmatch(r"[a-z_]+", name) else None


if __name__ == "__main__":
    Path(__file__).with_name("units.csv").write_text(written_by_pint(), encoding="utf-8", newline="")
