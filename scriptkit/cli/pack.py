"""``scriptkit pack`` and ``scriptkit shoot``: the papers of a dish or meal into one folder."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

import typer

from scriptkit.cli.changed import ForServings, reading_for
from scriptkit.cli.command import SUPPER, TIMES, HelpPage, command
from scriptkit.cli.options import (
    Clips,
    ClipShift,
    CutTimes,
    Folder,
    Force,
    Json,
    Log,
    Print,
    Quiet,
    Seen,
    SourceOrFolder,
    Templates,
    Voice,
)
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.papers.binder import INDEX
from scriptkit.problems import CannotDo, Place, Problem, error, printable, warning


@command(
    "pack",
    HelpPage(
        short="everything: papers, captions, macros, publishing",
        reads=f"a dish, a meal or a folder of them; with --log a take log (.csv). {TIMES}",
        writes="a binder into DIR: open index.html first. What machines read is in DIR/files; with --log or --cut also "
        "coverage.html, and with --cut a cut.yaml. All of them or none; other files in DIR stay. A folder of recipes gets a "
        "folder in DIR for each.",
        examples=(
            f"scriptkit pack {SUPPER} -o pack",
            f"scriptkit pack {SUPPER} --cut examples/harbour-supper-cut.srt -o pack",
            f"scriptkit pack {SUPPER} --print -o pack",
        ),
    ),
)
def pack(  # noqa: PLR0917  an option each
    source: SourceOrFolder,
    output: Folder,
    cut: CutTimes = "",
    log: Log = "",
    clips: Clips = "",
    clip_shift: ClipShift = "",
    answers: Seen = None,
    to_print: Print = False,
    voice: Voice = "",
    servings: ForServings = None,
    templates: Templates = "",
    force: Force = False,
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """Everything: the papers of the shoot, overlay captions, macros, what goes with the video, and a report of what still
    needs your attention."""
    raise typer.Exit(
        run(
            source,
            output,
            templates=templates,
            cut=cut,
            log=log,
            clips=clips,
            clip_shift=clip_shift,
            answers=tuple(answers or ()),
            voice=voice,
            to_print=to_print,
            servings=servings,
            force=force,
            as_json=json,
            quiet=quiet,
        )
    )


@command(
    "shoot",
    HelpPage(
        short="the papers of the shoot alone",
        reads="a dish, a meal or a folder of them.",
        writes="stage page, shot list, mise en place, labels, buying list, script and schedule into DIR: open index.html first. All of them "
        "or none.",
        examples=(f"scriptkit shoot {SUPPER} -o papers",),
    ),
)
def shoot(  # noqa: PLR0917  an option each
    source: SourceOrFolder,
    output: Folder,
    to_print: Print = False,
    voice: Voice = "",
    servings: ForServings = None,
    templates: Templates = "",
    force: Force = False,
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The papers of the shoot alone: stage page, shot list, mise en place, labels, buying list, script, schedule."""
    raise typer.Exit(
        run(
            source,
            output,
            templates=templates,
            voice=voice,
            shoot_only=True,
            to_print=to_print,
            servings=servings,
            force=force,
            as_json=json,
            quiet=quiet,
        )
    )


