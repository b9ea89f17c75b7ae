"""``scriptkit pack``: every paper of a dish or meal into one folder."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.documents import write_all
from scriptkit.pack import make_pack
from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.reader import read_source


def run(source: str, output: str, *, templates: str = "", as_json: bool = False) -> int:
    if templates and not Path(templates).is_dir():
        raise CannotDo(
            [error(Place(templates), "no-such-folder", "there is no such folder of templates", "check --templates")]
        )
    reading = read_source(source)
    pack = make_pack(reading, own_templates=templates)
    write_all(output, pack.files)
    if as_json:
        print_json(
            {
                "title": pack.source.name,
                "folder": output,
                "files": list(pack.files),
                "problems": [p.as_json() for p in pack.problems],
            }
        )
    else:
        print_problems(pack.problems, reading.texts)
        print(f"{pack.source.name}: {count_words(pack.problems)}", file=sys.stderr)
        print(f"wrote {len(pack.files)} files to {output}: {', '.join(pack.files)}")
    return exit_code(pack.problems)
