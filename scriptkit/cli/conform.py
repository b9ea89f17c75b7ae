"""``scriptkit conform``: move a caption file to another cut."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import CaptionsIn, Encoding, Force, Rate, SourceRate, TargetRate
from scriptkit.cli.printing import count_words, cue_count, exit_code, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error, note, warning
from scriptkit.timed_text.placed_source import KEPT

if TYPE_CHECKING:
    from scriptkit.captions.proofing.conform import Stretch
    from scriptkit.measure.timecode import FrameRate
    from scriptkit.timed_text.reading import CaptionFile, ReadCue


@command(
    "conform",
    HelpPage(
        short="move a caption file to another cut or frame rate",
        reads="a SubRip, WebVTT, TTML or ASS file; with --map a CSV of old,new times.",
        writes="the moved captions to the file of -o. An offset, a change of rate and a map are applied in this order.",
        examples=(
            "scriptkit conform examples/harbour-supper-cut.srt --offset -1.5 -o moved.srt",
            "scriptkit conform examples/harbour-supper-cut.srt --from 24 --to 25 -o moved.srt",
        ),
    ),
)
def conform(  # noqa: PLR0917  an option each
    file: CaptionsIn,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="File to write.")],
    offset: Annotated[
        str,
        typer.Option(metavar="TIME", help="Shift in seconds; negative is earlier: 90, -1.5, 2:05.5 (minutes:seconds)."),
    ] = "",
    was: SourceRate = "",
    now: TargetRate = "",
    cut_map: Annotated[
        str,
        typer.Option(
            "--map", metavar="FILE", help="CSV of old,new times, a line for each stretch; `cut` takes one out."
        ),
    ] = "",
    fps: Rate = "",
    encoding: Encoding = "",
    force: Force = False,
) -> None:
    """Move a caption file to another cut: an offset, another frame rate, or a map of stretches. --fps is only for times that
    are written as time code (00:01:05:12)."""
    raise typer.Exit(
        run(file, output, by=offset, was=was, now=now, cut_map=cut_map, rate=fps, encoding=encoding, force=force)
    )


_CLOCK = re.compile(r"^(-?)(?:(?:(\d{1,3}):)?(\d{1,3}):)?(\d{1,6}(?:[.,]\d{1,3})?)$")
_MOST = 59
CUT_OUT = ("cut", "out", "-", "")


def run(
    file: str,
    output: str,
    *,
    by: str,
    was: str,
    now: str,
    cut_map: str,
    rate: str,
    encoding: str = "",
    force: bool = False,
) -> int:
    """An offset, a change of frame rate and a map may be asked for together; they are applied in this order.
    Raises CannotDo where nothing is asked for, where it cannot be understood, and where a file cannot be read or written."""
    from scriptkit.captions.proofing.conform import drained, mapped, offset, retimed, without_overlaps
    from scriptkit.captions.proofing.losses import would_be_lost
    from scriptkit.captions.proofing.repair import write_captions
    from scriptkit.cli.proof import named_as_another_kind, read_captions
    from scriptkit.measure.timecode import rate_named
    from scriptkit.written_files import write_own

    at = rate_named(rate)
    asked = [bool(by), bool(was or now), bool(cut_map)]
    if not any(asked):
        raise CannotDo(
            [error(Place("--offset"), "option", "nothing to change", "write --offset, --from and --to, or --map")]
        )
    if bool(was) != bool(now):
        raise CannotDo(
            [error(Place("--from"), "option", "a change of frame rate needs both", "write --from 24 --to 25")]
        )
    captions = read_captions(file, encoding)
    if stray := [*named_as_another_kind(output, captions, "-o"), *would_be_lost(captions)]:
        raise CannotDo([*captions.repairs, *stray])
    cues, count = list(captions.cues), len(captions.cues)
    captions = replace(captions, cues=())
    lost = _backwards(captions, cues)
    if by:
        ms = _moment(by, at, Place("--offset"))
        _refuse_nothing_left(cues, ms)
        lost += _before_zero(captions, cues, ms)
        cues = offset(drained(cues), ms)
    scale = Fraction(1)
    if was and now and (old := rate_named(was)) and (new := rate_named(now)):
        cues = retimed(drained(cues), old, new)
        scale = old.exact / new.exact
    if cut_map:
        stretches, cut_out = without_overlaps(read_map(cut_map, at))
        lost += _runs_into(cut_map, cut_out, stretches)
        found = mapped(drained(cues), stretches)
        cues = found.cues
        early = [c for c in found.gone if c.start_ms < stretches[0].old_ms]
        lost += _fell_away(
            captions, early, "stands before the first time of the map", "begin the map with 0,0 or 0,cut"
        )
        lost += _in_part(captions, found.shortened)
        if not cues:
            message = f"nothing was written: the map leaves none of the {count} cues"
            hint = "check that its first column has the times of this file, from 0 on"
            raise CannotDo([*lost, error(Place(cut_map), "nothing-left", message, hint)])
    target = Path(output)
    kept = len(cues)
    text = write_captions(captions, drained(cues), scale)
    write_own(target.parent, {target.name: text}, [file, cut_map], force=force)
    problems = [*captions.repairs, *lost]
    print_problems(problems)
    print(f"wrote {output}: {cue_count(kept)}, {count - kept} fell away; {count_words(problems)}", file=sys.stderr)
    return exit_code(problems)


def _backwards(of: CaptionFile, cues: Sequence[ReadCue]) -> list[Problem]:
    """Cues that end before they begin, or as they do: they are moved so, and stay wrong."""
    from scriptkit.captions.profiles import USUAL_PROFILE, profile_of
    from scriptkit.captions.proofing.proof import reversed_times
    from scriptkit.captions.proofing.sheet import Sheet

    wrong = tuple(c for c in cues if c.end_ms <= c.start_ms and not c.settings.startswith(KEPT))
    sheet = Sheet(replace(of, cues=wrong), profile_of(USUAL_PROFILE))
    message = "{}: moved as it stands"
    return [replace(p, message=message.format(p.message)) for p in reversed_times(sheet)]


def _refuse_nothing_left(cues: Sequence[ReadCue], by_ms: int) -> None:
    """Raises CannotDo where every cue would end before zero."""
    last = max(c.end_ms for c in cues)
    if last + by_ms > 0:
        return
    from scriptkit.captions.proofing.sheet import seconds_text

    many = f"all {len(cues)} cues" if cues[1:] else "the only cue"
    message = f"nothing was written: {seconds_text(-by_ms)} earlier, {many} would end before 0:00"
    hint = f"the last one ends at {seconds_text(last)}: move them by less"
    if first := min(c.start_ms for c in cues) // 1000:
        hint += f", such as --offset -{first}"
    raise CannotDo([error(Place("--offset"), "nothing-left", message, hint)])


def _before_zero(of: CaptionFile, cues: Sequence[ReadCue], by_ms: int) -> list[Problem]:
    """Cues that an offset moves to before zero, as a whole or in part."""
    gone = [c for c in cues if c.end_ms + by_ms <= 0]
    cut = [c for c in cues if c.start_ms + by_ms < 0 < c.end_ms + by_ms and c.start_ms >= 0]
    first_s = min((c.start_ms for c in cues), default=0) // 1000
    keeps = (
        f"move them by less, such as --offset -{first_s}, to keep it"
        if first_s > 0
        else "move them by less, to keep it"
    )
    return [
        *_fell_away(of, gone, "would end before 0:00", keeps),
        *(note(Place(of.file, c.line), "cut-short", "this cue would begin before 0:00; it begins there") for c in cut),
    ]


def _runs_into(path: str, cut_out: Sequence[Stretch], stretches: Sequence[Stretch]) -> list[Problem]:
    """What a map takes out without saying so: the new times of a stretch that would run into another's."""
    found = []
    for one in cut_out:
        until = next((s.old_ms for s in stretches if s.old_ms > one.old_ms), None)
        of = f"{_clock(one.old_ms)} to {_clock(until)}" if until is not None else f"all from {_clock(one.old_ms)} on"
        message = f"{of} of the old cut is taken out: by the map another stretch begins where it would stand"
        hint = f"say so in the map: {_clock(one.old_ms)},cut – or correct the new times"
        found.append(note(Place(path), "map-overlap", message, hint))
    return found


