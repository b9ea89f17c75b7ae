"""Commands: read arguments, call one function, print. The one place that turns exceptions into exit codes.

Exit 0: done, nothing wrong. 1: done, and something a person must fix. 2: could not be done.
"""

from __future__ import annotations

import os
import sys
from typing import Annotated, NoReturn

import typer

from scriptkit import __version__
from scriptkit.options import AtLeast, AtMost, Folder, Json, Quiet, Source, SourceOrFolder, Templates
from scriptkit.problems import CannotDo

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="One recipe file in; the shoot's papers, true macros and overlay captions out.",
    epilog="Exit 0: done, nothing wrong. 1: done, and something a person must fix. 2: could not be done.",
)


@app.command(epilog="Example: scriptkit pack examples/harbour-supper.yaml -o pack")
def pack(
    source: SourceOrFolder,
    output: Folder,
    cut: Annotated[
        str, typer.Option(metavar="FILE", help="Times of the cut: a cut file, a marker list or a transcript.")
    ] = "",
    log: Annotated[str, typer.Option(metavar="FILE", help="The take log of the shoot.")] = "",
    templates: Templates = "",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """Everything: the shoot's papers, overlay captions, macros, publish pack and report."""
    from scriptkit.commands import pack

    raise typer.Exit(pack.run(source, output, templates=templates, cut=cut, log=log, as_json=json, quiet=quiet))


@app.command(epilog="Example: scriptkit shoot examples/harbour-supper.yaml -o papers")
def shoot(
    source: SourceOrFolder,
    output: Folder,
    templates: Templates = "",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The shoot's papers alone: shot list, mise en place, labels, buying, script, schedule."""
    from scriptkit.commands import pack

    raise typer.Exit(pack.run(source, output, templates=templates, shoot_only=True, as_json=json, quiet=quiet))


@app.command(epilog="Example: scriptkit preview examples/harbour-supper.yaml -o preview.mp4")
def preview(
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="An .mp4 or .mkv file.")],
    video: Annotated[
        str,
        typer.Option(metavar="FILE", help="The video to burn into; left out, a plain slate with the planned timing."),
    ] = "",
    cut: Annotated[
        str, typer.Option(metavar="FILE", help="Times of the cut: a cut file, a marker list or a transcript.")
    ] = "",
    profile: Annotated[str, typer.Option(metavar="NAME", help="Caption profile, as in `captions`.")] = "streaming",
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The overlays burnt into a small video, with soft subtitles, to be looked at (needs ffmpeg)."""
    from scriptkit.commands import preview

    raise typer.Exit(preview.run(source, output, video=video, cut=cut, profile=profile, as_json=json, quiet=quiet))


@app.command(epilog="Example: scriptkit check examples/faulty-chowder.yaml")
def check(source: Source, json: Json = False) -> None:
    """Proof the written dish or meal: ledger, times, captions, temperatures, limits."""
    from scriptkit.commands import check

    raise typer.Exit(check.run(source, as_json=json))


@app.command(epilog="Example: scriptkit macros examples/fennel-bisque.yaml --portion 250g")
def macros(
    source: Source,
    portion: Annotated[
        str, typer.Option(metavar="AMOUNT", help="Also this much of the dish: 250 g, 1/2 serving.")
    ] = "",
    basis: Annotated[
        str, typer.Option(metavar="us|eu", help="us: carbohydrate includes fibre. eu: it does not.")
    ] = "us",
    label: Annotated[bool, typer.Option("--label", help="Also as a US label rounds it, 21 CFR 101.9.")] = False,
    single: Annotated[
        bool, typer.Option("--single", help="Net carbs as a single figure, without its spread across tables.")
    ] = False,
    json: Json = False,
) -> None:
    """Macros by ingredient, batch, serving and 100 g; of a meal by dish and plate."""
    from scriptkit.commands import macros

    raise typer.Exit(macros.run(source, portion=portion, basis=basis, label=label, single=single, as_json=json))


@app.command(epilog="Example: scriptkit portion examples/harbour-supper.yaml --at-most net_carbs_g=10")
def portion(source: Source, at_most: AtMost = None, at_least: AtLeast = None, json: Json = False) -> None:
    """Portions of a meal nearest to the usual ones that keep the limits; or which limits contradict one another."""
    from scriptkit.commands import portion

    raise typer.Exit(portion.run(source, at_most=at_most or [], at_least=at_least or [], as_json=json))


@app.command(epilog="Example: scriptkit pair examples/fennel-bisque.yaml --with examples --at-most net_carbs_g=15")
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


@app.command(epilog="Example: scriptkit schedule examples/harbour-supper.yaml --serve 18:30")
def schedule(
    source: Source,
    serve: Annotated[
        str, typer.Option(metavar="HH:MM", help="When it is served: prints times of day and when to start.")
    ] = "",
    fewer: Annotated[
        bool, typer.Option("--fewer", help="Also how much longer with one burner, cook or pan fewer.")
    ] = False,
    json: Json = False,
) -> None:
    """Who does what when, so that the dishes land together in the shortest time."""
    from scriptkit.commands import schedule

    raise typer.Exit(schedule.run(source, serve=serve, fewer=fewer, as_json=json))


@app.command(
    epilog="Example: scriptkit captions examples/harbour-supper.yaml --fps 25 --start 10:00:00:00 -o overlays.vtt"
)
def captions(  # noqa: PLR0917  an option each
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="To write to: .srt, .vtt or .ttml.")],
    profile: Annotated[
        str, typer.Option(metavar="NAME", help="Limits to compose to: streaming, education, …, or your own .yaml.")
    ] = "streaming",
    fps: Annotated[str, typer.Option(metavar="RATE", help="Frame rate to snap to; left out: the file's.")] = "",
    start: Annotated[str, typer.Option(metavar="HH:MM:SS:FF", help="Time code of the first picture.")] = "",
    crlf: Annotated[bool, typer.Option("--crlf", help="Line ends as old editors want them.")] = False,
    bom: Annotated[bool, typer.Option("--bom", help="A byte order mark first, as some players want.")] = False,
    cut: Annotated[
        str, typer.Option(metavar="FILE", help="Times of the cut: a cut file, a marker list or a transcript.")
    ] = "",
    dialogue: Annotated[
        str,
        typer.Option(
            metavar="FILE",
            help="The cut's dialogue captions (.srt, .vtt): also writes them beside the overlay as dialogue.vtt (or .srt, "
            ".ttml, as -o ends), risen while a lower third stands in their place. FILE itself stays as it is.",
        ),
    ] = "",
    sounds: Annotated[
        bool,
        typer.Option(
            "--sounds",
            help="Also [sizzling], [blender running] for the deaf and hard of hearing: in the dialogue file where one is "
            "written, else in the overlay.",
        ),
    ] = False,
    cards: Annotated[
        str,
        typer.Option(
            metavar="DIR",
            help="Also the macro cards as pictures (SVG, clear background) at 1080p, 4K and 9:16 to this folder.",
        ),
    ] = "",
    json: Json = False,
) -> None:
    """The overlay captions alone: additions, time, cautions and macro cards, on frames, as SubRip, WebVTT or TTML."""
    from scriptkit.commands import captions

    raise typer.Exit(
        captions.run(
            captions.Wanted(
                source=source, output=output, profile=profile, rate=fps, start=start, crlf=crlf, bom=bom,
                cut=cut, dialogue=dialogue, sounds=sounds, cards=cards, as_json=json,
            )
        )
    )  # fmt: skip


@app.command(epilog="Example: scriptkit proof cut.srt --profile streaming --fps 25 --fix mended.srt")
def proof(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A SubRip or WebVTT file.")],
    profile: Annotated[
        str,
        typer.Option(
            metavar="NAME", help="public-broadcaster, streaming, education, vertical-short, or your own .yaml."
        ),
    ] = "streaming",
    fps: Annotated[str, typer.Option(metavar="RATE", help="Also whether times lie on frames: 25, 29.97 drop, …")] = "",
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
    """Proof any caption file against a published profile, and repair what is safe."""
    from scriptkit.commands import proof

    raise typer.Exit(proof.run(file, profile=profile, rate=fps, fix=fix, recipe=recipe, as_json=json))


@app.command("paper-edit", epilog="Example: scriptkit paper-edit examples/harbour-supper.yaml --log takes.csv -o edit")
def paper_edit(
    source: Source,
    log: Annotated[str, typer.Option("--log", metavar="FILE", help="The take log (CSV) of the on-set page.")],
    output: Folder,
    json: Json = False,
) -> None:
    """The circled takes in script order, as CSV and as an edit decision list; and which additions have none."""
    from scriptkit.commands import edit

    raise typer.Exit(edit.run(source, log, output, as_json=json))


@app.command(
    epilog="Example: scriptkit coverage examples/harbour-supper.yaml --log takes.csv --transcript cut.srt --video cut.mp4 -o coverage"
)
def coverage(
    source: Source,
    log: Annotated[str, typer.Option("--log", metavar="FILE", help="The take log (CSV) of the on-set page.")] = "",
    transcript: Annotated[
        str,
        typer.Option("--transcript", metavar="FILE", help="What is said in the cut: SubRip, WebVTT, or [m:ss] lines."),
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


@app.command(epilog="Example: scriptkit conform cut.srt --offset -1.5 -o moved.srt")
def conform(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A SubRip or WebVTT file.")],
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="To write to.")],
    offset: Annotated[str, typer.Option(metavar="TIME", help="Later by this much, or earlier: 2:05.5, -1.5.")] = "",
    was: Annotated[str, typer.Option("--from", metavar="RATE", help="The frame rate it was made at.")] = "",
    now: Annotated[
        str, typer.Option("--to", metavar="RATE", help="The frame rate at which the same frames now run.")
    ] = "",
    cut_map: Annotated[
        str,
        typer.Option(
            "--map", metavar="FILE", help="CSV of old,new times, a line for each stretch; `cut` takes one out."
        ),
    ] = "",
    fps: Annotated[str, typer.Option(metavar="RATE", help="Frame rate of time code in --offset and --map.")] = "",
) -> None:
    """Move a caption file to another cut: an offset, another frame rate, or a map of stretches."""
    from scriptkit.commands import conform

    raise typer.Exit(conform.run(file, output, by=offset, was=was, now=now, cut_map=cut_map, rate=fps))


@app.command(epilog="Example: scriptkit publish examples/harbour-supper.yaml --cut cut.vtt -o publish")
def publish(
    source: Source,
    output: Folder,
    cut: Annotated[
        str, typer.Option("--cut", metavar="FILE", help="The edited video's transcript, markers or cut file.")
    ] = "",
    servings: Annotated[
        float | None, typer.Option("--servings", metavar="N", help="Amounts for N servings, or N plates of a meal.")
    ] = None,
    templates: Templates = "",
    json: Json = False,
) -> None:
    """What goes with the video: description, chapters, recipe card, linked data, pinned comment."""
    from scriptkit.commands import publish

    raise typer.Exit(publish.run(source, output, cut=cut, servings=servings, templates=templates, as_json=json))


@app.command(epilog="Example: scriptkit food butter")
def food(
    words: Annotated[list[str], typer.Argument(metavar="WORDS", help="Words of its name.")],
    most: Annotated[int, typer.Option("--most", min=1, max=200, help="How many foods to list.")] = 12,
    json: Json = False,
) -> None:
    """Find a food of the pantry: its figures, its household weights and the row they come from."""
    from scriptkit.commands import food

    raise typer.Exit(food.run(" ".join(words), most=most, as_json=json))


@app.command(epilog="Example: scriptkit new 'Cod with leeks'; scriptkit new --from saved-page.html")
def new(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="The dish's name; left out with --from: the recipe's.")
    ] = None,
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="FILE", help="File to write; left out: named after the dish.")
    ] = "",
    found_in: Annotated[
        str,
        typer.Option(
            "--from", metavar="FILE", help="A recipe to draft it from: a saved page, schema.org JSON-LD, or plain text."
        ),
    ] = "",
) -> None:
    """Start a dish: a file with every part in it, or a draft of a recipe with every guess marked. Never overwrites."""
    from scriptkit.commands import new

    raise typer.Exit(new.run(name, output, found_in))


@app.command(epilog="Example: scriptkit schema meal > meal.schema.json")
def schema(kind: Annotated[str, typer.Argument(metavar="dish|meal|pantry", help="Which file.")] = "dish") -> None:
    """The JSON Schema of a file, for editors that complete and check YAML."""
    from scriptkit.commands import schema

    raise typer.Exit(schema.run(kind))


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
    pass


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        app()
    except CannotDo as wrong:
        from scriptkit.commands.printing import print_problems

        print_problems(wrong.problems, wrong.lines)
        sys.exit(2)
    except KeyboardInterrupt:
        print("stopped; nothing was left half-written", file=sys.stderr)
        sys.exit(130)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader went away; that is no error
        sys.exit(0)
    sys.exit(0)
