"""``scriptkit preview``: the overlays on the video, or on a plain slate with the planned timing, to be looked at."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import TIMES, HelpPage, command
from scriptkit.cli.options import CutTimes, FontFile, Force, Json, Log, PictureSize, Profile, Quiet, Source
from scriptkit.cli.printing import Progress, count_words, cue_count, exit_code, print_json, print_problems
from scriptkit.measure.durations import format_clock
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note, warning

if TYPE_CHECKING:
    from scriptkit.burning import Picture
    from scriptkit.drawing.ass import Timed
    from scriptkit.drawing.canvas import Canvas
    from scriptkit.drawing.layout import Fonts
    from scriptkit.production import Production
    from scriptkit.shoot.plan import Plan
    from scriptkit.timed_text.cue import Cue
    from scriptkit.video import Video


@command(
    "preview",
    HelpPage(
        short="the overlay burnt into a video, to look at",
        reads=f"a dish or a meal, and the video to burn into. Needs ffmpeg. {TIMES}",
        writes="a video (.mp4 or .mkv) in the size of yours, with the overlay in the picture, drawn as `overlays` draws it, and as soft "
        "subtitles. --size 540p is quicker: about a second for 20 seconds of film.",
        examples=("scriptkit preview examples/pork-chops.yaml --size 540p -o preview.mp4",),
    ),
)
def preview(  # noqa: PLR0917  an option each
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="An .mp4 or .mkv file.")],
    video: Annotated[
        str,
        typer.Option(metavar="FILE", help="The video to burn into; left out, a plain slate with the planned timing."),
    ] = "",
    cut: CutTimes = "",
    log: Log = "",
    profile: Profile = "streaming",
    size: PictureSize = "",
    font: FontFile = "",
    force: Force = False,
    quiet: Quiet = False,
    json: Json = False,
) -> None:
    """The overlay burnt into a video, for a look: in the video's own size, or on a plain slate."""
    asked = PreviewAsked(output=output, video=video, size=size, font=font, as_json=json, quiet=quiet, force=force)
    raise typer.Exit(run(source, asked, cut=cut, log=log, profile=profile))


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviewAsked:
    """What the command was asked for; an empty text is *not asked for*."""

    output: str
    video: str
    size: str
    font: str
    as_json: bool
    quiet: bool
    force: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What is burnt in: ``cues``, drawn on the picture and all of them as soft subtitles; ``plan``: what a slate says."""

    picture: Picture
    cues: tuple[Cue, ...]
    plan: Plan
    problems: tuple[Problem, ...]


def preview_of(production: Production, video: Video | None = None, size: str = "") -> Preview:
    """What the preview shows, before anything is burnt in: over the video, in its own size; without one, over a plain slate of the
    ``size`` that is asked for, or in the shape of the profile's picture. ``problems`` are those of the recipe's reading, of the times
    and of the cues. Raises CannotDo for a size that there is not."""
    from scriptkit.burning import Picture
    from scriptkit.cli.options import canvas_asked_for

    plan, cues = production.timed_plan, production.cues
    canvas = canvas_asked_for(size, production.profile.shape)
    width, height = canvas.width, canvas.height
    if not size and video is None and production.profile.aspect not in ("16:9", "9:16"):
        width = round(height * production.profile.shape / 2) * 2
    if video is not None and video.width and video.height:
        width, height = video.width // 2 * 2, video.height // 2 * 2
    length_ms = None if video is None else video.length_ms
    path = "" if video is None else str(Path(video.path).resolve())
    picture = Picture(
        path=path,
        length_ms=length_ms or plan.length_ms,
        rate=production.rate,
        width=width,
        height=height,
        ends=video is None or length_ms is not None,
    )
    problems = [
        *production.reading.problems, *production.log_problems, *production.said_wrongly, *production.timing_problems,
        *_beyond(cues, length_ms, video.path if video else "", production),
    ]  # fmt: skip
    return Preview(picture=picture, cues=cues, plan=plan, problems=tuple(in_order(problems)))


def run(source: str, asked: PreviewAsked, *, cut: str, profile: str, log: str = "") -> int:
    """Nothing is left half-written: the file is put in its place when it is whole. Raises CannotDo where it cannot be made:
    no ffmpeg, a video that cannot be read, no room on the disk."""
    from scriptkit.burning import CONTAINERS
    from scriptkit.drawing.shown import fonts_from
    from scriptkit.production import read
    from scriptkit.video import ffmpeg_path, open_video
    from scriptkit.writing import folder_beside, must_be_a_file, never_over
    from scriptkit.written_files import not_over_own_work, record_written

    target = Path(asked.output)
    if target.suffix.casefold() not in CONTAINERS:
        message = f"“{asked.output}” has no ending that tells the format"
        raise CannotDo([error(Place("--output"), "option", message, "end it with .mp4 or .mkv")])
    production = read(source, cut=cut, log=log, profile=profile)
    # what is wrong with the files is told before ffmpeg is looked for
    preview = preview_of(production, size=asked.size)
    fonts = fonts_from(asked.font)
    never_over([target], [*production.made_from, asked.video, asked.font])
    not_over_own_work({target: None}, force=asked.force)
    ffmpeg = ffmpeg_path()
    if asked.video:
        film = open_video(asked.video)
        production = production.of_film(film.length_ms or 0)
        preview = preview_of(production, film)
        if asked.size:
            message = f"--size is for a slate: the preview keeps the video's {film.width} × {film.height}"
            of_size = note(Place("--size"), "option", message, "leave --size out, or export the video smaller")
            preview = replace(preview, problems=(*preview.problems, of_size))
    try:
        must_be_a_file(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        told = _letters_told(ffmpeg, preview, fonts)
        if not asked.as_json:
            print_problems(told)  # before the time that burning in takes
        with folder_beside(target.parent) as folder:
            _make(ffmpeg, preview, fonts, folder, target, asked.quiet)
        record_written([target])
    except OSError as wrong:
        message = f"nothing was written: {wrong.strerror or wrong}"
        raise CannotDo(
            [error(Place(asked.output), "cannot-write", message, "check the folder and the free space")]
        ) from None
    found, cues = in_order([*preview.problems, *told]), preview.cues
    if asked.as_json:
        print_json(
            {
                "title": production.source.name, "file": asked.output, "length_s": preview.picture.length_ms / 1000,
                "width_px": preview.picture.width, "height_px": preview.picture.height, "cues": len(cues),
                "problems": [p.as_json() for p in found],
            }
        )  # fmt: skip
    else:
        print_problems(preview.problems, production.files)
        if not asked.quiet:
            print(
                f"wrote {asked.output}: {cue_count(len(cues))} burnt in and muxed; {count_words(found)}",
                file=sys.stderr,
            )
    return exit_code(found)


def slate_graphics(plan: Plan, canvas: Canvas, fonts: Fonts) -> list[Timed]:
    """What will be seen, for a slate without a picture: beside where a card stands."""
    from scriptkit.burning import SLATE_INK
    from scriptkit.drawing.ass import Timed
    from scriptkit.drawing.layout import DrawnText, Graphic, wrapped
    from scriptkit.timed_text.cleaning import clean

    left = canvas.width * (0.1 if canvas.vertical else 0.61)
    made = []
    for segment in plan.segments:
        name = f"{segment.scene}  {segment.step.id if segment.step else segment.kind}"
        words = clean(segment.step.do if segment.step else (segment.dish.name if segment.dish else plan.title))
        lines = wrapped(words, fonts.regular, canvas.small, canvas.right - left)
        shown = lines[:6] if len(lines) <= 6 else [*lines[:5], f"{lines[5]} …"]
        texts = [
            DrawnText(left, canvas.height * 0.24 + n * canvas.small * 1.25, canvas.small, line, SLATE_INK, n == 0)
            for n, line in enumerate([clean(name), *shown])
        ]
        made.append(Timed(segment.start_ms, segment.end_ms, name, Graphic((), (), tuple(texts))))
    return made


def _beyond(cues: Sequence[Cue], length_ms: int | None, video: str, production: Production) -> list[Problem]:
    """That some cues are for a longer film than this: they are left out, or cut off at its end."""
    late = 0 if length_ms is None else sum(c.end_ms > length_ms for c in cues)
    if not late or length_ms is None:
        return []
    stand = "1 cue stands" if late == 1 else f"{late} cues stand"
    message = f"{stand} after the end of the video, at {format_clock(length_ms)}: not shown there"
    if production.by_cut:
        hint = "check that the times of --cut are those of this video"
    else:
        hint = "time them by this video with --cut: its transcript, or a list of markers"
    return [warning(Place(video), "beyond-the-video", message, hint)]


def _letters_told(ffmpeg: str, preview: Preview, fonts: Fonts) -> list[Problem]:
    """What the font lacks and another one has. Raises CannotDo for what would be burnt in as boxes."""
    from scriptkit.drawing.canvas import canvas_of
    from scriptkit.drawing.missing_glyphs import glyph_problems, lacking
    from scriptkit.drawing.shown import shown
    from scriptkit.fallback_fonts import nowhere_to_be_found

    picture = preview.picture
    canvas = canvas_of(picture.width, picture.height)
    slate = [] if picture.path else slate_graphics(preview.plan, canvas, fonts)
    letters = lacking([*shown(preview.cues, canvas, fonts), *slate], fonts)
    boxes = nowhere_to_be_found(ffmpeg, letters, fonts)
    told = glyph_problems(letters, fonts, boxes)
    if boxes:
        raise CannotDo([*preview.problems, *told])
    return told


def _make(ffmpeg: str, preview: Preview, fonts: Fonts, folder: Path, target: Path, quiet: bool) -> None:
    from scriptkit.burning import burn, command
    from scriptkit.drawing.ass import write_ass
    from scriptkit.drawing.canvas import canvas_of
    from scriptkit.drawing.shown import shown
    from scriptkit.overlay_clips import put_fonts
    from scriptkit.timed_text.subrip import write_srt

    picture = preview.picture
    canvas = canvas_of(picture.width, picture.height)
    drawn = [*shown(preview.cues, canvas, fonts)]
    text = write_ass(drawn, "preview", canvas, fonts, embed=False)
    if not picture.path:
        text += write_ass(
            slate_graphics(preview.plan, canvas, fonts), "", canvas, fonts, fade=False, embed=False
        ).rpartition("Effect, Text\n")[2]
    put_fonts(fonts, folder / "fonts")
    (folder / "overlay.ass").write_text(text, encoding="utf-8", newline="\n")
    within = [c for c in preview.cues if not picture.ends or c.start_ms < picture.length_ms]
    if picture.ends:
        within = [replace(c, end_ms=min(c.end_ms, picture.length_ms)) for c in within]
    (folder / "all.srt").write_text(write_srt(within), encoding="utf-8", newline="\n")
    made = Path(f"preview{target.suffix.casefold()}")
    with Progress("burning in", round(picture.length_ms / 1000), quiet=quiet) as progress:
        burn(
            command(ffmpeg, picture, "overlay.ass", "all.srt", made),
            str(folder),
            lambda ms: progress.at(round(ms / 1000), "seconds"),
        )
    (folder / made).replace(target)