def run(
    source: str,
    output: str,
    *,
    templates: str = "",
    shoot_only: bool = False,
    cut: str = "",
    log: str = "",
    clips: str = "",
    clip_shift: str = "",
    answers: Sequence[str] = (),
    to_print: bool = False,
    voice: str = "",
    servings: float | None = None,
    force: bool = False,
    as_json: bool = False,
    quiet: bool = False,
) -> int:
    """The pack of a recipe; of a folder, of every recipe in it. With a cut or a take log, its coverage too, by the same
    clips and answers as ``coverage``.
    Raises CannotDo where a file cannot be read or written, or the options do not go together."""
    from scriptkit.cli.coverage import clips_make_sense, kept_cut, line_of, seen_from
    from scriptkit.cut.cut_file import holds_what_is_written_in
    from scriptkit.documents import own_template_files, own_templates_told
    from scriptkit.pack import make_pack, make_shoot
    from scriptkit.papers.files import CUT_FILE
    from scriptkit.production import Production
    from scriptkit.written_files import write_folder

    misnamed = own_templates_told(templates)
    if source != "-" and Path(source).is_dir():
        from scriptkit.cli import pack_folder

        of_one = {
            "--cut": cut,
            "--log": log,
            "--clips": clips,
            "--clip-shift": clip_shift,
            "--answers": answers,
            "--voice": voice,
        }
        given = [name for name, value in of_one.items() if value] + (["--servings"] if servings is not None else [])
        if given:
            message = "a folder of recipes has no one cut, log, camera, voice or number of servings"
            named = given[0]
            raise CannotDo([error(Place(named), "option", message, "pack the recipe alone")])
        print_problems(misnamed)
        code = pack_folder.run(
            source,
            output,
            templates=templates,
            shoot_only=shoot_only,
            to_print=to_print,
            force=force,
            as_json=as_json,
            quiet=quiet,
        )
        return max(code, exit_code(misnamed))
    clips_make_sense(log, clips, clip_shift)
    if answers and not (cut or log):
        message = "there is no coverage report for the answers to count in"
        raise CannotDo(
            [error(Place("--answers"), "option", message, "give the take log with --log, or the cut with --cut")]
        )
    kept = kept_cut(output)
    production = Production(
        reading_for(source, servings),
        cut=cut,
        log=log,
        voice=voice,
        kept=kept,
        clips=clips,
        clip_shift=clip_shift,
        answers=answers,
    )
    if shoot_only:
        pack = make_shoot(production, own_templates=templates, to_print=to_print)
    else:
        line = line_of("pack", source, log=log, cut=cut, clips=clips, output=output)
        also = production.clip_problems(line) if clips else []
        pack = make_pack(
            production,
            own_templates=templates,
            to_print=to_print,
            also=also,
            transcript=seen_from(output, production.spoken_file),
        )
    made_from = [*production.made_from, *own_template_files(templates)]
    corrected = {CUT_FILE: holds_what_is_written_in} if kept else {}
    done = write_folder(output, pack.files, made_from, force=force, corrected=corrected)
    problems = [*misnamed, *pack.problems, *done.kept, *out_of_date(output, pack.files)]
    if as_json:
        print_json(
            {
                "title": pack.source.name,
                "folder": output,
                "open": str(Path(output) / INDEX),
                "files": list(done.names),
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        if not quiet:
            print(f"open {printable(str(Path(output) / INDEX))}", flush=True)
        print_problems(problems, production.files)
        if not quiet:
            print(f"{printable(pack.source.name)}: {count_words(problems)}", file=sys.stderr)
            print(f"wrote {len(done.names)} files to {output}: {', '.join(done.names)}", flush=True)
            print_next_of(source, problems, packed=output, cut=cut or "")
    return exit_code(problems)


def pages_in(output: str) -> tuple[str, ...]:
    """The pages of a binder that lie in the folder already, for what is added to it to link to; none where there is no folder."""
    from scriptkit.papers.binder import PAGES

    return tuple(name for name in PAGES if (Path(output) / name).is_file())


def out_of_date(output: str, files: Iterable[str]) -> list[Problem]:
    """A warning of what an earlier pack left in the folder, at a place where no pack writes any more: it is never taken away, for a
    person may have written in it."""
    from scriptkit.papers.binder import MACHINE_FOLDER, in_the_old_place

    there = frozenset(path.name for path in Path(output).iterdir() if path.is_file())
    old = in_the_old_place(files, there)
    if not old:
        return []
    message = f"{', '.join(old)} {'is' if len(old) == 1 else 'are'} from an earlier pack and out of date"
    hint = f"use those in {Path(output) / MACHINE_FOLDER}; copy what you wrote in the old ones, and delete them"
    return [warning(Place(output), "out-of-date", message, hint)]
