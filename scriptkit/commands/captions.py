"""``scriptkit captions``: the overlay captions alone, for a profile, a frame rate and a start time code; and beside the
dialogue captions of the cut."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from scriptkit.captions.beside import beside
from scriptkit.captions.cards import FONTS, PANEL, PANEL_OPACITY, cards_of
from scriptkit.captions.composed import Figures, figures_of, overlay_on
from scriptkit.captions.dialogue import usable, write_dialogue
from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profile_of
from scriptkit.captions.room import Room, room_for
from scriptkit.captions.sounds import Sound, placed_sounds, sounds_of, with_sounds
from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.commands.proof import rate_of, read_captions
from scriptkit.documents import render
from scriptkit.measure.timecode import RATES, FrameRate, NotATimecode, frames_of, frames_to_ms
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import Plan, plan_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.ttml import USUAL_FONT, write_ttml
from scriptkit.timed_text.webvtt import write_vtt
from scriptkit.writing import write_all

KINDS = (".srt", ".vtt", ".ttml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command was asked for; an empty text is *not asked for*."""

    source: str
    output: str
    profile: str
    rate: str
    start: str
    crlf: bool
    bom: bool
    cut: str
    dialogue: str
    sounds: bool
    cards: str
    as_json: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """Frames of the output, and the frame that its first picture carries."""

    rate: FrameRate
    first: int

    @property
    def first_ms(self) -> int:
        """Of that frame, at the rate of the output."""
        return frames_to_ms(self.first, self.rate)


def run(wanted: Wanted) -> int:
    """Written by the ending of ``output``: SubRip, WebVTT or TTML; the dialogue captions beside it, in the same kind.
    Raises CannotDo where a file cannot be read or written, or the ending, rate, start or profile is none."""
    target = Path(wanted.output)
    kind = _kind_of(target)
    of = profile_of(wanted.profile)
    dialogue = read_captions(wanted.dialogue) if wanted.dialogue else None
    reading = read_source(wanted.source)
    read = reading.usable()
    clock = _clock(wanted, read)
    room = room_for(of, clock.rate)
    plan, problems = _plan(read, wanted.cut)
    cues, told = overlay_on(read, plan, room)
    problems += told
    sounds = sounds_of(plan) if wanted.sounds else []
    if sounds and dialogue is None:
        cues, told = with_sounds(cues, sounds, room)
        problems += told
    cues = on_frames(cues, clock.rate, clock.first)
    files = {target.name: _written(kind, cues, read.name, of)}
    if dialogue is not None:
        name = _dialogue_name(target)
        files[name], told = _beside(dialogue, cues, sounds, room, clock, kind, of)
        problems += [*dialogue.repairs, *told]
    cards = _cards(figures_of(read)) if wanted.cards else {}
    made_from = [*reading.texts, wanted.cut, wanted.dialogue]
    write_all(str(target.parent), {name: _ends(text, wanted) for name, text in files.items()}, made_from)
    if cards:
        write_all(wanted.cards, cards, made_from)
    found = in_order([*reading.problems, *problems])
    if wanted.as_json:
        written = [*(str(target.parent / name) for name in files), *(str(Path(wanted.cards) / name) for name in cards)]
        print_json(
            {
                "title": read.name,
                "file": wanted.output,
                "files": written,
                "cues": len(cues),
                "profile": of.name,
                "problems": [p.as_json() for p in found],
            }
        )
    else:
        print_problems(found, reading.texts)
        beside_it = "".join(f" and {name}" for name in files if name != target.name)
        beside_it += f" and {len(cards)} cards in {wanted.cards}" if cards else ""
        summary = f"{len(cues)} cues at {clock.rate.name} frames/s, {of.name}; {count_words(found)}"
        print(f"wrote {wanted.output}{beside_it}: {summary}", file=sys.stderr)
    return exit_code(found)


