"""``scriptkit overlays``: the overlay as films with a clear background, placed by a list for the editor."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from unicodedata import category

import typer

from scriptkit.cli.command import SUPPER, TIMES, HelpPage, command
from scriptkit.cli.options import CutTimes, FontFile, Force, Json, Log, PictureSize, Profile, Quiet, Rate, Seen, Source
from scriptkit.cli.printing import Progress, count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from scriptkit.drawing.ass import Timed
    from scriptkit.drawing.canvas import Canvas
    from scriptkit.drawing.layout import Fonts
    from scriptkit.drawing.title_list import Placed, StepMarker
    from scriptkit.overlay_clips import ClipKind
    from scriptkit.production import Production
    from scriptkit.timed_text.cue import Cue


@command(
    "overlays",
    HelpPage(
        short="the overlay as transparent clips, with a list",
        reads=f"a dish or a meal. Films and pictures need ffmpeg. {TIMES}",
        writes="to the folder of -o: a film with a clear background for each overlay, overlays.ass (all of them as styled subtitles, the "
        "font inside), titles.csv and titles.otio (where each clip stands, and a marker where each step begins). A second "
        "of film takes about a second at 1080p, four at 4K.",
        examples=(f"scriptkit overlays {SUPPER} --as none -o overlays",),
    ),
)
def overlays(  # noqa: PLR0917  an option each
    source: Source,
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to; created if missing.")
    ],
    kinds: Annotated[
        str,
        typer.Option(
            "--as",
            metavar="KINDS",
            help="prores (4444, .mov), vp9 (with alpha, .webm), png (a still of each), several with commas; none: only the lists "
            "and the subtitles.",
        ),
    ] = "prores",
    size: PictureSize = "",
    whole: Annotated[
        bool,
        typer.Option("--whole", help="Also one film of the whole length. It takes minutes for each minute at 4K."),
    ] = False,
    cut: CutTimes = "",
    log: Log = "",
    answers: Seen = None,
    profile: Profile = "streaming",
    fps: Rate = "",
    font: FontFile = "",
    force: Force = False,
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The overlay as films with a clear background, one for each lower third, caution and card, and lists that place them."""
    asked = OverlaysAsked(
        output=output, kinds=kinds, size=size, whole=whole, font=font, as_json=json, quiet=quiet, force=force
    )
    raise typer.Exit(run(source, asked, cut=cut, log=log, profile=profile, fps=fps, answers=tuple(answers or ())))


@dataclass(frozen=True, slots=True, kw_only=True)
class OverlaysAsked:
    """What the command was asked for; an empty text is *not asked for*."""

    output: str
    kinds: str
    size: str
    whole: bool
    font: str
    as_json: bool
    quiet: bool
    force: bool = False


def run(
    source: str, asked: OverlaysAsked, *, cut: str, profile: str, fps: str, log: str = "", answers: Sequence[str] = ()
) -> int:
    """The lists and subtitles are written first, and stay where ffmpeg is missing or fails, which is a problem of exit 1. Raises
    CannotDo where nothing can be written."""
    from scriptkit.cli.options import canvas_asked_for
    from scriptkit.drawing.missing_glyphs import BY_A_PLAYER, USED, glyph_problems, lacking
    from scriptkit.drawing.shown import fonts_from, merged, overlay_as_ass, shown
    from scriptkit.production import read
    from scriptkit.written_files import write_folder

    kinds = kinds_of(asked.kinds)
    production = read(source, cut=cut, log=log, profile=profile, fps=fps, answers=answers)
    canvas = canvas_asked_for(asked.size, production.profile.shape)
    fonts = fonts_from(asked.font)
    cues = production.cues
    problems: list[Problem] = [
        *production.reading.problems,
        *production.log_problems,
        *production.said_wrongly,
        *production.timing_problems,
    ]
    drawn, joined = shown(cues, canvas, fonts), merged(cues)
    letters = lacking(drawn, fonts)
    placed = placed_overlays(joined, kinds[0] if kinds else None)
    texts, told = lists_of(production, placed)
    problems += told
    texts["overlays.ass"] = overlay_as_ass(cues, production.source.name, canvas, fonts)
    done = write_folder(asked.output, texts, production.made_from, force=asked.force)
    problems += done.kept
    films: list[str] = []
    of_letters: list[Problem] = glyph_problems(letters, fonts, hint=USED if kinds else BY_A_PLAYER)
    printed: Sequence[Problem] = ()
    if kinds:
        try:
            boxes = _boxes(letters, fonts)
            of_letters = glyph_problems(letters, fonts, boxes)
            if not asked.as_json:
                print_problems(printed := of_letters)  # before the minutes that drawing takes
            films = [] if boxes else _films(production, drawn, canvas, fonts, kinds, asked)
        except CannotDo as wrong:
            problems += wrong.problems
    found = in_order([*problems, *of_letters])
    if asked.as_json:
        files = [str(Path(asked.output) / name) for name in [*done.names, *films]]
        facts = {"title": production.source.name, "folder": asked.output, "files": files, "overlays": len(drawn)}
        print_json(
            {**facts, "width_px": canvas.width, "height_px": canvas.height, "problems": [p.as_json() for p in found]}
        )
    else:
        print_problems([p for p in found if p not in printed], production.files)
        if not asked.quiet:
            summary = f"{len(drawn)} overlays, {len(films)} films and pictures at {canvas.width} × {canvas.height}"
            print(f"wrote {asked.output}: {summary}; {count_words(found)}", file=sys.stderr)
    return exit_code(found)


