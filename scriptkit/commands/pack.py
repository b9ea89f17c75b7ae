"""``scriptkit pack`` and ``scriptkit shoot``: the papers of a dish or meal into one folder."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.documents import write_all
from scriptkit.pack import make_pack, make_shoot
from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.reader import read_source


def run(
    source: str,
    output: str,
    *,
    templates: str = "",
    shoot_only: bool = False,
    as_json: bool = False,
    quiet: bool = False,
) -> int:
    """The pack of a recipe; of a folder, of every recipe in it."""
    if templates and not Path(templates).is_dir():
        raise CannotDo(
            [error(Place(templates), "no-such-folder", "there is no such folder of templates", "check --templates")]
        )
    if source != "-" and Path(source).is_dir():
        from scriptkit.commands import pack_folder

        return pack_folder.run(source, output, templates=templates, shoot_only=shoot_only, as_json=as_json, quiet=quiet)
    reading = read_source(source)
    pack = (make_shoot if shoot_only else make_pack)(reading, own_templates=templates)
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
        if not quiet:
            print(f"{pack.source.name}: {count_words(pack.problems)}", file=sys.stderr)
        if not quiet:
            print(f"wrote {len(pack.files)} files to {output}: {', '.join(pack.files)}")
    return exit_code(pack.problems)
