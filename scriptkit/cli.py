"""Commands: read arguments, call one function, print.

Exit 0: done, nothing wrong. 1: done, and something needs attention. 2: could not be done. What `--help` says below the
options stands in manual.py.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Annotated, Any, NoReturn

import typer

from scriptkit import __version__
from scriptkit.leaving import leave_with
from scriptkit.manual import LAY_OUT, PAGES, SUPPER, epilog
from scriptkit.options import (
    AtLeast,
    AtMost,
    Basis,
    CaptionsIn,
    Cards,
    CutTimes,
    Dialogue,
    Explain,
    Folder,
    Json,
    Kind,
    Log,
    NowRate,
    Profile,
    Quiet,
    Rate,
    Sounds,
    Source,
    SourceOrFolder,
    Templates,
    WasRate,
)

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="One recipe file in; the shoot's papers, true macros and overlay captions out.",
    epilog="Exit codes: 0 done, nothing wrong; 1 done, and something needs attention; 2 could not be done, and nothing was "
    "written. Problems go to standard error as FILE:LINE:COLUMN: severity: message [code], data to standard output.\n\n"
    f"\b\nExamples:\n  {LAY_OUT}\n  scriptkit pack {SUPPER} -o pack\n  scriptkit COMMAND --help",
)


def command(name: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A command with its page of the manual."""
    page = PAGES[name]
    made: Any = app.command(name, short_help=page.short, epilog=epilog(page))
    return made  # type: ignore[no-any-return]


@command("new")
def new(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="Its name; left out with --from: the recipe's.")
    ] = None,
    output: Annotated[
        str,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="File to write; left out: named after the dish. With --example the folder; left out: examples.",
        ),
    ] = "",
    found_in: Annotated[
        str,
        typer.Option(
            "--from", metavar="FILE", help="A recipe to draft it from: a saved page, schema.org JSON-LD, or plain text."
        ),
    ] = "",
    dishes: Annotated[
        list[str] | None,
        typer.Option("--dish", metavar="FILE", help="Start a meal of this dish instead; may be repeated."),
    ] = None,
    example: Annotated[
        str,
        typer.Option("--example", metavar="NAME", help="Lay an example out, with its dishes; or `all`. `list`: which."),
    ] = "",
) -> None:
    """Start a dish: a file with every part in it, or a draft of a recipe with every guess marked; or a meal of dishes."""
    from scriptkit.commands import new

    raise typer.Exit(new.run(name, output, found_in, dishes or (), example))


@command("check")
def check(
    source: Source,
    explain: Explain = False,
    json: Json = False,
) -> None:
    """Check a dish or meal: unused and unlisted ingredients, times, narration against picture, temperatures, allergens, limits.
    All problems at once, each with its line and what to write instead."""
    from scriptkit.commands import check

    raise typer.Exit(check.run(source, as_json=json, explain=explain))


@command("macros")
def macros(
    source: Source,
    portion: Annotated[
        str, typer.Option(metavar="AMOUNT", help="Also this much of the dish: 250 g, 1 cup, 1/2 serving.")
    ] = "",
    basis: Basis = "us",
    label: Annotated[bool, typer.Option("--label", help="Also as a US label rounds it, 21 CFR 101.9.")] = False,
    single: Annotated[
        bool, typer.Option("--single", help="Net carbs as one figure, without the range between food tables.")
    ] = False,
    json: Json = False,
) -> None:
    """Macros by ingredient, batch, serving and 100 g; of a meal by dish and plate."""
    from scriptkit.commands import macros

    raise typer.Exit(macros.run(source, portion=portion, basis=basis, label=label, single=single, as_json=json))


@command("portion")
def portion(source: Source, at_most: AtMost = None, at_least: AtLeast = None, json: Json = False) -> None:
    """Portions of a meal nearest to the usual ones that keep the limits; or which limits contradict one another."""
    from scriptkit.commands import portion

    raise typer.Exit(portion.run(source, at_most=at_most or [], at_least=at_least or [], as_json=json))


