"""``scriptkit schema``: JSON Schema for editors."""

from __future__ import annotations

from scriptkit.commands.printing import print_raw_json
from scriptkit.problems import CannotDo, Place, any_of, error


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
