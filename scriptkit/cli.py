"""Commands: read arguments, call one function, print. The one place that turns exceptions into exit codes.

Exit 0: done, nothing wrong. 1: done, and something a person must fix. 2: could not be done.
"""

from __future__ import annotations

import os
import sys
from typing import Annotated, NoReturn

import typer

from scriptkit import __version__
from scriptkit.problems import CannotDo

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="One recipe file in; the shoot's papers, true macros and overlay captions out.",
    epilog="Exit 0: done, nothing wrong. 1: done, and something a person must fix. 2: could not be done.",
)

Source = Annotated[
    str, typer.Argument(metavar="SOURCE", help="A dish or a meal (YAML); - reads it from standard input.")
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON, with units in the key names.")]


@app.command(epilog="Example: scriptkit pack examples/harbour-supper.yaml -o pack")
def pack(
    source: Source,
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to; made where there is none.")
    ],
    templates: Annotated[
        str, typer.Option(metavar="DIR", help="Own templates that replace those of the same name.")
    ] = "",
    json: Json = False,
) -> None:
    """Everything: shoot list, mise en place, overlay captions, macros and report."""
    from scriptkit.commands import pack

    raise typer.Exit(pack.run(source, output, templates=templates, as_json=json))


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


AtMost = Annotated[
    list[str] | None,
    typer.Option(
        "--at-most", metavar="NAME=FIGURE", help="A limit of one plate, such as net_carbs_g=12; may be repeated."
    ),
]
AtLeast = Annotated[
    list[str] | None,
    typer.Option(
        "--at-least", metavar="NAME=FIGURE", help="A limit of one plate, such as protein_g=40; may be repeated."
    ),
]


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
def captions(
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="To write to: .srt, .vtt or .ttml.")],
    profile: Annotated[
        str, typer.Option(metavar="NAME", help="Line length and lines: streaming, education, vertical-short, …")
    ] = "streaming",
    fps: Annotated[str, typer.Option(metavar="RATE", help="Frame rate to snap to; left out: the file's.")] = "",
    start: Annotated[str, typer.Option(metavar="HH:MM:SS:FF", help="Time code of the first picture.")] = "",
    crlf: Annotated[bool, typer.Option("--crlf", help="Line ends as old editors want them.")] = False,
    bom: Annotated[bool, typer.Option("--bom", help="A byte order mark first, as some players want.")] = False,
    json: Json = False,
) -> None:
    """The overlay captions alone: additions, time, cautions and macro cards, on frames, as SubRip, WebVTT or TTML."""
    from scriptkit.commands import captions

    raise typer.Exit(
        captions.run(source, output, profile=profile, rate=fps, start=start, crlf=crlf, bom=bom, as_json=json)
    )


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
        str, typer.Option(metavar="FILE", help="Write the captions with every safe repair to this file.")
    ] = "",
    json: Json = False,
) -> None:
    """Proof any caption file against a published profile, and repair what is safe."""
    from scriptkit.commands import proof

    raise typer.Exit(proof.run(file, profile=profile, rate=fps, fix=fix, as_json=json))


@app.command("paper-edit", epilog="Example: scriptkit paper-edit examples/harbour-supper.yaml --log takes.csv -o edit")
def paper_edit(
    source: Source,
    log: Annotated[str, typer.Option("--log", metavar="FILE", help="The take log (CSV) of the on-set page.")],
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to; made where there is none.")
    ],
    json: Json = False,
) -> None:
    """The circled takes in script order, as CSV and as an edit decision list; and which additions have none."""
    from scriptkit.commands import edit

    raise typer.Exit(edit.run(source, log, output, as_json=json))


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


@app.command(epilog="Example: scriptkit food butter")
def food(
    words: Annotated[list[str], typer.Argument(metavar="WORDS", help="Words of its name.")],
    most: Annotated[int, typer.Option("--most", min=1, max=200, help="How many foods to list.")] = 12,
    json: Json = False,
) -> None:
    """Find a food of the pantry: its figures, its household weights and the row they come from."""
    from scriptkit.commands import food

    raise typer.Exit(food.run(" ".join(words), most=most, as_json=json))


@app.command(epilog="Example: scriptkit new 'Cod with leeks'")
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The dish's name.")],
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="FILE", help="File to write; left out: named after the dish.")
    ] = "",
) -> None:
    """Start a dish: a file with every part in it, ready to be filled in. Never overwrites."""
    from scriptkit.commands import new

    raise typer.Exit(new.run(name, output))


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