@command("pair")
def pair(
    dish: Annotated[str, typer.Argument(metavar="DISH", help="The dish to find a partner for.")],
    folder: Annotated[str, typer.Option("--with", metavar="FOLDER", help="The folder of dishes to choose from.")],
    at_most: AtMost = None,
    at_least: AtLeast = None,
    most: Annotated[int, typer.Option("--most", min=1, max=1000, help="How many to list.")] = 10,
    json: Json = False,
) -> None:
    """Which dish of a folder goes with this one on a plate that keeps the limits, and in which portions."""
    from scriptkit.commands import pair

    raise typer.Exit(pair.run(dish, folder, at_most=at_most or [], at_least=at_least or [], most=most, as_json=json))


@command("schedule")
def schedule(
    source: Source,
    serve: Annotated[
        str, typer.Option(metavar="HH:MM", help="When it is served: prints times of day and when to start.")
    ] = "",
    fewer: Annotated[
        bool, typer.Option("--fewer", help="Also how many minutes longer with one burner, cook or pan fewer.")
    ] = False,
    json: Json = False,
) -> None:
    """Who does what when, so that the dishes land together in the shortest time."""
    from scriptkit.commands import schedule

    raise typer.Exit(schedule.run(source, serve=serve, fewer=fewer, as_json=json))


@command("food")
def food(
    words: Annotated[list[str], typer.Argument(metavar="WORDS", help="Words from its name.")],
    most: Annotated[int, typer.Option("--most", min=1, max=200, help="How many foods to list.")] = 12,
    json: Json = False,
) -> None:
    """Find a food of the pantry: its figures, its household weights and the row they come from."""
    from scriptkit.commands import food

    raise typer.Exit(food.run(" ".join(words), most=most, as_json=json))


@command("schema")
def schema(kind: Kind = "dish") -> None:
    """The JSON Schema of a file, for editors that complete and check YAML."""
    from scriptkit.commands import schema

    raise typer.Exit(schema.run(kind))


@command("pack")
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
    from scriptkit.commands import pack

    raise typer.Exit(pack.run(source, output, templates=templates, cut=cut, log=log, as_json=json, quiet=quiet))