def _boxes(letters: Mapping[str, str], fonts: Fonts) -> frozenset[str]:
    """Of the letters that the font lacks those that would be drawn as boxes. Raises CannotDo where there is no ffmpeg."""
    from scriptkit.fallback_fonts import nowhere_to_be_found
    from scriptkit.video import ffmpeg_path

    return nowhere_to_be_found(ffmpeg_path(), letters, fonts) if letters else frozenset()


def kinds_of(text: str) -> list[ClipKind]:
    """The kinds of clip that the text names. Raises CannotDo for one that there is not."""
    from scriptkit.overlay_clips import KINDS

    names = [name.strip() for name in text.split(",") if name.strip() and name.strip() != "none"]
    if wrong := next((name for name in names if name not in KINDS), None):
        hint = f"one or more of {', '.join(KINDS)}, with commas; or none"
        raise CannotDo([error(Place("--as"), "option", f"“{wrong}” is not a kind of clip", hint)])
    return [KINDS[name] for name in dict.fromkeys(names)]


def placed_overlays(cues: Sequence[Cue], kind: ClipKind | None) -> list[Placed]:
    """Each overlay on the timeline, with the name of its film."""
    from scriptkit.drawing.title_list import Placed

    return [
        Placed(n, c.start_ms, c.end_ms, c.track, " ".join(c.lines), clip_name(n, c) + kind.suffix if kind else "")
        for n, c in enumerate(cues, 1)
    ]


_IN_WORDS = ("Mn", "Mc")
"""Vowels and marks that are written on a letter, as in Thai."""


def clip_name(number: int, cue: Cue) -> str:
    """``007-addition-butter-28-g``: sorted as they are shown, and named for who looks for one."""
    words = "".join(
        c if c.isalnum() or category(c) in _IN_WORDS else " " for c in " ".join(cue.lines).casefold()
    ).split()
    return f"{number:03d}-{cue.track}-{'-'.join(words)[:32].strip('-')}".rstrip("-")


def lists_of(production: Production, placed: Sequence[Placed]) -> tuple[dict[str, str], list[Problem]]:
    """The lists by file name; and that OpenTimelineIO is missing, where it is."""
    from scriptkit.drawing.title_list import StepMarker, write_title_csv, write_title_otio

    texts = {"titles.csv": write_title_csv(placed, production.rate)}
    steps: list[StepMarker] = [
        StepMarker(s.start_ms, s.step.id, s.dish.name if s.dish else "")
        for s in production.timed_plan.segments
        if s.step is not None
    ]
    try:
        texts["titles.otio"] = write_title_otio(placed, steps, production.source.name, production.rate)
    except ImportError:
        message = "titles.otio is not written: OpenTimelineIO is not installed"
        return texts, [note(Place("overlays"), "no-otio", message, "`pip install OpenTimelineIO`")]
    return texts, []


def _films(
    production: Production,
    drawn: Sequence[Timed],
    canvas: Canvas,
    fonts: Fonts,
    kinds: Sequence[ClipKind],
    asked: OverlaysAsked,
) -> list[str]:
    from scriptkit.drawing.ass import write_ass
    from scriptkit.drawing.shown import merged
    from scriptkit.overlay_clips import make_clip, make_whole, put_fonts
    from scriptkit.video import ffmpeg_path
    from scriptkit.writing import folder_beside
    from scriptkit.written_files import not_over_own_work, record_written

    ffmpeg = ffmpeg_path()
    names = [clip_name(n, cue) for n, cue in enumerate(merged(production.cues), 1)]
    made: list[str] = []
    folder = Path(asked.output)
    places = [folder / f"{name}{kind.suffix}" for kind in kinds for name in (*names, "overlays")]
    not_over_own_work(dict.fromkeys(places), force=asked.force)
    with (
        folder_beside(folder) as inside,
        Progress("drawing", len(names) * len(kinds), quiet=asked.quiet) as progress,
    ):
        put_fonts(fonts, inside / "fonts")
        for kind in kinds:
            for name, one in zip(names, drawn, strict=True):
                make_clip(ffmpeg, one, canvas, fonts, kind, production.rate, inside).replace(
                    folder / f"{name}{kind.suffix}"
                )
                made.append(f"{name}{kind.suffix}")
                progress.at(len(made), "overlays")
            if asked.whole and kind.moves:
                ass = write_ass(drawn, production.source.name, canvas, fonts, embed=False, on_nothing=True)
                length = production.timed_plan.length_ms
                whole = make_whole(ffmpeg, ass, canvas, kind, length, production.rate, inside)
                whole.replace(folder / f"overlays{kind.suffix}")
                made.append(f"overlays{kind.suffix}")
    record_written(folder / name for name in made)
    return made
