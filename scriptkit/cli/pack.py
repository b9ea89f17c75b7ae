"""``scriptkit pack`` and ``scriptkit shoot``: the papers of a dish or meal into one folder."""

from __future__ import annotations

import sys
from pathlib import Path

import typer

from scriptkit.cli.command import SUPPER, TIMES, HelpPage, command
from scriptkit.cli.options import CutTimes, Folder, Json, Log, Quiet, SourceOrFolder, Templates
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, error, printable


@command(
    "pack",
    HelpPage(
        short="everything: papers, captions, macros, publishing",
        reads=f"a dish, a meal or a folder of them; with --log a take log (.csv). {TIMES}",
        writes="17 files into DIR; with --log or --cut also coverage.html, and with --cut a cut.yaml. All of them or none; "
        "other files in DIR stay. A folder of recipes gets a folder in DIR for each.",
        examples=(
            f"scriptkit pack {SUPPER} -o pack",
            f"scriptkit pack {SUPPER} --cut examples/harbour-supper-cut.srt -o pack",
        ),
    ),
)
def pack(
    source: SourceOrFolder,
    output: Folder,
    cut: CutTimes = "",
    log: Log = "",
    templates: Templates = "",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """Everything: the papers of the shoot, overlay captions, macros, what goes with the video, and a report of what still
    needs your attention."""
    raise typer.Exit(run(source, output, templates=templates, cut=cut, log=log, as_json=json, quiet=quiet))


@command(
    "shoot",
    HelpPage(
        short="the papers of the shoot alone",
        reads="a dish, a meal or a folder of them.",
        writes="shot list, mise en place, labels, buying list, script and schedule into DIR. All of them or none.",
        examples=(f"scriptkit shoot {SUPPER} -o papers",),
    ),
)
def shoot(
    source: SourceOrFolder,
    output: Folder,
    templates: Templates = "",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The papers of the shoot alone: shot list, mise en place, labels, buying list, script, schedule."""
    raise typer.Exit(run(source, output, templates=templates, shoot_only=True, as_json=json, quiet=quiet))


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
    from scriptkit.cli.coverage import kept_cut
    from scriptkit.documents import own_template_files, own_templates_told
    from scriptkit.pack import make_pack, make_shoot
    from scriptkit.production import Production
    from scriptkit.recipe.reader import read_source
    from scriptkit.writing import write_all

    misnamed = own_templates_told(templates)
    if source != "-" and Path(source).is_dir():
        from scriptkit.cli import pack_folder

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
