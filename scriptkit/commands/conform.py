"""``scriptkit conform``: move a caption file to another cut."""

from __future__ import annotations

import csv
import io
import re
import sys
from dataclasses import replace
from pathlib import Path

from scriptkit.captions.conform import Stretch, drained, mapped, offset, retimed
from scriptkit.captions.fixing import write_captions
from scriptkit.commands.printing import count_words, exit_code, print_problems
from scriptkit.commands.proof import rate_of, read_captions
from scriptkit.documents import write_all
from scriptkit.measure.timecode import FrameRate, NotATimecode, frames_of, frames_to_ms
from scriptkit.problems import CannotDo, Place, error

_CLOCK = re.compile(r"^(-?)(?:(?:(\d+):)?(\d{1,3}):)?(\d{1,6}(?:[.,]\d{1,3})?)$")
CUT_OUT = ("cut", "out", "-", "")


def run(file: str, output: str, *, by: str, was: str, now: str, cut_map: str, rate: str) -> int:
    """An offset, a change of frame rate and a map may be asked for together; they are applied in this order."""
    at = rate_of(rate)
    asked = [bool(by), bool(was or now), bool(cut_map)]
    if not any(asked):
        raise CannotDo(
            [error(Place("--offset"), "option", "nothing to change", "write --offset, --from and --to, or --map")]
        )
    if bool(was) != bool(now):
        raise CannotDo(
            [error(Place("--from"), "option", "a change of frame rate needs both", "write --from 24 --to 25")]
        )
    captions = read_captions(file)
    cues, count = list(captions.cues), len(captions.cues)
    captions = replace(captions, cues=())
    if by:
        cues = offset(drained(cues), _moment(by, at, Place("--offset")))
    if was and now and (old := rate_of(was)) and (new := rate_of(now)):
        cues = retimed(drained(cues), old, new)
    if cut_map:
        cues = mapped(drained(cues), read_map(cut_map, at))
    target = Path(output)
    kept = len(cues)
    write_all(str(target.parent), {target.name: write_captions(captions, drained(cues))})
    print_problems(captions.repairs)
    print(f"wrote {output}: {kept} cues, {count - kept} fell away; {count_words(captions.repairs)}", file=sys.stderr)
    return exit_code(captions.repairs)


def _moment(text: str, rate: FrameRate | None, place: Place) -> int:
    """Milliseconds of ``-1.5``, ``2:05.5``, ``1:02:05`` or time code ``00:00:10:12``."""
    text = text.strip()
    if rate is not None and re.fullmatch(r"-?\d+:\d\d:\d\d[:;]\d\d", text):
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
    return -ms if sign else ms


def read_map(path: str, rate: FrameRate | None) -> list[Stretch]:
    """A CSV file of ``old,new`` times, a line for each stretch; ``cut`` in place of a new time takes the stretch out."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError, ValueError) as wrong:
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the map cannot be read: {wrong}", "check the name")]
        ) from None
    stretches: dict[int, Stretch] = {}
    for number, row in enumerate(csv.reader(io.StringIO(text)), 1):
        cells = [cell.strip() for cell in row]
        if not any(cells) or (number == 1 and cells[0].casefold() == "old"):
            continue
        place = Place(path, number)
        if len(cells) != 2:
            raise CannotDo(
                [
                    error(
                        place, "map", "a line of the map has two times", "write old,new such as 1:05,0:58.5 or 1:05,cut"
                    )
                ]
            )
        old = _moment(cells[0], rate, place)
        new = None if cells[1].casefold() in CUT_OUT else _moment(cells[1], rate, place)
        if old in stretches:
            raise CannotDo([error(place, "map", f"{cells[0]} stands in the map twice", "keep one of them")])
        stretches[old] = Stretch(old, new)
    if not stretches:
        raise CannotDo(
            [error(Place(path), "map", "the map has no lines", "write old,new times, a line for each stretch")]
        )
    return [stretches[old] for old in sorted(stretches)]
