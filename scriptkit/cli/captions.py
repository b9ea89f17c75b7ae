"""``scriptkit captions``: the overlay captions alone, for a profile, a frame rate and a start time code; and beside the
dialogue captions of the cut."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import SUPPER, TIMES, HelpPage, command
from scriptkit.cli.options import (
    Cards,
    CutTimes,
    Dialogue,
    FontFile,
    Force,
    Json,
    KeepWords,
    Log,
    Profile,
    Rate,
    Seen,
    Sounds,
    Source,
    Spoken,
    Voice,
)
from scriptkit.cli.printing import count_words, cue_count, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note

if TYPE_CHECKING:
    from scriptkit.captions.dialogue.spoken_dialogue import SpokenDialogue
    from scriptkit.drawing.layout import Fonts
    from scriptkit.production import Production
    from scriptkit.timed_text.cue import Cue
    from scriptkit.timed_text.reading import CaptionFile


CHANGED_WORDS = "changed-words.csv"


@command(
    "captions",
    HelpPage(
        short="the overlay captions alone",
        reads=f"a dish or a meal. {TIMES}",
        writes="the overlay as SubRip, WebVTT, TTML or styled ASS, by the ending of -o; with --spoken, --voice, --dialogue and --cards more beside it. What it "
        "writes, but for ASS, passes `scriptkit proof` with the same profile.",
        examples=(
            f"scriptkit captions {SUPPER} --fps 25 --start 10:00:00:00 -o overlays.ttml",
            f"scriptkit captions {SUPPER} --cut examples/harbour-supper-cut.srt --sounds -o overlays.vtt",
            f"scriptkit captions {SUPPER} --spoken examples/harbour-supper-cut.srt -o overlays.vtt",
        ),
    ),
)
def captions(  # noqa: PLR0917  an option each
    source: Source,
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="FILE", help="File to write: .srt, .vtt, .ttml or .ass.")
    ],
    profile: Profile = "streaming",
    fps: Rate = "",
    start: Annotated[
        str, typer.Option(metavar="HH:MM:SS:FF", help="Time code of the first frame. Default: 00:00:00:00.")
    ] = "",
    crlf: Annotated[bool, typer.Option("--crlf", help="CRLF line endings, for older editors.")] = False,
    bom: Annotated[
        bool, typer.Option("--bom", help="Start with a byte order mark, for players that need one.")
    ] = False,
    cut: CutTimes = "",
    log: Log = "",
    answers: Seen = None,
    dialogue: Dialogue = "",
    spoken: Spoken = "",
    voice: Voice = "",
    keep_words: KeepWords = False,
    sounds: Sounds = False,
    cards: Cards = "",
    font: FontFile = "",
    force: Force = False,
    json: Json = False,
) -> None:
    """The overlay captions alone: additions, time, cautions and macro cards, on whole frames. Without --fps the frame rate is
    the file's."""
    raise typer.Exit(
        run(
            Wanted(
                source=source, output=output, profile=profile, rate=fps, start=start, crlf=crlf, bom=bom,
                cut=cut, log=log, answers=tuple(answers or ()), dialogue=dialogue, spoken=spoken, voice=voice, keep_words=keep_words, sounds=sounds, cards=cards, font=font, force=force, as_json=json,
            )
        )
    )  # fmt: skip


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
    spoken: str
    voice: str
    keep_words: bool
    sounds: bool
    cards: str
    as_json: bool
    font: str = ""
    force: bool = False
    log: str = ""
    answers: tuple[str, ...] = ()


