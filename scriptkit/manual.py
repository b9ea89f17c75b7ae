"""What `--help` tells of each command beside its options: what it reads and writes, its exit codes, examples that run."""

from __future__ import annotations

import re
from dataclasses import dataclass

EXITS = "0 done, nothing wrong; 1 done, and something needs attention; 2 could not be done, and nothing was written."


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """``short`` fits the list of commands (56 characters). ``exits`` is what the codes mean here, where it is more than usual.
    ``examples`` run in a checkout as they stand, and in any folder after LAY_OUT."""

    short: str
    reads: str
    writes: str
    examples: tuple[str, ...]
    exits: str = EXITS


def epilog(page: Page) -> str:
    """The page under the options. A line with \\b alone keeps the lines after it as they are, so that they can be copied."""
    told = [f"Reads: {page.reads}", f"Writes: {page.writes}", f"Exit codes: {page.exits}"]
    shown = "\n".join(f"  {line}" for line in page.examples)
    files = f" (`{LAY_OUT}` writes their files)" if re.search(r"\bexamples\b", shown) else ""
    return "\n\n".join([*told, f"\b\nExample{'s' if len(page.examples) > 1 else ''}{files}:\n{shown}"])


LAY_OUT = "scriptkit new --example all"
SUPPER = "examples/harbour-supper.yaml"
_TIMES = (
    "Times of the cut come from a cut file (.yaml), a marker list (.csv, .otio) or a transcript (.srt, .vtt, .txt)."
)