def _kind_of(target: Path) -> str:
    kind = target.suffix.casefold()
    if kind in KINDS:
        return kind
    message = f"“{target}” has no ending that tells the format"
    raise CannotDo([error(Place("--output"), "option", message, "end it with .srt, .vtt or .ttml")])


def _plan(read: Dish | Meal, cut: str) -> tuple[Plan, list[Problem]]:
    """The plan, laid on the cut where one is given; and a problem for each step that was not found there."""
    planned = plan_of(read)
    if not cut:
        return planned, []
    from scriptkit.cut.cut_plan import not_placed, plan_in_cut
    from scriptkit.cut.source import cut_of

    found = cut_of(read, cut)
    plan = plan_in_cut(planned, found)
    missing = not_placed(planned, plan)
    named = {p.place for p in missing}
    return plan, [*missing, *(p for p in found.problems if p.place not in named)]


def _clock(wanted: Wanted, read: Dish | Meal) -> Clock:
    rate = rate_of(wanted.rate) or RATES[read.film.frame_rate]
    try:
        return Clock(rate=rate, first=frames_of(wanted.start, rate) if wanted.start else 0)
    except NotATimecode as wrong:
        raise CannotDo([error(Place("--start"), "option", str(wrong), wrong.hint)]) from None


def _cards(macros: Figures) -> dict[str, str]:
    """The macro cards as SVG by file name."""
    cards = cards_of(macros.dishes, macros.meal, macros.suggestion)
    return {
        f"{c.name}.svg": render("card.svg", card=c, fonts=FONTS, panel=PANEL, panel_opacity=PANEL_OPACITY)
        for c in cards
    }


def _written(kind: str, cues: Sequence[Cue], title: str, of: Profile) -> str:
    if kind == ".srt":
        return write_srt(cues)
    if kind == ".vtt":
        return write_vtt(cues, title)
    return write_ttml(cues, title, font_percent=of.font_percent or USUAL_FONT)


def _ends(text: str, wanted: Wanted) -> str:
    text = text.replace("\r\n", "\n")
    return ("\ufeff" if wanted.bom else "") + (text.replace("\n", "\r\n") if wanted.crlf else text)


# --- beside the dialogue captions ---------------------------------------------------------------------------------------


def _dialogue_name(target: Path) -> str:
    """``dialogue`` with the overlay's ending. Raises CannotDo where that is the overlay's name."""
    name = f"dialogue{target.suffix.casefold()}"
    place = target.parent / name
    if name == target.name.casefold():
        hint = "give the overlay another name with -o, such as overlays.vtt"
        raise CannotDo(
            [error(Place("--output"), "option", f"{place} is where the dialogue captions are written", hint)]
        )
    return name


def _beside(
    dialogue: CaptionFile,
    cues: Sequence[Cue],
    sounds: Sequence[Sound],
    room: Room,
    clock: Clock,
    kind: str,
    of: Profile,
) -> tuple[str, list[Problem]]:
    """The dialogue captions out of the overlay's way, with the sounds where nobody speaks."""
    spoken, problems = usable(dialogue)
    if clock.first and spoken and spoken[0].start_ms < clock.first_ms:
        spoken = [replace(c, start_ms=c.start_ms + clock.first_ms, end_ms=c.end_ms + clock.first_ms) for c in spoken]
        message = f"the dialogue counts from zero: {clock.first_ms / 1000:.3f} s are added, as `--start` says"
        problems.append(note(Place(dialogue.file), "dialogue-moved", message))
    taken = [(c.start_ms - clock.first_ms, c.end_ms - clock.first_ms) for c in spoken]
    heard, told = placed_sounds(taken, sounds, room)
    heard = [one for cue in heard for one in on_frames([cue], clock.rate, clock.first)]
    both = [*spoken, *(ReadCue(c.start_ms, c.end_ms, c.text, 1) for c in heard)]
    placed = beside(sorted(both, key=lambda c: (c.start_ms, c.end_ms)), cues)
    text, more = write_dialogue(dialogue, placed, kind, of.font_percent or USUAL_FONT)
    return text, [*problems, *told, *more]