def run(wanted: Wanted) -> int:
    """Written by the ending of ``output``: SubRip, WebVTT or TTML; the dialogue captions beside it, in the same kind.
    Raises CannotDo where a file cannot be read or written, or the ending, rate, start or profile is none."""
    from scriptkit.captions.proofing.losses import would_be_lost
    from scriptkit.cli.proof import read_captions
    from scriptkit.measure.timecode import frames_to_ms
    from scriptkit.papers.changed_words import changes_json, write_changes
    from scriptkit.production import read

    target = Path(wanted.output)
    kind = _kind_of(target)
    _only_one_dialogue(wanted)
    cut = _cut_beside(wanted)
    production = read(
        wanted.source, cut=cut, transcript=wanted.spoken, log=wanted.log, voice=wanted.voice, profile=wanted.profile, fps=wanted.rate, answers=wanted.answers,
    )  # fmt: skip
    of = production.profile
    dialogue = read_captions(wanted.dialogue) if wanted.dialogue else None
    if dialogue is not None and (lost := would_be_lost(dialogue)):
        raise CannotDo([*dialogue.repairs, *lost])
    first = _first_frame(wanted, production)
    talk = _talk(production, wanted)
    if talk is not None:
        dialogue = talk.as_captions(wanted.spoken or wanted.voice, frames_to_ms(first, production.rate))
    beside_dialogue = wanted.sounds and dialogue is not None
    cues, of_sounds = production.cues_with(sounds=wanted.sounds and not beside_dialogue, first_frame=first)
    problems = [
        *production.reading.problems,
        *production.log_problems,
        *production.said_wrongly,
        *production.timing_problems,
        *of_sounds,
        *_letters_told(cues, production, fonts := _fonts(wanted, kind)),
    ]
    files = {target.name: production.written(kind, cues, fonts)}
    if dialogue is not None:
        name = _dialogue_name(target)
        on_frames = bool(wanted.rate) or talk is not None
        files[name], told = _beside(
            dialogue, cues, production, first, kind, name=name, sounds=beside_dialogue, on_frames=on_frames
        )
        problems += [*dialogue.repairs, *told]
    if talk is not None:
        files[CHANGED_WORDS] = write_changes(talk.changes, talk.marks)
        problems += talk.problems(wanted.spoken or wanted.voice, of.name)
    cards, of_cards = _cards(production) if wanted.cards else ({}, [])
    problems += of_cards
    made_from = [*production.made_from, wanted.cut, wanted.dialogue]
    problems += _write(target.parent, files, cards, made_from, wanted)
    found = in_order(problems)
    if wanted.as_json:
        written = [*(str(target.parent / name) for name in files), *(str(Path(wanted.cards) / name) for name in cards)]
        print_json(
            {
                "title": production.source.name,
                "file": wanted.output,
                "files": written,
                "cues": len(cues),
                "profile": of.name,
                **({} if talk is None else {"changes": changes_json(talk.changes), "marks": changes_json(talk.marks)}),
                "problems": [p.as_json() for p in found],
            }
        )
    else:
        print_problems(found, production.files)
        beside_it = "".join(f" and {name}" for name in files if name != target.name)
        if talk is not None:
            beside_it += f" ({cue_count(len(talk.cues))} of dialogue, {_changes_told(talk)})"
        beside_it += f" and {len(cards)} cards in {wanted.cards}" if cards else ""
        summary = f"{cue_count(len(cues))} at {production.rate.name} frames/s, {of.name}; {count_words(found)}"
        print(f"wrote {wanted.output}{beside_it}: {summary}", file=sys.stderr)
        print_next_of(wanted.source, cut=wanted.cut, made="captions")
    return exit_code(found)


def _fonts(wanted: Wanted, kind: str) -> Fonts | None:
    """The fonts that go inside; None for kinds of file that have none. Raises CannotDo where one is named for such a kind."""
    from scriptkit.drawing.shown import fonts_from

    if kind == "ass":
        return fonts_from(wanted.font)
    if wanted.font:
        message = f"a .{kind} file holds no font: the player chooses one"
        raise CannotDo([error(Place("--font"), "option", message, "end -o with .ass, or leave --font out")])
    return None


def _letters_told(cues: Sequence[Cue], production: Production, fonts: Fonts | None) -> list[Problem]:
    """What the font that goes inside lacks."""
    from scriptkit.drawing.missing_glyphs import BY_A_PLAYER, glyph_problems, lacking
    from scriptkit.drawing.shown import shown

    if fonts is None:
        return []
    return glyph_problems(lacking(shown(cues, production.canvas, fonts), fonts), fonts, hint=BY_A_PLAYER)


def _only_one_dialogue(wanted: Wanted) -> None:
    """Raises CannotDo where several files are named for the one dialogue, where it is asked for in a kind that has none, and where
    words are kept of nothing."""
    named = [name for name in ("dialogue", "spoken", "voice") if getattr(wanted, name)]
    if len(named) > 1:
        message = f"--{named[0]} and --{named[1]} both give the dialogue captions"
        raise CannotDo([error(Place(f"--{named[1]}"), "option", message, "give one of the two")])
    if named and wanted.output.casefold().endswith(".ass"):
        message = "dialogue captions are not written as ASS"
        raise CannotDo([error(Place("--output"), "option", message, "end -o with .vtt, .ttml or .srt")])
    if wanted.keep_words and not wanted.spoken and not wanted.voice:
        hint = "name the transcript or the voice-over: --spoken FILE or --voice FILE"
        message = "there are no words to keep without --spoken or --voice"
        raise CannotDo([error(Place("--keep-words"), "option", message, hint)])


def _cut_beside(wanted: Wanted) -> str:
    """The file of times; none where it is a transcript and ``--spoken`` names the one that counts."""
    from scriptkit.cut.cut_reader import is_transcript

    return "" if wanted.cut and wanted.spoken and is_transcript(wanted.cut) else wanted.cut


def _talk(production: Production, wanted: Wanted) -> SpokenDialogue | None:
    """The dialogue captions from what is spoken; None where that is not asked for."""
    from scriptkit.captions.dialogue.spoken_dialogue import dialogue_of, dialogue_of_script
    from scriptkit.captions.dialogue.timed_words import timed_words

    if wanted.voice and production.voice is not None:
        voice = production.voice
        return dialogue_of_script(voice.words, production.room, told=voice.read_otherwise, keep_words=wanted.keep_words)
    if production.transcript is None or not wanted.spoken:
        return None
    from scriptkit.captions.proofing.misheard import due_in

    return dialogue_of(
        production.script,
        timed_words(production.transcript.lines),
        production.room,
        due=due_in(production.dishes),
        keep_words=wanted.keep_words,
        not_said=production.transcript.not_said,
        end_ms=production.timed_plan.length_ms,
    )


