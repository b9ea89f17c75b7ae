"""``scriptkit check``: everything that is wrong with the written dish or meal, at once."""

from __future__ import annotations

import sys

from scriptkit.checks import check
from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, in_order
from scriptkit.recipe.reader import read_source


def run(source: str, *, as_json: bool = False) -> int:
    """A file that cannot be read at all raises CannotDo; in a readable one every problem is a finding."""
    try:
        reading = read_source(source)
    except CannotDo as wrong:
        if as_json:
            print_json({"problems": [p.as_json() for p in wrong.problems]})
        raise
    found = check(reading.source) if reading.source is not None else []
    problems = in_order([*reading.problems, *found])
    if as_json:
        print_json({"problems": [p.as_json() for p in problems]})
    else:
        print_problems(problems, reading.texts)
        name = reading.source.name if reading.source else source
        print(f"{name}: {count_words(problems)}", file=sys.stderr)
    return exit_code(problems)
