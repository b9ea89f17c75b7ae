"""``scriptkit preview``: the overlays on the video, or on a plain slate with the planned timing, to be looked at."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import TIMES, HelpPage, command
from scriptkit.cli.options import CutTimes, Json, Profile, Quiet, Source
from scriptkit.cli.printing import Progress, count_words, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, warning

if TYPE_CHECKING:
    from scriptkit.burning import Picture
    from scriptkit.production import Production
    from scriptkit.shoot.plan import Plan
    from scriptkit.timed_text.cue import Cue


@command(
    "preview",
    HelpPage(
        short="the overlay burnt into a small video, to look at",
        reads=f"a dish or a meal, and the video to burn into. Needs ffmpeg. {TIMES}",
        writes="a video 540 lines high (.mp4 or .mkv), with the overlay in the picture and as soft subtitles. It takes about a "
        "second for 20 seconds of film.",
        examples=("scriptkit preview examples/pork-chops.yaml -o preview.mp4",),
    ),
)
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
    raise typer.Exit(run(source, output, video=video, cut=cut, profile=profile, as_json=json, quiet=quiet))


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What is burnt in: ``cues`` by place on the picture in ``drawn``, and all of them as soft subtitles."""

    picture: Picture
    cues: tuple[Cue, ...]
    drawn: dict[str, list[Cue]]
    problems: tuple[Problem, ...]


def preview_of(production: Production, video: str = "", video_ms: int | None = None) -> Preview:
    """What the preview shows, before anything is burnt in: over the video, whose length is ``video_ms`` where that is known;
    without one, over a plain slate in the shape of the profile's picture. ``problems`` are those of the recipe's reading, of
    the times and of the cues."""
    from scriptkit.burning import SLATE, Picture, by_place

    plan, cues = production.timed_plan, production.cues
    picture = Picture(
        path=str(Path(video).resolve()) if video else "",
        length_ms=video_ms or plan.length_ms,
        rate=production.rate,
        shape=production.profile.shape,
    )
    drawn = by_place(cues)
    if not video:
        drawn[SLATE] = slate_cues(plan)
    problems = [*production.reading.problems, *production.timing_problems, *_beyond(cues, video_ms, video)]
    return Preview(picture=picture, cues=cues, drawn=drawn, problems=tuple(in_order(problems)))


def run(source: str, output: str, *, video: str, cut: str, profile: str, as_json: bool, quiet: bool) -> int:
    """Nothing is left half-written: the file is put in its place when it is whole. Raises CannotDo where it cannot be made:
    no ffmpeg, a video that cannot be read, no room on the disk."""
    import tempfile

    from scriptkit.burning import CONTAINERS
    from scriptkit.production import read
    from scriptkit.video import ffmpeg_path, open_video
    from scriptkit.writing import must_be_a_file, never_over

    target = Path(output)
    if target.suffix.casefold() not in CONTAINERS:
        message = f"“{output}” has no ending that tells the format"
        raise CannotDo([error(Place("--output"), "option", message, "end it with .mp4 or .mkv")])
    production = read(source, cut=cut, profile=profile)
    preview = preview_of(production)  # what is wrong with the files is told before ffmpeg is looked for
    never_over([target], [*production.made_from, video])
    ffmpeg = ffmpeg_path()
    if video:
        preview = preview_of(production, video, open_video(video).length_ms)
    try:
        must_be_a_file(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".writing-", dir=target.parent) as folder:
            _make(ffmpeg, preview, Path(folder), target, quiet)
    except OSError as wrong:
        message = f"nothing was written: {wrong.strerror or wrong}"
        raise CannotDo([error(Place(output), "cannot-write", message, "check the folder and the free space")]) from None
    found, cues = preview.problems, preview.cues
    if as_json:
        print_json(
            {
                "title": production.source.name, "file": output, "length_s": preview.picture.length_ms / 1000,
                "cues": len(cues), "problems": [p.as_json() for p in found],
            }
        )  # fmt: skip
    else:
        print_problems(found, production.files)
        if not quiet:
            print(f"wrote {output}: {len(cues)} cues burnt in and muxed; {count_words(found)}", file=sys.stderr)
    return exit_code(found)


def slate_cues(plan: Plan) -> list[Cue]:
    """What will be seen, for a slate without a picture."""
    from scriptkit.burning import SLATE
    from scriptkit.captions.composing.text_fitting import fit
    from scriptkit.timed_text.cleaning import clean
    from scriptkit.timed_text.cue import Cue

    cues = []
    for segment in plan.segments:
        name = f"{segment.scene}  {segment.step.id if segment.step else segment.kind}"
        words = clean(segment.step.do if segment.step else (segment.dish.name if segment.dish else plan.title))
        lines = fit(words, width=48, lines=3) or (words[:47] + "…",)
        cues.append(Cue(start_ms=segment.start_ms, end_ms=segment.end_ms, lines=(clean(name), *lines), track=SLATE))
    return cues


def _beyond(cues: Sequence[Cue], length_ms: int | None, video: str) -> list[Problem]:
    late = 0 if length_ms is None else sum(c.end_ms > length_ms for c in cues)
    if not late:
        return []
    hint = "time them by the cut with --cut" if late > 1 else "shorten the last step"
    return [warning(Place(video), "beyond-the-video", f"{late} cues stand after the end of the video", hint)]


def _make(ffmpeg: str, preview: Preview, folder: Path, target: Path, quiet: bool) -> None:
    from scriptkit.burning import burn, command
    from scriptkit.timed_text.subrip import write_srt

    names = {place: f"{place}.srt" for place in preview.drawn}
    for place, some in preview.drawn.items():
        (folder / names[place]).write_text(write_srt(some), encoding="utf-8", newline="\n")
    (folder / "all.srt").write_text(write_srt(preview.cues), encoding="utf-8", newline="\n")
    made = Path(f"preview{target.suffix.casefold()}")
    with Progress("burning in", round(preview.picture.length_ms / 1000), quiet=quiet) as progress:
        burn(
            command(ffmpeg, preview.picture, names, "all.srt", made),
            str(folder),
            lambda ms: progress.at(round(ms / 1000), "seconds"),
        )
    (folder / made).replace(target)