def _changes_told(talk: SpokenDialogue) -> str:
    """``30 changed words, 1 mark left out, and 12 places where only commas, stops or capitals are changed``."""

    def count(number: int, one: str) -> str:
        return f"{number} {one}{'' if number == 1 else 's'}"

    words = sum(bool(change.now) for change in talk.changes)
    told = count(words, "changed word")
    if left_out := len(talk.changes) - words:
        told += f", {count(left_out, 'mark')} left out"
    if talk.marks:
        told += f", and {count(len(talk.marks), 'place')} where only commas, stops or capitals are changed"
    return told


def _kind_of(target: Path) -> str:
    from scriptkit.captions.caption_files import CAPTION_KINDS

    kind = target.suffix.casefold().removeprefix(".")
    if kind in CAPTION_KINDS:
        return kind
    message = f"“{target}” has no ending that tells the format"
    raise CannotDo([error(Place("--output"), "option", message, "end it with .srt, .vtt, .ttml or .ass")])


def _first_frame(wanted: Wanted, production: Production) -> int:
    from scriptkit.measure.timecode import NotATimecode, frames_of

    try:
        return frames_of(wanted.start, production.rate) if wanted.start else 0
    except NotATimecode as wrong:
        raise CannotDo([error(Place("--start"), "option", str(wrong), wrong.hint)]) from None


def _cards(production: Production) -> tuple[dict[str, str], list[Problem]]:
    """The macro cards as SVG by file name, and the letters that the font inside them lacks."""
    from scriptkit.documents import render
    from scriptkit.drawing.missing_glyphs import BY_A_VIEWER, glyph_problems, lacking_in
    from scriptkit.drawing.shown import house_fonts
    from scriptkit.papers.macro_cards import cards_of
    from scriptkit.typeface import STACK, font_face

    macros, fonts = production.macros, house_fonts()
    cards = cards_of(macros.dishes, macros.meal, production.suggestion, fonts, production.only_meal)
    drawn = {f"{c.name}.svg": render("card.svg", card=c, fonts=STACK, font_face=font_face()) for c in cards}
    letters = lacking_in((c.graphic for c in cards), fonts)
    return drawn, glyph_problems(letters, fonts, hint=BY_A_VIEWER, place="--cards")


def _write(
    folder: Path, files: Mapping[str, str], cards: Mapping[str, str], made_from: Sequence[str], wanted: Wanted
) -> list[Problem]:
    """The captions and the cards, all of them or none; a warning for each card that a person made. Raises CannotDo."""
    from scriptkit.written_files import write_folder, write_own

    kept: list[Problem] = []

    def with_cards() -> None:
        if cards:
            kept.extend(write_folder(wanted.cards, cards, made_from, force=wanted.force).kept)

    ended = {name: _ends(text, wanted) for name, text in files.items()}
    write_own(folder, ended, made_from, force=wanted.force, then=with_cards)
    return kept


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
    production: Production,
    first_frame: int,
    kind: str,
    *,
    name: str,
    sounds: bool,
    on_frames: bool,
) -> tuple[str, list[Problem]]:
    """The dialogue captions out of the overlay's way, with the sounds where nobody speaks; ``on_frames``: as the overlay is,
    which a file of ``--dialogue`` is only where a rate is asked for."""
    from scriptkit.captions.composing.sounds import placed_sounds, sounds_of
    from scriptkit.captions.dialogue.caption_avoidance import beside
    from scriptkit.captions.dialogue.dialogue import usable, write_dialogue
    from scriptkit.captions.proofing.repair import snapped
    from scriptkit.measure.timecode import frames_to_ms
    from scriptkit.timed_text import frames
    from scriptkit.timed_text.reading import ReadCue
    from scriptkit.timed_text.ttml import USUAL_FONT

    rate, first_ms = production.rate, frames_to_ms(first_frame, production.rate)
    spoken, problems = usable(dialogue)
    if first_frame and spoken and spoken[0].start_ms < first_ms:
        spoken = [replace(c, start_ms=c.start_ms + first_ms, end_ms=c.end_ms + first_ms) for c in spoken]
        message = f"the dialogue counts from zero: {first_ms / 1000:.3f} s are added, as `--start` says"
        problems.append(note(Place(dialogue.file), "dialogue-moved", message))
    if on_frames:
        spoken = [snapped(c, rate) for c in spoken]
    taken = [(c.start_ms - first_ms, c.end_ms - first_ms) for c in spoken]
    heard, told = placed_sounds(taken, sounds_of(production.timed_plan) if sounds else [], production.room, name)
    heard = [one for cue in heard for one in frames.on_frames([cue], rate, first_frame)]
    both = [*spoken, *(ReadCue(c.start_ms, c.end_ms, c.text, 1) for c in heard)]
    shape = production.profile.shape
    placed = beside(sorted(both, key=lambda c: (c.start_ms, c.end_ms)), cues, shape)
    text, more = write_dialogue(dialogue, placed, f".{kind}", production.profile.font_percent or USUAL_FONT, shape)
    return text, [*problems, *told, *more]
