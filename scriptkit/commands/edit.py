"""``scriptkit paper-edit``: the circled takes of a log in script order, for the cutter."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, error, in_order
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.csv_cells import MOST_BYTES
from scriptkit.shoot.log_reader import read_log
from scriptkit.shoot.paper_edit import decision_lists, edit_problems, paper_edit, write_paper_edit
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots import shots_of
from scriptkit.shoot.take_log import rate_of
from scriptkit.writing import write_all

NAME = "paper-edit"


def run(source: str, log: str, output: str, *, as_json: bool = False) -> int:
    """Writes the CSV, and the decision lists where OpenTimelineIO is installed. Raises CannotDo
    where the recipe or the log cannot be read, or the folder cannot be written."""
    reading = read_source(source)
    read = reading.usable()
    shots = shots_of(plan_of(read))
    taken = read_log(_bytes(log), log, read, shots)
    takes = taken.usable(log)
    cuts = paper_edit(shots, takes)
    rate = rate_of(read)
    files = {f"{NAME}.csv": write_paper_edit(cuts, rate)}
    lacking = ""
    try:
        files |= {f"{NAME}.{ending}": text for ending, text in decision_lists(cuts, read.name, rate).items()}
    except ImportError:
        lacking = "no decision list was made: OpenTimelineIO is not installed (pip install 'scriptkit[otio]')"
    write_all(output, files, [*reading.texts, log])
    problems = in_order([*reading.problems, *taken.problems, *edit_problems(cuts, takes)])
    circled = sum(cut.take is not None for cut in cuts)
    if as_json:
        print_json(
            {
                "title": read.name,
                "folder": output,
                "files": list(files),
                "takes": len(takes),
                "circled": circled,
                "shots_without_circled_take": sum(cut.take is None and not cut.instead for cut in cuts),
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems, {**reading.texts, log: taken.lines})
        print(f"{read.name}: {count_words(problems)}", file=sys.stderr)
        print(f"{len(takes)} takes, {circled} circled; wrote {', '.join(files)} to {output}")
    if lacking:
        print(lacking, file=sys.stderr)
    return exit_code(problems)


def _bytes(path: str) -> bytes:
    try:
        with Path(path).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as wrong:
        why = getattr(wrong, "strerror", None) or str(wrong)
        raise CannotDo(
            [error(Place(path), "cannot-read", f"the take log cannot be read: {why}", "check --log")]
        ) from None
