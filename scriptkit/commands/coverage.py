"""``scriptkit coverage``: which additions are not on camera or not heard, which figures are said wrongly, how to rescue each."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.papers.coverage import coverage_report, coverage_text
from scriptkit.papers.coverage_json import coverage_json
from scriptkit.papers.files import CUT_FILE, coverage_files
from scriptkit.problems import CannotDo, Place, error, in_order, printable
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source


def run(
    source: str,
    *,
    log: str = "",
    transcript: str = "",
    cut: str = "",
    video: str = "",
    output: str = "",
    as_json: bool = False,
) -> int:
    """1 where anything must be seen to. ``output``: a folder for the page and the cut file;
    empty: none. Raises CannotDo where a file cannot be read, or the options do not go together."""
    _must_make_sense(transcript, cut, video, output)
    production = Production(read_source(source), cut=cut, transcript=transcript, log=log, kept=kept_cut(output))
    coverage, rescues = production.coverage, production.rescues
    problems = [*production.reading.problems, *production.coverage_problems]
    files: dict[str, str] = {}
    if video:
        from scriptkit.commands.contact_sheet import contact_sheet

        files["contact-sheet.html"], beyond = contact_sheet(coverage, video)
        problems += beyond
    problems = in_order(problems)
    if output:
        from scriptkit.writing import write_all

        files = coverage_files(coverage, rescues, problems) | files
        write_all(output, files, [*production.made_from, video])
    if as_json:
        print_json(coverage_json(coverage, rescues, problems))
    else:
        print(coverage_text(production.source.name, coverage_report(coverage, rescues)))
        print_problems(problems, production.files)
    if files:
        print(f"wrote {', '.join(files)} to {output}", file=sys.stderr)
    print(f"{printable(production.source.name)}: {count_words(problems)}", file=sys.stderr)
    return exit_code(problems)


def kept_cut(output: str) -> str:
    """The cut file that an earlier run left in the folder, and a person may have corrected; empty where there is none."""
    path = Path(output) / CUT_FILE
    return str(path) if output and path.is_file() else ""


def _must_make_sense(transcript: str, cut: str, video: str, output: str) -> None:
    if video and not output:
        message, hint = "the contact sheet has nowhere to go", "say where with -o DIR"
    elif video and not (transcript or cut):
        message = "nothing tells where in the video the additions are"
        hint = "give its transcript with --transcript, or a cut file or markers with --cut"
    else:
        return
    raise CannotDo([error(Place("--video"), "option", message, hint)])
