"""What a person must be told of the camera's clips: taps without one, clips without a tap, clocks that are apart."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from scriptkit.problems import Place, Problem, note, printable, warning
from scriptkit.shoot.log.camera_clips import CameraClip
from scriptkit.shoot.log.clip_matching import TIMECODE, CameraClock, ClipMatch, TakeClip
from scriptkit.shoot.log.take_log import Take

MOST_NAMED = 12
"""Clips that one message names."""
MOST_ALONE = 3
"""Circled takes without a clip that are told one by one; more are told together."""
SHORTEST_MS = 4_000
"""Takes that are shorter than this say nothing of their clip's length."""


def clip_problems(
    match: ClipMatch, folder: str, command: str, frames_ms: Sequence[tuple[Take, int]] = ()
) -> list[Problem]:
    """A warning for each circled take without a clip, and for each camera whose clock is apart, with the line that applies it; notes of
    the rest. ``command``: the line that was given, without a shift; ``frames_ms``: takes with their lengths."""
    place = Place(folder)
    found = [_clock(match, clock, place, command) for clock in match.clocks]
    lost = [take for take in match.without_clip if take.circled]
    apart = any(not c.applied for c in match.clocks)
    found += (
        [_no_clip(take, match.clips, apart=apart) for take in lost]
        if len(lost) <= MOST_ALONE
        else [_many_lost(lost, match.clips, place)]
    )
    found += [_which(one) for one in match.found if one.or_else]
    lengths = {take.place: ms for take, ms in frames_ms}
    found += [
        _short(one, lengths[one.take.place]) for one in match.found if _is_short(one, lengths.get(one.take.place, 0))
    ]
    others = [take for take in match.without_clip if not take.circled]
    if others:
        names = _some([take_name(t) for t in others])
        found.append(
            note(
                place,
                "no-clip",
                f"{_many(len(others), 'take')} that {_are(others)} not circled {_have(others)} no clip here: {names}",
            )
        )
    if match.without_take:
        names = _some([printable(c.file) for c in match.without_take])
        message = f"{_many(len(match.without_take), 'clip')} {_are(match.without_take)} of no take in the log: {names}"
        found.append(note(place, "clip-without-take", message, "look what is on it; a take belongs into the log"))
    for camera in match.misnamed:
        called = f" of {camera}" if camera else ""
        message = f"the clips{called} are not numbered as the log numbers them, so they were matched by the time of day"
        found.append(
            note(
                place,
                "clips-misnamed",
                message,
                "write the camera's next clip number on the stage page before the first take",
            )
        )
    return found


def take_name(take: Take) -> str:
    """``7A take 2``."""
    return take.shot.slate + ("" if take.number is None else f" take {take.number}")


def shift_text(ms: int) -> str:
    """Minutes and seconds of a shift, as ``--clip-shift`` reads them.

    >>> [shift_text(ms) for ms in (432_000, -30_400, 3_605_000)]
    ['7:12', '-0:30', '1:00:05']
    """
    seconds = round(abs(ms) / 1000)
    hours, rest = divmod(seconds, 3600)
    text = f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"
    return f"-{text}" if ms < 0 and seconds else text


def shift_words(ms: int) -> str:
    """How the camera's clock stands to the log's.

    >>> shift_words(432_000), shift_words(-60_000)
    ("7 min 12 s behind the log's", "1 min ahead of the log's")
    """
    seconds = round(abs(ms) / 1000)
    parts = [(seconds // 3600, "h"), (seconds % 3600 // 60, "min"), (seconds % 60, "s")]
    words = " ".join(f"{n} {unit}" for n, unit in parts if n)
    return f"{words or '0 s'} {'behind' if ms > 0 else 'ahead of'} the log's"


def _clock(match: ClipMatch, clock: CameraClock, place: Place, command: str) -> Problem:
    called = f"camera {clock.camera}" if clock.camera else "the camera"
    way = shift_words(clock.apart_ms)
    by = f"{'time code' if clock.clock == TIMECODE else 'clock'} of {called}"
    if clock.applied:
        return note(place, "clock-zone", f"the {by} is {way}: another time zone, and counted with")
    message = f"the {by} is {way}; if so, {_many(clock.agreeing, 'take')} {'has its clip' if clock.agreeing == 1 else 'have their clips'}"
    return warning(place, "clocks-apart", message, f"if that is right: {command} --clip-shift {_shifts(match)}")


def _shifts(match: ClipMatch) -> str:
    """What ``--clip-shift`` takes: one shift where all cameras that are apart have the same; else one each."""
    apart = [clock for clock in match.clocks if not clock.applied]
    same = max(c.apart_ms for c in apart) - min(c.apart_ms for c in apart) < 2_000
    if same and len(apart) == len(match.cameras):
        return shift_text(apart[0].apart_ms)
    return shlex.quote(",".join(f"{c.camera}={shift_text(c.apart_ms)}" for c in apart))


def _no_clip(take: Take, clips: int, *, apart: bool) -> Problem:
    names = _listed([a.ingredient.name for a in take.additions])
    what = f" ({names})" if names else ""
    where = f", {take.where}" if take.where else ""
    message = f"{take_name(take)}{what} is circled{where}, and none of the {_many(clips, 'clip')} shows it"
    hint = (
        "see first whether the clocks are apart"
        if apart
        else "copy it from the card, or circle another take; else film what can be filmed"
    )
    return warning(take.place, "no-clip", message, hint)


def _many_lost(lost: Sequence[Take], clips: int, place: Place) -> Problem:
    names = _some([take_name(take) for take in lost])
    message = f"{len(lost)} circled takes have no clip among the {_many(clips, 'clip')} here: {names}"
    return warning(place, "no-clip", message, "see first whether every card was copied here")


def _which(one: TakeClip) -> Problem:
    files = _listed([printable(c.file) for c in (one.clip, *one.or_else)])
    message = f"{take_name(one.take)} is clip {one.take.clip}, and {files} have that name"
    return warning(
        one.take.place, "clip-twice", message, "put each card in a folder of its own, called as the log calls the card"
    )


def _is_short(one: TakeClip, take_ms: int) -> bool:
    return one.clip.length_ms is not None and take_ms >= SHORTEST_MS and one.clip.length_ms < take_ms / 2


def _short(one: TakeClip, take_ms: int) -> Problem:
    length = (one.clip.length_ms or 0) / 1000
    message = (
        f"{take_name(one.take)} ran {take_ms / 1000:.0f} s, and its clip {printable(one.clip.file)} has {length:.0f} s"
    )
    return warning(one.take.place, "clip-short", message, "look whether it goes on in another file, or broke off")


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _are(things: Sequence[Take] | Sequence[CameraClip]) -> str:
    return "is" if len(things) == 1 else "are"


def _have(things: Sequence[Take]) -> str:
    return "has" if len(things) == 1 else "have"
