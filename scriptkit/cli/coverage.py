"""``scriptkit coverage``: which additions are not on camera or not heard, which figures are spoken wrongly, how to rescue each."""

from __future__ import annotations

import os
import shlex
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import Clips, ClipShift, Force, Json, Log, Seen, Source
from scriptkit.cli.pack import pages_in
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.problems import CannotDo, Place, error, in_order, printable

if TYPE_CHECKING:
    from scriptkit.cut.coverage.answers import GapAnswer
    from scriptkit.production import Production


@command(
    "coverage",
    HelpPage(
        short="which additions are not on camera, and what to do about it",
        reads="a dish or a meal, and any of: a take log, the camera's clips, a transcript, times, a video. --clips and --video need "
        "ffmpeg.",
        writes="a report to standard output; with -o coverage.html, with a transcript or times also cut.yaml, with --video "
        "contact-sheet.html.",
        examples=(
            f"scriptkit coverage {SUPPER} --log examples/harbour-supper-takes.csv",
            f"scriptkit coverage {SUPPER} --transcript examples/harbour-supper-cut.srt -o coverage",
        ),
    ),
)
def coverage(  # noqa: PLR0917  an option each
    source: Source,
    log: Log = "",
    transcript: Annotated[
        str,
        typer.Option("--transcript", metavar="FILE", help="Transcript of the cut: SubRip, WebVTT, or [m:ss] lines."),
    ] = "",
    cut: Annotated[
        str, typer.Option("--cut", metavar="FILE", help="Times of the steps: a cut file, or an editor's markers.")
    ] = "",
    video: Annotated[
        str, typer.Option("--video", metavar="FILE", help="The cut itself: three pictures of each addition (ffmpeg).")
    ] = "",
    clips: Clips = "",
    clip_shift: ClipShift = "",
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Also write the report as a page, and the cut file.")
    ] = "",
    accept: Annotated[
        str,
        typer.Option(
            "--accept",
            metavar="NAME=WAY,…",
            help="Write what you choose into the recipe: 2:05, 2:05=recipe, capers; all corrections; or a file of saved answers.",
        ),
    ] = "",
    answers: Seen = None,
    force: Force = False,
    json: Json = False,
) -> None:
    """Which additions are not on camera or not heard, which figures are spoken wrongly, and how to rescue each."""
    raise typer.Exit(
        run(
            source,
            log=log,
            transcript=transcript,
            cut=cut,
            video=video,
            clips=clips,
            clip_shift=clip_shift,
            output=output,
            accept=accept,
            answers=tuple(answers or ()),
            force=force,
            as_json=json,
        )
    )


def run(
    source: str,
    *,
    log: str = "",
    transcript: str = "",
    cut: str = "",
    video: str = "",
    clips: str = "",
    clip_shift: str = "",
    output: str = "",
    accept: str = "",
    answers: Sequence[str] = (),
    force: bool = False,
    as_json: bool = False,
) -> int:
    """1 where anything must be seen to. ``output``: a folder for the page and the cut file;
    empty: none. ``accept``: gaps whose way out is written into the recipe's files. ``answers``: files that the pages saved. Raises CannotDo where a file cannot be read, or the options do not go together."""
    from scriptkit.papers.coverage import coverage_report, without_cards
    from scriptkit.papers.coverage_json import coverage_json
    from scriptkit.papers.coverage_text import coverage_text
    from scriptkit.production import Production
    from scriptkit.recipe.reader import read_source

    _must_make_sense(transcript, cut, video, output, log, clips, clip_shift)

    def read() -> Production:
        kept = kept_cut(output)
        found = Production(
            read_source(source),
            cut=cut,
            transcript=transcript,
            log=log,
            kept=kept,
            clips=clips,
            clip_shift=clip_shift,
            answers=answers,
        )
        found.not_so = not_so
        return found

    not_so: Sequence[GapAnswer] = ()
    if accept:
        from scriptkit.cli.accepting import accept_gaps, without_not_so

        not_so, accept = without_not_so(accept)
    production = read()
    if accept:
        accept_gaps(production, accept)
        production = read()
    coverage, rescues = production.coverage, production.rescues
    problems = [*production.reading.problems, *production.coverage_problems]
    problems += production.unshown_corrections if production.by_cut else ()
    if clips:
        problems += production.clip_problems(
            line_of("coverage", source, log=log, cut=cut, transcript=transcript, clips=clips)
        )
    files: dict[str, str] = {}
    pictures = None
    if video:
        from scriptkit.cli.contact_sheet import contact_sheet

        files["contact-sheet.html"], pictures, beyond = contact_sheet(coverage, video)
        problems += beyond
    problems = in_order(problems)
    if output:
        from scriptkit.cut.cut_file import holds_what_is_written_in
        from scriptkit.papers.files import CUT_FILE, coverage_files
        from scriptkit.written_files import write_folder

        files = (
            coverage_files(
                coverage,
                rescues,
                problems,
                beside=(*pages_in(output), *files),
                pictures=pictures,
                transcript=seen_from(output, production.spoken_file),
            )
            | files
        )
        corrected = {CUT_FILE: holds_what_is_written_in} if kept_cut(output) else {}
        done = write_folder(output, files, [*production.made_from, video], force=force, corrected=corrected)
        files = {name: files[name] for name in done.names}
        problems = in_order([*problems, *done.kept])
    if as_json:
        print_json(coverage_json(coverage, rescues, problems, production.clips if clips else None))
    else:
        print(coverage_text(production.source.name, coverage_report(coverage, rescues)))
        print_problems(without_cards(problems, coverage, rescues), production.files)
    if files:
        print(f"wrote {', '.join(files)} to {output}", file=sys.stderr)
    print(f"{printable(production.source.name)}: {count_words(problems)}", file=sys.stderr)
    if not as_json:
        print_next_of(source, cut=cut or transcript or "")
    return exit_code(problems)


def kept_cut(output: str) -> str:
    """The cut file that an earlier run left in the folder, and a person may have corrected; empty where there is none."""
    if not output:
        return ""
    from scriptkit.papers.files import CUT_FILE

    path = Path(output) / CUT_FILE
    return str(path) if path.is_file() else ""


def seen_from(folder: str, file: str) -> str:
    """The file's name as it is found from the folder, with `/`; where there is no way from there, as on another drive, its whole name."""
    if not file:
        return ""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:
        return Path(file).absolute().as_posix()


def line_of(command: str, source: str, **options: str) -> str:
    """The command as it can be copied, with those options that were given."""
    given = [word for name, value in options.items() if value for word in (f"--{name}", value)]
    return shlex.join(["scriptkit", command, source, *given])


def clips_make_sense(log: str, clips: str, clip_shift: str) -> None:
    """Raises CannotDo where clips are given without a log, or a shift without clips."""
    if clips and not log:
        option, message, hint = "--clips", "nothing tells which takes the clips are of", "give the take log with --log"
    elif clip_shift and not clips:
        option, message, hint = "--clip-shift", "there are no clips to shift", "name their folder with --clips"
    else:
        return
    raise CannotDo([error(Place(option), "option", message, hint)])


def _must_make_sense(transcript: str, cut: str, video: str, output: str, log: str, clips: str, clip_shift: str) -> None:
    clips_make_sense(log, clips, clip_shift)
    if video and not output:
        message, hint = "the contact sheet has nowhere to go", "say where with -o DIR"
    elif video and not (transcript or cut):
        message = "nothing tells where in the video the additions are"
        hint = "give its transcript with --transcript, or a cut file or markers with --cut"
    else:
        return
    raise CannotDo([error(Place("--video"), "option", message, hint)])
