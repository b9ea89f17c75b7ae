"""A recipe read as if it were another: other foods, fewer of them, more servings; and the change made in its files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.problems import CannotDo, Place, error

if TYPE_CHECKING:
    from scriptkit.recipe.reader import Reading
    from scriptkit.what_if import Change

ForServings = Annotated[
    float | None,
    typer.Option(
        "--servings",
        "--plates",
        metavar="N",
        help="Amounts for N servings, or N plates of a meal; the file is not changed.",
    ),
]
OtherFood = Annotated[
    list[str] | None,
    typer.Option(
        "--instead",
        metavar="OLD=NEW",
        help='Try another food: "cream=coconut milk", "cream=200 ml coconut milk". May be repeated.',
    ),
]
LeftOut = Annotated[
    list[str] | None, typer.Option("--without", metavar="NAME", help="Try it without an ingredient. May be repeated.")
]
WriteIt = Annotated[
    bool,
    typer.Option(
        "--write", help="With --instead, --without or --servings: make the change in the file; comments and order stay."
    ),
]


def reading_for(source: str, servings: float | None) -> Reading:
    """The recipe, for so many servings or plates where that is asked for. Raises CannotDo where it cannot be read or made so."""
    from scriptkit.recipe.reader import read_source

    reading = read_source(source)
    if servings is None:
        return reading
    from scriptkit.what_if import change_of, changed_reading

    return changed_reading(reading, change_of((), (), servings))


def write_change(reading: Reading, change: Change) -> list[str]:
    """Make the change in the files; which were changed. Raises CannotDo, before any is touched, where it cannot be made or what comes of
    it has errors."""
    from scriptkit.editing import write_edit
    from scriptkit.what_if import changed_reading, edits_of

    if "-" in reading.texts:
        raise CannotDo([error(Place("--write"), "option", "standard input cannot be written", "name the file")])
    changed_reading(reading, change).usable()
    return [
        file
        for file, edits in edits_of(reading, change).items()
        if write_edit(file, edits, as_read=reading.texts[file])
    ]
