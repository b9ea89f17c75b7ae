"""``scriptkit pack`` and ``scriptkit shoot``: the papers of a dish or meal into one folder."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.commands.coverage import kept_cut
from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.documents import own_template_files, own_templates_told
from scriptkit.pack import make_pack, make_shoot
from scriptkit.problems import CannotDo, Place, error, printable
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.writing import write_all


def run(
    source: str,
    output: str,
    *,
    templates: str = "",
    shoot_only: bool = False,
    cut: str = "",
    log: str = "",
    as_json: bool = False,
    quiet: bool = False,
) -> int:
    """The pack of a recipe; of a folder, of every recipe in it. With a cut or a take log, its coverage too.
    Raises CannotDo where a file cannot be read or written, or the options do not go together."""
    misnamed = own_templates_told(templates)
    if source != "-" and Path(source).is_dir():
        from scriptkit.commands import pack_folder

        if cut or log:
            message = "a folder of recipes has no one cut or log"
            raise CannotDo([error(Place("--cut" if cut else "--log"), "option", message, "pack the recipe alone")])
        print_problems(misnamed)
        code = pack_folder.run(source, output, templates=templates, shoot_only=shoot_only, as_json=as_json, quiet=quiet)
        return max(code, exit_code(misnamed))
    production = Production(read_source(source), cut=cut, log=log, kept=kept_cut(output))
    pack = (make_shoot if shoot_only else make_pack)(production, own_templates=templates)
    write_all(output, pack.files, [*production.made_from, *own_template_files(templates)])
    problems = [*misnamed, *pack.problems]
    if as_json:
        print_json(
            {
                "title": pack.source.name,
                "folder": output,
                "files": list(pack.files),
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems, production.files)
        if not quiet:
            print(f"{printable(pack.source.name)}: {count_words(problems)}", file=sys.stderr)
            print(f"wrote {len(pack.files)} files to {output}: {', '.join(pack.files)}")
    return exit_code(problems)
