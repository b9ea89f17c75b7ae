"""``scriptkit check``: everything that is wrong with the written dish or meal, at once."""

from __future__ import annotations

import sys

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo
from scriptkit.production import read


def run(source: str, *, as_json: bool = False) -> int:
    """A file that cannot be read at all raises CannotDo; in a readable one every problem is a finding."""
    try:
        production = read(source)
    except CannotDo as wrong:
        if as_json:
            print_json({"problems": [p.as_json() for p in wrong.problems]})
        raise
    reading, problems = production.reading, production.problems
    if as_json:
        print_json({"problems": [p.as_json() for p in problems]})
    else:
        print_problems(problems, reading.texts)
        name = reading.source.name if reading.source else source
        print(f"{name}: {count_words(problems)}", file=sys.stderr)
    return exit_code(problems)
