"""``scriptkit preview``: the overlays on the video, or on a plain slate with the planned timing, to be looked at."""

from __future__ import annotations

import sys
import tempfile
from dataclasses import replace
from pathlib import Path

from scriptkit.burning import CONTAINERS, SLATE, Picture, burn, by_place, command
from scriptkit.captions.composed import overlay_on
from scriptkit.captions.profiles import profile_of
from scriptkit.captions.room import room_for
from scriptkit.captions.text import fit
from scriptkit.commands.printing import Progress, count_words, exit_code, print_json, print_problems
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, warning
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import Plan, plan_of
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.subrip import write_srt
from scriptkit.video import ffmpeg_path, open_video
from scriptkit.writing import must_be_a_file, never_over

VERTICAL = 9 / 16


def run(source: str, output: str, *, video: str, cut: str, profile: str, as_json: bool, quiet: bool) -> int:
    """Nothing is left half-written: the file is put in its place when it is whole. Raises CannotDo where it cannot be made:
    no ffmpeg, a video that cannot be read, no room on the disk."""
    target = Path(output)
    if target.suffix.casefold() not in CONTAINERS:
        raise CannotDo(
            [
                error(
                    Place("--output"),
                    "option",
                    f"“{output}” has no ending that tells the format",
                    "end it with .mp4 or .mkv",
                )
            ]
        )
    of = profile_of(profile)
    reading = read_source(source)
    read = reading.usable()
    rate = RATES[read.film.frame_rate]
    plan = plan_of(read)
    if cut:
        from scriptkit.cut.cut_plan import plan_in_cut
        from scriptkit.cut.source import cut_of

        plan = plan_in_cut(plan, cut_of(read, cut))
    cues, problems = overlay_on(read, plan, room_for(of, rate))
    cues = on_frames(cues, rate)
    shape = VERTICAL if of.name.startswith("vertical") else 16 / 9
    picture = Picture(path="", length_ms=plan.length_ms, rate=rate, shape=shape)
    ffmpeg = ffmpeg_path()
    drawn = by_place(cues)
    if video:
        opened = open_video(video)
        picture = replace(picture, path=str(Path(video).resolve()), length_ms=opened.length_ms or plan.length_ms)
        problems += _beyond(cues, opened.length_ms, video)
    else:
        drawn[SLATE] = slate_cues(plan)
    never_over([target], [*reading.texts, video, cut])
    try:
        must_be_a_file(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".writing-", dir=target.parent) as folder:
            _make(ffmpeg, picture, drawn, cues, Path(folder), target, quiet)
    except OSError as wrong:
        raise CannotDo(
            [
                error(
                    Place(output),
                    "cannot-write",
                    f"nothing was written: {wrong.strerror or wrong}",
                    "check the folder and the free space",
                )
            ]
        ) from None
    found = in_order([*reading.problems, *problems])
    if as_json:
        print_json(
            {
                "title": read.name, "file": output, "length_s": picture.length_ms / 1000, "cues": len(cues),
                "problems": [p.as_json() for p in found],
            }
        )  # fmt: skip
    else:
        print_problems(found, reading.texts)
        if not quiet:
            print(f"wrote {output}: {len(cues)} cues burnt in and muxed; {count_words(found)}", file=sys.stderr)
    return exit_code(found)


def slate_cues(plan: Plan) -> list[Cue]:
    """What will be seen, for a slate without a picture."""
    cues = []
    for segment in plan.segments:
        name = f"{segment.scene}  {segment.step.id if segment.step else segment.kind}"
        words = clean(segment.step.do if segment.step else (segment.dish.name if segment.dish else plan.title))
        lines = fit(words, width=48, lines=3) or (words[:47] + "…",)
        cues.append(Cue(start_ms=segment.start_ms, end_ms=segment.end_ms, lines=(clean(name), *lines), track=SLATE))
    return cues


def _beyond(cues: list[Cue], length_ms: int | None, video: str) -> list[Problem]:
    late = 0 if length_ms is None else sum(c.end_ms > length_ms for c in cues)
    if not late:
        return []
    hint = "time them by the cut with --cut" if late > 1 else "shorten the last step"
    return [warning(Place(video), "beyond-the-video", f"{late} cues stand after the end of the video", hint)]


def _make(
    ffmpeg: str, picture: Picture, drawn: dict[str, list[Cue]], cues: list[Cue], folder: Path, target: Path, quiet: bool
) -> None:
    names = {place: f"{place}.srt" for place in drawn}
    for place, some in drawn.items():
        (folder / names[place]).write_text(write_srt(some), encoding="utf-8", newline="\n")
    (folder / "all.srt").write_text(write_srt(cues), encoding="utf-8", newline="\n")
    made = Path(f"preview{target.suffix.casefold()}")
    with Progress("burning in", round(picture.length_ms / 1000), quiet=quiet) as progress:
        burn(
            command(ffmpeg, picture, names, "all.srt", made),
            str(folder),
            lambda ms: progress.at(round(ms / 1000), "seconds"),
        )
    (folder / made).replace(target)
