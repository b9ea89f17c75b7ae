"""``scriptkit check``: everything that is wrong with the written dish or meal, at once."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from scriptkit.cli.changed import ForServings, reading_for
from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import Explain, Json, SourceOrFolder
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.problems import CannotDo, Place, error

if TYPE_CHECKING:
    from scriptkit.recipe.doubt import Doubt


@command(
    "check",
    HelpPage(
        short="everything that is wrong with a dish or a meal",
        reads="a dish or a meal, with the dishes and the pantry.yaml it names; or a folder: figures of every recipe, what is open, and what was "
        "published and no longer holds.",
        writes="nothing: problems go to standard error, with --json to standard output; with --explain the steps as they were "
        "understood to standard output; with --page the page of the folder.",
        examples=(
            "scriptkit check examples/fennel-bisque.yaml",
            "scriptkit check examples/fennel-bisque.yaml --explain",
            "scriptkit check examples/faulty-chowder.yaml --json",
        ),
    ),
)
def check(
    source: SourceOrFolder,
    explain: Explain = False,
    servings: ForServings = None,
    page: Annotated[
        str, typer.Option("--page", metavar="FILE", help="With a folder: also write it as a page (.html).")
    ] = "",
    json: Json = False,
) -> None:
    """Check a dish or meal: unused and unlisted ingredients, times, narration against picture, temperatures, allergens, limits.
    All problems at once, each with its line and what to write instead."""
    if page or (source != "-" and Path(source).is_dir()):
        raise typer.Exit(_of_folder(source, page, json, of_one=explain or servings is not None))
    raise typer.Exit(run(source, as_json=json, explain=explain, servings=servings))


def _of_folder(folder: str, page: str, as_json: bool, *, of_one: bool) -> int:
    from scriptkit.cli import check_folder

    if of_one:
        raise CannotDo(
            [error(Place(folder), "option", "--explain and --servings are for one recipe", "name the recipe")]
        )
    if not Path(folder).is_dir():
        raise CannotDo([error(Place("--page"), "option", "--page is for a folder of recipes", "name the folder")])
    return check_folder.run(folder, page=page, as_json=as_json)


def run(source: str, *, as_json: bool = False, explain: bool = False, servings: float | None = None) -> int:
    """A file that cannot be read at all raises CannotDo; in a readable one every problem is a finding. ``explain``: also what
    every step was understood to say."""
    from scriptkit.cut.claims.whole_promises import as_a_whole
    from scriptkit.papers.cautions import cautions_json
    from scriptkit.papers.step_readings import readings_json, readings_text
    from scriptkit.production import Production
    from scriptkit.recipe.unconfirmed import unconfirmed

    try:
        production = Production(reading_for(source, servings))
    except CannotDo as wrong:
        if as_json:
            print_json({"problems": [p.as_json() for p in wrong.problems]})
        raise
    reading, problems = production.reading, production.problems
    understood = reading.source if explain else None
    if as_json:
        promises = (
            [p.as_json() for p in as_a_whole(production.promised, production.problems)] if production.is_usable else []
        )
        doubted = unconfirmed(reading.source) if reading.source is not None else []
        steps = {"steps": readings_json(understood) if understood else []} if explain else {}
        data = {
            "problems": [p.as_json() for p in problems],
            "unsure": [_doubt_as_json(name, doubt) for name, doubt in doubted],
            "promises": promises,
            "cautions": cautions_json(production.cautions) if production.is_usable else [],
        }
        print_json({**data, **steps})
    else:
        if understood:
            print(readings_text(understood))
        print_problems(problems, reading.texts)
        name = reading.source.name if reading.source else source
        print(f"{name}: {count_words(problems)}", file=sys.stderr)
        print_next_of(source, problems)
    return exit_code(problems)


def _doubt_as_json(name: str, doubt: Doubt) -> dict[str, Any]:
    """Where the doubt stands, the ingredient as the cook calls it (or *servings*), and the doubt as it is read."""
    data = asdict(doubt)
    del data["in_tray"]  # the step's name tells it
    return {**data.pop("place"), "ingredient": name, **data}