def _clock(ms: int) -> str:
    """As the map has it: ``0:57.5``, ``1:02:05``."""
    seconds, rest = divmod(ms, 1000)
    hours, minutes = divmod(seconds // 60, 60)
    text = f"{hours}:{minutes:02d}:{seconds % 60:02d}" if hours else f"{minutes}:{seconds % 60:02d}"
    return text + (f".{rest:03d}".rstrip("0") if rest else "")


def _in_part(of: CaptionFile, cues: Sequence[ReadCue]) -> list[Problem]:
    """Cues that a boundary of the map cut short."""
    message, hint = "a part of this cue was cut out; the rest is kept", "read it against the new cut"
    return [warning(Place(of.file, cue.line), "cut-short", message, hint) for cue in cues]


def _fell_away(of: CaptionFile, cues: Sequence[ReadCue], why: str, hint: str) -> list[Problem]:
    """Cues that nobody asked to take out, each with its words."""
    from scriptkit.timed_text.markup import plain_lines

    return [
        warning(
            Place(of.file, cue.line),
            "fell-away",
            f"the cue {why} and fell away: “{' '.join(' '.join(plain_lines(cue.text, of.kind)).split())}”",
            hint,
        )
        for cue in cues
    ]


def _moment(text: str, rate: FrameRate | None, place: Place) -> int:
    """Milliseconds of ``-1.5``, ``2:05.5``, ``1:02:05`` or time code ``00:00:10:12``."""
    from scriptkit.measure.timecode import NotATimecode, frames_of, frames_to_ms

    text = text.strip()
    if rate is not None and re.fullmatch(r"-?\d{1,3}:\d\d:\d\d[:;]\d\d", text):
        try:
            ms = frames_to_ms(frames_of(text.lstrip("-").rjust(11, "0"), rate), rate)
        except NotATimecode as wrong:
            raise CannotDo([error(place, "timecode", str(wrong), wrong.hint)]) from None
        return -ms if text.startswith("-") else ms
    found = _CLOCK.match(text)
    if not found:
        hint = "write seconds or minutes:seconds, such as -1.5 or 2:05.5; time code needs --fps"
        raise CannotDo([error(place, "time", f"“{text}” is not a time", hint)])
    sign, hours, minutes, seconds = found.groups()
    ms = round((int(hours or 0) * 3600 + int(minutes or 0) * 60 + float(seconds.replace(",", "."))) * 1000)
    if minutes and (float(seconds.replace(",", ".")) >= _MOST + 1 or (hours and int(minutes) > _MOST)):
        part = "minutes" if hours and int(minutes) > _MOST else "seconds"
        whole, rest = divmod(ms, 1000)
        meant = f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}".removeprefix("0:").removeprefix("0")
        meant += f".{rest:03d}".rstrip("0") if rest else ""
        hint = f"write {sign}{meant}, or correct the {part}"
        raise CannotDo([error(place, "time", f"“{text}”: after a colon {part} go to {_MOST}", hint)])
    return -ms if sign else ms


