"""``scriptkit check``: everything that is wrong with the written dish or meal, at once."""

from __future__ import annotations

import sys
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import Explain, Json, Source
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.problems import CannotDo

if TYPE_CHECKING:
    from scriptkit.recipe.doubt import Doubt


@command(
    "check",
    HelpPage(
        short="everything that is wrong with a dish or a meal",
        reads="a dish or a meal, with the dishes and the pantry.yaml it names.",
        writes="nothing: problems go to standard error, with --json to standard output; with --explain the steps as they were "
        "understood to standard output.",
        examples=(
            "scriptkit check examples/fennel-bisque.yaml",
            "scriptkit check examples/fennel-bisque.yaml --explain",
            "scriptkit check examples/faulty-chowder.yaml --json",
        ),
    ),
)
def check(
    source: Source,
    explain: Explain = False,
    json: Json = False,
) -> None:
    """Check a dish or meal: unused and unlisted ingredients, times, narration against picture, temperatures, allergens, limits.
    All problems at once, each with its line and what to write instead."""
    raise typer.Exit(run(source, as_json=json, explain=explain))


def run(source: str, *, as_json: bool = False, explain: bool = False) -> int:
    """A file that cannot be read at all raises CannotDo; in a readable one every problem is a finding. ``explain``: also what
    every step was understood to say."""
    from scriptkit.papers.cautions import cautions_json
    from scriptkit.papers.step_readings import readings_json, readings_text
    from scriptkit.production import read
    from scriptkit.recipe.unconfirmed import unconfirmed

    try:
        production = read(source)
    except CannotDo as wrong:
        if as_json:
            print_json({"problems": [p.as_json() for p in wrong.problems]})
        raise
    reading, problems = production.reading, production.problems
    understood = reading.source if explain else None
    if as_json:
        promises = [p.as_json() for p in production.promised] if production.is_usable else []
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
    return {**data.pop("place"), "ingredient": name, **data}
