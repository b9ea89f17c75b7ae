"""``scriptkit paper-edit``: the circled takes of a log in script order, for the cutter."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import Folder, Force, Json, Source
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_after_filming, print_next_of_the_edit
from scriptkit.problems import in_order


@command(
    "paper-edit",
    HelpPage(
        short="the circled takes in script order",
        reads="a dish or a meal, and the take log (.csv) that the stage page saved or a person typed.",
        writes="paper-edit.csv into DIR; also paper-edit.edl (CMX 3600) and paper-edit.otio where OpenTimelineIO is installed.",
        examples=(f"scriptkit paper-edit {SUPPER} --log examples/harbour-supper-takes.csv -o edit",),
    ),
)
def paper_edit(
    source: Source,
    log: Annotated[str, typer.Option("--log", metavar="FILE", help="The take log of the shoot (CSV).")],
    output: Folder,
    force: Force = False,
    json: Json = False,
) -> None:
    """The circled takes in script order, as CSV and as an edit decision list; and which additions have none."""
    raise typer.Exit(run(source, log, output, force=force, as_json=json))


NAME = "paper-edit"


def run(source: str, log: str, output: str, *, force: bool = False, as_json: bool = False) -> int:
    """Writes the CSV, and the decision lists where OpenTimelineIO is installed. Raises CannotDo
    where the recipe or the log cannot be read, or the folder cannot be written."""
    from scriptkit.production import read
    from scriptkit.shoot.log.paper_edit import decision_lists, edit_problems, paper_edit, write_paper_edit
    from scriptkit.shoot.log.take_log import rate_of
    from scriptkit.written_files import write_folder

    production = read(source, log=log)
    title, takes = production.source.name, production.takes or ()
    cuts = paper_edit(production.shots, takes)
    rate = rate_of(production.source)
    files = {f"{NAME}.csv": write_paper_edit(cuts, rate)}
    lacking = ""
    try:
        files |= {f"{NAME}.{ending}": text for ending, text in decision_lists(cuts, title, rate).items()}
    except ImportError:
        lacking = "no decision list was made: OpenTimelineIO is not installed (`pip install OpenTimelineIO otio-cmx3600-adapter`)"
    done = write_folder(output, files, production.made_from, force=force)
    files = {name: files[name] for name in done.names}
    of_log = production.log.problems if production.log is not None else ()
    problems = in_order([*production.reading.problems, *of_log, *edit_problems(cuts, takes), *done.kept])
    circled = sum(cut.take is not None for cut in cuts)
    if as_json:
        print_json(
            {
                "title": title,
                "folder": output,
                "files": list(files),
                "takes": len(takes),
                "circled": circled,
                "shots_without_circled_take": sum(cut.take is None and not cut.instead for cut in cuts),
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems, production.files)
        print(f"{title}: {count_words(problems)}", file=sys.stderr)
        print(f"{len(takes)} takes, {circled} circled; wrote {', '.join(files)} to {output}")
    if lacking:
        print(lacking, file=sys.stderr)
    if not as_json:
        if circled:
            print_next_of_the_edit(source, Path(output) / (f"{NAME}.edl" if f"{NAME}.edl" in files else f"{NAME}.csv"))
        else:
            print_next_after_filming(source, Path(log), Path(output))
    return exit_code(problems)