@command("shoot")
def shoot(
    source: SourceOrFolder,
    output: Folder,
    templates: Templates = "",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The papers of the shoot alone: shot list, mise en place, labels, buying list, script, schedule."""
    from scriptkit.commands import pack

    raise typer.Exit(pack.run(source, output, templates=templates, shoot_only=True, as_json=json, quiet=quiet))


@command("paper-edit")
def paper_edit(
    source: Source,
    log: Annotated[str, typer.Option("--log", metavar="FILE", help="The take log of the shoot (CSV).")],
    output: Folder,
    json: Json = False,
) -> None:
    """The circled takes in script order, as CSV and as an edit decision list; and which additions have none."""
    from scriptkit.commands import edit

    raise typer.Exit(edit.run(source, log, output, as_json=json))


@command("coverage")
def coverage(
    source: Source,
    log: Log = "",
    transcript: Annotated[
        str,
        typer.Option("--transcript", metavar="FILE", help="Transcript of the cut: SubRip, WebVTT, or [m:ss] lines."),
    ] = "",
    cut: Annotated[
        str, typer.Option("--cut", metavar="FILE", help="Where the steps stand: a cut file, or an editor's markers.")
    ] = "",
    video: Annotated[
        str, typer.Option("--video", metavar="FILE", help="The cut itself: three pictures of each addition (ffmpeg).")
    ] = "",
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Also write the report as a page, and the cut file.")
    ] = "",
    json: Json = False,
) -> None:
    """Which additions are not on camera or not heard, which figures are said wrongly, and how to rescue each."""
    from scriptkit.commands import coverage

    raise typer.Exit(
        coverage.run(source, log=log, transcript=transcript, cut=cut, video=video, output=output, as_json=json)
    )


@command("captions")
def captions(  # noqa: PLR0917  an option each
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="To write to: .srt, .vtt or .ttml.")],
    profile: Profile = "streaming",
    fps: Rate = "",
    start: Annotated[
        str, typer.Option(metavar="HH:MM:SS:FF", help="Time code of the first frame. Default: 00:00:00:00.")
    ] = "",
    crlf: Annotated[bool, typer.Option("--crlf", help="CRLF line endings, for older editors.")] = False,
    bom: Annotated[
        bool, typer.Option("--bom", help="Start with a byte order mark, for players that need one.")
    ] = False,
    cut: CutTimes = "",
    dialogue: Dialogue = "",
    sounds: Sounds = False,
    cards: Cards = "",
    json: Json = False,
) -> None:
    """The overlay captions alone: additions, time, cautions and macro cards, on whole frames. Without --fps the frame rate is
    the file's."""
    from scriptkit.commands import captions

    raise typer.Exit(
        captions.run(
            captions.Wanted(
                source=source, output=output, profile=profile, rate=fps, start=start, crlf=crlf, bom=bom,
                cut=cut, dialogue=dialogue, sounds=sounds, cards=cards, as_json=json,
            )
        )
    )  # fmt: skip


@command("preview")
def preview(
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="An .mp4 or .mkv file.")],
    video: Annotated[
        str,
        typer.Option(metavar="FILE", help="The video to burn into; left out, a plain slate with the planned timing."),
    ] = "",
    cut: CutTimes = "",
    profile: Profile = "streaming",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The overlay burnt into a small video, to be looked at."""
    from scriptkit.commands import preview

    raise typer.Exit(preview.run(source, output, video=video, cut=cut, profile=profile, as_json=json, quiet=quiet))


@command("proof")
def proof(
    file: CaptionsIn,
    profile: Profile = "streaming",
    fps: Rate = "",
    fix: Annotated[
        str,
        typer.Option(
            metavar="FILE",
            help="Write the captions with every safe repair to this file, and list what is left. Name the same file to change it itself.",
        ),
    ] = "",
    recipe: Annotated[
        str,
        typer.Option(metavar="SOURCE", help="Also kitchen words likely misheard, by the words of this dish or meal."),
    ] = "",
    json: Json = False,
) -> None:
    """Proof any caption file against a published profile, and repair what is safe. With --fps also whether its times lie on
    frames."""
    from scriptkit.commands import proof

    raise typer.Exit(proof.run(file, profile=profile, rate=fps, fix=fix, recipe=recipe, as_json=json))


@command("conform")
def conform(
    file: CaptionsIn,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="To write to.")],
    offset: Annotated[
        str,
        typer.Option(
            metavar="TIME", help="Shift in seconds, later; negative is earlier: 90, -1.5, 2:05.5 (minutes:seconds)."
        ),
    ] = "",
    was: WasRate = "",
    now: NowRate = "",
    cut_map: Annotated[
        str,
        typer.Option(
            "--map", metavar="FILE", help="CSV of old,new times, a line for each stretch; `cut` takes one out."
        ),
    ] = "",
    fps: Rate = "",
) -> None:
    """Move a caption file to another cut: an offset, another frame rate, or a map of stretches. --fps is only for times that
    are written as time code (00:01:05:12)."""
    from scriptkit.commands import conform

    raise typer.Exit(conform.run(file, output, by=offset, was=was, now=now, cut_map=cut_map, rate=fps))


@command("publish")
def publish(
    source: Source,
    output: Folder,
    cut: CutTimes = "",
    servings: Annotated[
        float | None, typer.Option("--servings", metavar="N", help="Amounts for N servings, or N plates of a meal.")
    ] = None,
    templates: Templates = "",
    json: Json = False,
) -> None:
    """What goes with the video: description, chapters, recipe card, linked data, pinned comment."""
    from scriptkit.commands import publish

    raise typer.Exit(publish.run(source, output, cut=cut, servings=servings, templates=templates, as_json=json))


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"scriptkit {__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """What stands before any command."""


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    # other packages' plug-ins of pydantic, numpy on every core: neither is wanted, and both take time
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    leave_with(lambda: app(prog_name="scriptkit"))
