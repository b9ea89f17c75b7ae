"""``scriptkit captions``: the overlay captions alone, for a profile, a frame rate and a start time code."""

from __future__ import annotations

import sys
from pathlib import Path

from scriptkit.captions.compose import Room
from scriptkit.captions.overlay import overlay
from scriptkit.captions.profiles import profile_of
from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.commands.proof import rate_of
from scriptkit.documents import write_all
from scriptkit.measure.timecode import RATES, NotATimecode, frames_of
from scriptkit.nutrition.plates import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.problems import CannotDo, Place, error, in_order
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.apply import cautions_in
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.ttml import write_ttml
from scriptkit.timed_text.webvtt import write_vtt

KINDS = (".srt", ".vtt", ".ttml")


def run(source: str, output: str, *, profile: str, rate: str, start: str, crlf: bool, bom: bool, as_json: bool) -> int:
    """Written by the ending of ``output``: SubRip, WebVTT or TTML."""
    kind = Path(output).suffix.casefold()
    if kind not in KINDS:
        raise CannotDo(
            [
                error(
                    Place("--output"),
                    "option",
                    f"“{output}” has no ending that tells the format",
                    "end it with .srt, .vtt or .ttml",
                )
            ]
        )
    of = profile_of(profile)
    reading = read_source(source)
    read = reading.usable()
    at = rate_of(rate) or RATES[read.film.frame_rate]
    try:
        start_frame = frames_of(start, at) if start else 0
    except NotATimecode as wrong:
        raise CannotDo([error(Place("--start"), "option", str(wrong), wrong.hint)]) from None
    meal = meal_macros(read) if isinstance(read, Meal) else None
    cues, problems = overlay(
        plan_of(read),
        cautions_in(read),
        [dish_macros(d) for d in dishes_of(read)],
        meal,
        suggestion_for(meal) if meal is not None else None,
        Room(of.line_length, of.lines),
    )
    cues = on_frames(cues, at, start_frame)
    text = (
        write_srt(cues)
        if kind == ".srt"
        else write_vtt(cues, read.name)
        if kind == ".vtt"
        else write_ttml(cues, read.name)
    )
    text = ("\ufeff" if bom else "") + (text.replace("\n", "\r\n") if crlf else text)
    target = Path(output)
    write_all(str(target.parent), {target.name: text})
    found = in_order([*reading.problems, *problems])
    if as_json:
        print_json(
            {
                "title": read.name,
                "file": output,
                "cues": len(cues),
                "profile": of.name,
                "problems": [p.as_json() for p in found],
            }
        )
    else:
        print_problems(found, reading.texts)
        print(
            f"wrote {output}: {len(cues)} cues at {at.name} frames/s, {of.name}; {count_words(found)}", file=sys.stderr
        )
    return exit_code(found)
