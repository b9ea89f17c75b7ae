"""Arguments and options that several commands share, with their help, and what a shell completes them with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from scriptkit.drawing.canvas import Canvas


def _profiles(incomplete: str) -> list[str]:
    from scriptkit.captions.profiles import profiles

    return [name for name in profiles() if name.startswith(incomplete)]


def _rates(incomplete: str) -> list[str]:
    from scriptkit.measure.timecode import RATES

    return [name for name in RATES if name.startswith(incomplete)]


def _kinds(incomplete: str) -> list[str]:
    return [name for name in ("dish", "meal", "pantry") if name.startswith(incomplete)]


def _bases(incomplete: str) -> list[str]:
    return [name for name in ("us", "eu") if name.startswith(incomplete)]


_CUT = "Times of the cut: a cut file, a marker list, a transcript, or with --log the timeline or decision list of the edit. Default: the planned times."

Source = Annotated[
    str, typer.Argument(metavar="SOURCE", help="A dish or a meal (YAML); - reads it from standard input.")
]
SourceOrFolder = Annotated[
    str, typer.Argument(metavar="SOURCE", help="A dish or a meal (YAML), or a folder of them; - reads standard input.")
]
CaptionsIn = Annotated[str, typer.Argument(metavar="FILE", help="A SubRip, WebVTT, TTML or ASS file.")]
Encoding = Annotated[
    str, typer.Option(metavar="NAME", help="How the file is encoded, where it is not UTF-8: windows-1252, shift_jis.")
]
Kind = Annotated[str, typer.Argument(metavar="dish|meal|pantry", help="Which file.", autocompletion=_kinds)]
Quiet = Annotated[bool, typer.Option("--quiet", help="Only problems; no progress and no summary.")]
Force = Annotated[
    bool, typer.Option("--force", help="Write over a file that is there, though scriptkit did not write it.")
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON, with units in the key names.")]
Print = Annotated[
    bool,
    typer.Option("--print", help="Also print.html: the pages of the day in one, to print at once on A4 or letter."),
]
Folder = Annotated[str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to; created if missing.")]
Templates = Annotated[
    str, typer.Option(metavar="DIR", help="Folder of your own templates, used in place of ours of the same name.")
]
BasisName = Annotated[
    str,
    typer.Option(metavar="us|eu", help="us: carbohydrate includes fibre. eu: it does not.", autocompletion=_bases),
]
CutTimes = Annotated[str, typer.Option("--cut", metavar="FILE", help=_CUT)]
Log = Annotated[str, typer.Option("--log", metavar="FILE", help="The take log of the shoot (CSV).")]
Clips = Annotated[
    str,
    typer.Option("--clips", metavar="DIR", help="The camera's files: is the clip of each circled take there (ffmpeg)?"),
]
ClipShift = Annotated[
    str,
    typer.Option("--clip-shift", metavar="M:SS", help="Add this to the camera's times; NAME=M:SS,… for each camera."),
]
Seen = Annotated[
    list[str] | None,
    typer.Option("--answers", metavar="FILE", help="What you saw, as the report's pages save it; may be given twice."),
]
Profile = Annotated[
    str,
    typer.Option(
        metavar="NAME",
        help="Limits of the captions: public-broadcaster, streaming, education, vertical-short, or a file of your own (.yaml).",
        autocompletion=_profiles,
    ),
]
Rate = Annotated[
    str,
    typer.Option(
        "--fps",
        metavar="RATE",
        help="Frames a second: 23.976, 24, 25, 29.97, 29.97 drop, 30, 50, 59.94, 60; or any number or fraction from 10 to 120, such as "
        "12.5 or 30000/1001.",
        autocompletion=_rates,
    ),
]
SourceRate = Annotated[
    str,
    typer.Option("--from", metavar="RATE", help="Original frame rate, in frames a second.", autocompletion=_rates),
]
TargetRate = Annotated[
    str,
    typer.Option("--to", metavar="RATE", help="New frame rate, in frames a second.", autocompletion=_rates),
]
Dialogue = Annotated[
    str,
    typer.Option(
        metavar="FILE",
        help="The cut's dialogue captions (.srt, .vtt): also writes them beside the overlay as dialogue.vtt (or .srt, "
        ".ttml, as -o ends), moved up while a lower third is on screen. FILE itself is not changed.",
    ),
]
Spoken = Annotated[
    str,
    typer.Option(
        metavar="TRANSCRIPT",
        help="What is said in the cut (.srt, .vtt, or lines with times): also writes dialogue captions beside the overlay, in the "
        "script's words where the talk follows it, and every changed word to changed-words.csv.",
    ),
]
Voice = Annotated[
    str,
    typer.Option(
        "--voice",
        metavar="FILE",
        help="The recorded voice-over (any sound file): its measured seconds replace the planned ones. Needs ffmpeg and "
        "pip install pocketsphinx.",
    ),
]
KeepWords = Annotated[
    bool,
    typer.Option(
        "--keep-words", help="With --spoken: the recogniser's words as they are; with --voice: figures in words."
    ),
]
Sounds = Annotated[
    bool,
    typer.Option(
        "--sounds",
        help="Also [sizzling], [blender running] for the deaf and hard of hearing: in the dialogue file where one is "
        "written, else in the overlay.",
    ),
]
Cards = Annotated[
    str,
    typer.Option(
        metavar="DIR",
        help="Also the macro cards as pictures (SVG, clear background) at 1080p, 4K and 9:16 to this folder.",
    ),
]
PictureSize = Annotated[
    str,
    typer.Option(
        "--size",
        metavar="NAME",
        help="Size of the picture: 1080p, 4k, 720p, 540p, 9x16, 9x16-4k, or WIDTHxHEIGHT. Default: 1080p; 9x16 where the profile is for "
        "vertical video.",
    ),
]
FontFile = Annotated[
    str,
    typer.Option(
        "--font", metavar="FILE", help="Your own font (.ttf, .otf, .woff), for letters that the house's lacks."
    ),
]
_FIGURES = "the unit is in the name. May be repeated."
AtMost = Annotated[
    list[str] | None,
    typer.Option("--at-most", metavar="NAME=FIGURE", help=f"A limit of one plate, such as net_carbs_g=12: {_FIGURES}"),
]
AtLeast = Annotated[
    list[str] | None,
    typer.Option("--at-least", metavar="NAME=FIGURE", help=f"A limit of one plate, such as protein_g=40: {_FIGURES}"),
]
Central = Annotated[
    bool, typer.Option("--central", help="Keep the limits with the best estimate alone, not with its whole range.")
]
Explain = Annotated[
    bool, typer.Option("--explain", help="Also how each step was understood, and the key that overrides it.")
]


_LEAST, _MOST = 120, 8192
"""Pixels of a side."""


def canvas_asked_for(size: str, shape: float) -> Canvas:
    """The canvas of this name, or of so many pixels; where nothing is asked for, one for a picture of this width ÷ height. Raises
    CannotDo for any other size."""
    import re

    from scriptkit.drawing.canvas import SIZES, canvas_of
    from scriptkit.problems import CannotDo, Place, error

    name = "".join(size.casefold().replace("×", "x").split()) or ("1080p" if shape >= 1 else "9x16")
    if name in SIZES:
        return canvas_of(*SIZES[name])
    found = re.fullmatch(r"(\d{1,5})x(\d{1,5})", name)
    if found is None:
        lines = re.fullmatch(r"(\d{3,4})[pi]?", name)
        hint = f"one of {', '.join(SIZES)}, or width x height in pixels, such as 1920x1080"
        if lines and _LEAST <= (high := int(lines[1]) // 2 * 2) <= _MOST:
            wide = min(round(high * 8 / 9) * 2, _MOST)
            hint = f"write {wide}x{high}, or {high}x{wide} for an upright picture"
        raise CannotDo([error(Place("--size"), "option", f"“{size}” is not the size of a picture", hint)])
    sides = [int(side) for side in found.groups()]
    meant = [min(max(side, _LEAST), _MOST) // 2 * 2 for side in sides]
    if sides != meant:
        message = f"“{size}”: the sides of a film are even numbers of pixels from {_LEAST} to {_MOST}"
        raise CannotDo([error(Place("--size"), "option", message, f"write {meant[0]}x{meant[1]}")])
    return canvas_of(int(found[1]), int(found[2]))
