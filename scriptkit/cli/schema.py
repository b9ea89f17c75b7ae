"""``scriptkit schema``: JSON Schema for editors."""

from __future__ import annotations

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import Kind
from scriptkit.cli.printing import print_raw_json
from scriptkit.problems import CannotDo, Place, any_of, error


@command(
    "schema",
    HelpPage(
        short="JSON Schema of a file, for editors",
        reads="nothing.",
        writes="JSON Schema 2020-12 to standard output. `scriptkit new` puts it beside a file by itself.",
        exits="0 done; 2 there is no such kind of file.",
        examples=("scriptkit schema meal",),
    ),
)
def schema(kind: Kind = "dish") -> None:
    """The JSON Schema of a file, for editors that complete and check YAML."""
    raise typer.Exit(run(kind))


def run(kind: str) -> int:
    """The schema of one kind of file; always 0. Raises CannotDo where there is no such kind."""
    from scriptkit.recipe.forms import FORMS
    from scriptkit.recipe.schema import json_schema

    if kind not in FORMS:
        raise CannotDo(
            [error(Place("schema"), "option", f"“{kind}” is not a kind of file", f"write {any_of(list(FORMS))}")]
        )
    print_raw_json(json_schema(kind))
    return 0
