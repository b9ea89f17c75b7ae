"""``scriptkit coverage``: which additions are not on camera or not heard, which figures are said wrongly, how to rescue each."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.covering import CUT_FILE, coverage_files, page_of, rescues_in
from scriptkit.cut.coverage import Coverage, coverage_of
from scriptkit.cut.placement import MARKER, Cut
from scriptkit.cut.transcript import Transcript
from scriptkit.pages_coverage import coverage_json, coverage_text
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, printable
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots import Shot, shots_of
from scriptkit.shoot.take_log import Take


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
    reading = read_source(source)
    read = reading.usable()
    texts: dict[str, Sequence[str]] = dict(reading.texts)
    coverage, told = gathered(read, texts, log=log, transcript=transcript, cut=cut, output=output)
    rescues = rescues_in(coverage)
    problems = [*reading.problems, *told]
    files: dict[str, str] = {}
    if video:
        from scriptkit.commands.contact_sheet import contact_sheet

        files["contact-sheet.html"], beyond = contact_sheet(coverage, video, page_of(coverage))
        problems += beyond
    problems = in_order(problems)
    if output:
        from scriptkit.writing import write_all

        files = coverage_files(coverage, rescues, problems) | files
        write_all(output, files, [*reading.texts, log, transcript, cut, video])
    if as_json:
        print_json(coverage_json(coverage, rescues, problems))
    else:
        print(coverage_text(coverage, rescues))
        print_problems(problems, texts)
    if files:
        print(f"wrote {', '.join(files)} to {output}", file=sys.stderr)
    print(f"{printable(read.name)}: {count_words(problems)}", file=sys.stderr)
    return exit_code(problems)


def gathered(
    source: Dish | Meal,
    texts: dict[str, Sequence[str]],
    *,
    log: str = "",
    transcript: str = "",
    cut: str = "",
    output: str = "",
) -> tuple[Coverage, list[Problem]]:
    """The coverage of a dish or meal by the files that there are, and what a person must be told. The lines of each file
    are put into ``texts``; ``output`` is the folder that may hold a cut file made before. Raises CannotDo where one of
    them cannot be read."""
    shots = shots_of(plan_of(source))
    problems: list[Problem] = []
    takes: tuple[Take, ...] | None = None
    if log:
        takes, told = _takes(log, source, shots, texts)
        problems += told
    if cut and not transcript and _is_transcript(cut):
        transcript, cut = cut, ""
    said = _transcript(transcript, texts) if transcript else None
    placed = _cut(source, cut, said, output)
    coverage = coverage_of(source, shots, takes=takes, transcript=said, cut=placed)
    return coverage, [*problems, *coverage.problems]


def _must_make_sense(transcript: str, cut: str, video: str, output: str) -> None:
    if video and not output:
        message, hint = "the contact sheet has nowhere to go", "say where with -o DIR"
    elif video and not (transcript or cut):
        message = "nothing tells where in the video the additions are"
        hint = "give its transcript with --transcript, or a cut file or markers with --cut"
    else:
        return
    raise CannotDo([error(Place("--video"), "option", message, hint)])


def _takes(
    path: str, source: Dish | Meal, shots: Sequence[Shot], texts: dict[str, Sequence[str]]
) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    from scriptkit.shoot.log_reader import read_log
    from scriptkit.timed_text.opening import bytes_of

    log = read_log(bytes_of(path), path, source, shots)
    texts[path] = log.lines
    return log.usable(path), log.problems


def _is_transcript(path: str) -> bool:
    """Whether the file of `--cut` is one, which then tells what is heard as well."""
    from scriptkit.cut.cut_file import looks_like_cut
    from scriptkit.cut.source import LARGEST_TIMELINE
    from scriptkit.cut.transcript_reader import looks_like_transcript
    from scriptkit.timed_text.opening import bytes_of
    from scriptkit.timed_text.reading import decode

    text = decode(bytes_of(path, LARGEST_TIMELINE), path)[0]
    return not looks_like_cut(text) and looks_like_transcript(text)


def _transcript(path: str, texts: dict[str, Sequence[str]]) -> Transcript:
    from scriptkit.cut.transcript_reader import read_transcript
    from scriptkit.timed_text.opening import bytes_of
    from scriptkit.timed_text.reading import decode

    raw = bytes_of(path)
    texts[path] = decode(raw, path)[0].splitlines()
    return read_transcript(raw, path)


def _cut(source: Dish | Meal, path: str, transcript: Transcript | None, output: str) -> Cut | None:
    """Where the steps stand: what is heard, around what a person or an editor has set; a cut file that is made anew keeps
    what was set in it by hand."""
    kept = path or (
        str(Path(output) / CUT_FILE) if transcript and output and (Path(output) / CUT_FILE).is_file() else ""
    )
    known = None
    if kept:
        from scriptkit.cut.source import cut_of

        known = cut_of(source, kept)
    if transcript is None or (known is not None and any(p.known_from == MARKER for p in known.placements)):
        return known
    from scriptkit.cut.placing import place

    return place(source, transcript, known)