def read_map(path: str, rate: FrameRate | None) -> list[Stretch]:
    """A CSV file of ``old,new`` times, a line for each stretch, sorted by the old ones; ``cut`` in place of a new time takes the
    stretch out. Raises CannotDo with every line that is wrong."""
    import csv

    from scriptkit.captions.proofing.conform import Stretch
    from scriptkit.input_bytes import bytes_of
    from scriptkit.timed_text.encodings import decode

    text, _ = decode(bytes_of(path), path)
    lines = {path: tuple(text.splitlines())}
    stretches: dict[int, Stretch] = {}
    problems: list[Problem] = []
    try:
        rows = list(csv.reader(text.lstrip("\ufeff").splitlines()))
    except csv.Error as wrong:
        hint = "write old,new times, a line for each stretch"
        raise CannotDo([error(Place(path), "map", f"the map is not CSV ({wrong})", hint)]) from None
    for number, row in enumerate(rows, 1):
        cells = [cell.strip() for cell in row]
        if not any(cells) or (number == 1 and cells[0].casefold() == "old"):
            continue
        place = Place(path, number)
        if len(cells) != 2:
            hint = "write old,new such as 1:05,0:58.5 or 1:05,cut"
            problems.append(error(place, "map", "a line of the map has two times", hint))
            continue
        try:
            old = _moment(cells[0], rate, place)
            new = None if cells[1].casefold() in CUT_OUT else _moment(cells[1], rate, place)
        except CannotDo as wrong:
            problems += wrong.problems
            continue
        if old in stretches:
            problems.append(error(place, "map", f"{cells[0]} stands in the map twice", "keep one of them"))
        stretches[old] = Stretch(old, new)
    if not stretches and not problems:
        problems.append(
            error(Place(path), "map", "the map has no lines", "write old,new times, a line for each stretch")
        )
    if problems:
        raise CannotDo(problems, lines)
    return [stretches[old] for old in sorted(stretches)]