PAGES = {
    "new": Page(
        short="start a dish or a meal, or draft one from a recipe",
        reads="nothing; with --from a saved web page (.html), schema.org data (.json, .jsonld) or a text with an ingredient list. "
        "Nothing is fetched.",
        writes="one YAML file, and beside it dish.schema.json or meal.schema.json if missing, which gives your "
        "editor autocomplete and help for the file; with --example the files of an example into the folder examples. No file is ever replaced.",
        exits="0 done; 1 drafted, and something in the draft cannot be read yet; 2 could not be done, and nothing was written.",
        examples=(
            'scriptkit new "Cod with leeks"',
            "scriptkit new --example harbour-supper",
            f'scriptkit new "Quay plate" --dish {SUPPER.replace("harbour-supper", "fennel-bisque")} --dish examples/seared-hake.yaml',
        ),
    ),
    "check": Page(
        short="everything that is wrong with a dish or a meal",
        reads="a dish or a meal, with the dishes and the pantry.yaml it names.",
        writes="nothing: problems go to standard error, with --json to standard output; with --explain the steps as they were "
        "understood to standard output.",
        examples=(
            "scriptkit check examples/fennel-bisque.yaml",
            "scriptkit check examples/fennel-bisque.yaml --explain",
            "scriptkit check examples/faulty-chowder.yaml --json",
        ),
    ),
    "macros": Page(
        short="macros by ingredient, batch, serving and 100 g",
        reads="a dish or a meal.",
        writes="a table to standard output, grams and kilocalories. ≥ before a figure: a part of it is not known.",
        examples=(
            "scriptkit macros examples/fennel-bisque.yaml --portion 250g",
            f"scriptkit macros {SUPPER} --basis eu --json",
        ),
    ),
    "portion": Page(
        short="portions of a meal that keep its limits",
        reads="a meal; its own at_most: and at_least: hold as well as the options.",
        writes="the portions in grams and the plate's macros, to standard output.",
        exits="0 found; 1 no portions keep the limits, and the conflicting limits are named with the nearest values that work; 2 could not be done.",
        examples=(f"scriptkit portion {SUPPER} --at-most net_carbs_g=10 --at-least protein_g=35",),
    ),
    "pair": Page(
        short="which dish of a folder goes with this one",
        reads="a dish, and every dish of the folder; unreadable files are skipped with a warning.",
        writes="a list to standard output, nearest to the usual portions first.",
        exits="0 found; 1 no dish of the folder fits the limits; 2 could not be done.",
        examples=("scriptkit pair examples/fennel-bisque.yaml --with examples --at-most net_carbs_g=15",),
    ),
    "schedule": Page(
        short="who does what when, so that the dishes land together",
        reads="a dish or a meal, with its kitchen.",
        writes="a table to standard output, minutes from the start or times of day.",
        examples=(f"scriptkit schedule {SUPPER} --serve 18:30",),
    ),
    "food": Page(
        short="find a food, its figures and its household weights",
        reads="the embedded food table.",
        writes="the food to standard output, per 100 g of the edible part, with the row that it comes from.",
        exits="0 found; 1 no match; 2 could not be done.",
        examples=("scriptkit food butter", "scriptkit food single cream --json"),
    ),
    "schema": Page(
        short="JSON Schema of a file, for editors",
        reads="nothing.",
        writes="JSON Schema 2020-12 to standard output. `scriptkit new` puts it beside a file by itself.",
        exits="0 done; 2 there is no such kind of file.",
        examples=("scriptkit schema meal",),
    ),
    "pack": Page(
        short="everything: papers, captions, macros, publishing",
        reads=f"a dish, a meal or a folder of them; with --log a take log (.csv). {_TIMES}",
        writes="17 files into DIR; with --log or --cut also coverage.html, and with --cut a cut.yaml. All of them or none; "
        "other files in DIR stay. A folder of recipes gets a folder in DIR for each.",
        examples=(
            f"scriptkit pack {SUPPER} -o pack",
            f"scriptkit pack {SUPPER} --cut examples/harbour-supper-cut.srt -o pack",
        ),
    ),
    "shoot": Page(
        short="the papers of the shoot alone",
        reads="a dish, a meal or a folder of them.",
        writes="shot list, mise en place, labels, buying list, script and schedule into DIR. All of them or none.",
        examples=(f"scriptkit shoot {SUPPER} -o papers",),
    ),
    "paper-edit": Page(
        short="the circled takes in script order",
        reads="a dish or a meal, and the take log (.csv) that the on-set page saved or a person typed.",
        writes="paper-edit.csv into DIR; also paper-edit.edl (CMX 3600) and paper-edit.otio where OpenTimelineIO is installed.",
        examples=(f"scriptkit paper-edit {SUPPER} --log examples/harbour-supper-takes.csv -o edit",),
    ),
    "coverage": Page(
        short="which additions are not on camera, and what to do about it",
        reads="a dish or a meal; a take log, a transcript, times and a video, as far as there are any. --video needs ffmpeg.",
        writes="a report to standard output; with -o coverage.html, with a transcript or times also cut.yaml, with --video "
        "contact-sheet.html.",
        examples=(
            f"scriptkit coverage {SUPPER} --log examples/harbour-supper-takes.csv",
            f"scriptkit coverage {SUPPER} --transcript examples/harbour-supper-cut.srt -o coverage",
        ),
    ),
    "captions": Page(
        short="the overlay captions alone",
        reads=f"a dish or a meal. {_TIMES}",
        writes="the overlay as SubRip, WebVTT or TTML, by the ending of -o; with --dialogue and --cards more beside it. What it "
        "writes passes `scriptkit proof` with the same profile.",
        examples=(
            f"scriptkit captions {SUPPER} --fps 25 --start 10:00:00:00 -o overlays.ttml",
            f"scriptkit captions {SUPPER} --cut examples/harbour-supper-cut.srt --sounds -o overlays.vtt",
        ),
    ),
    "preview": Page(
        short="the overlay burnt into a small video, to look at",
        reads=f"a dish or a meal, and the video to burn into. Needs ffmpeg. {_TIMES}",
        writes="a video 540 lines high (.mp4 or .mkv), with the overlay in the picture and as soft subtitles. It takes about a "
        "second for 20 seconds of film.",
        examples=("scriptkit preview examples/pork-chops.yaml -o preview.mp4",),
    ),
    "proof": Page(
        short="proof any caption file, and repair what is safe",
        reads="a SubRip or WebVTT file, whoever wrote it.",
        writes="problems to standard error; with --fix the mended captions to the file that it names.",
        examples=(
            "scriptkit proof examples/harbour-supper-cut.srt --profile streaming --fix mended.srt",
            f"scriptkit proof examples/harbour-supper-cut.srt --recipe {SUPPER}",
        ),
    ),
    "conform": Page(
        short="move a caption file to another cut or frame rate",
        reads="a SubRip or WebVTT file; with --map a CSV of old,new times.",
        writes="the moved captions to the file of -o. An offset, a change of rate and a map are applied in this order.",
        examples=(
            "scriptkit conform examples/harbour-supper-cut.srt --offset -1.5 -o moved.srt",
            "scriptkit conform examples/harbour-supper-cut.srt --from 24 --to 25 -o moved.srt",
        ),
    ),
    "publish": Page(
        short="description, chapters, recipe card, linked data",
        reads=f"a dish or a meal. {_TIMES} Without them the chapters are those of the plan.",
        writes="description.txt, chapters.vtt, recipe-card.html, recipe.jsonld and pinned-comment.txt into DIR. All or none.",
        examples=(f"scriptkit publish {SUPPER} --servings 8 -o publish",),
    ),
}
"""In the order in which a cook works."""
