"""Sounds for the deaf and hard of hearing: what is heard at a step, shown where nothing else is to be read."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.captions.composing.compose import closed
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.data_files import made_of_entries, shape_of
from scriptkit.problems import Place, Problem, note
from scriptkit.recipe.dish import Step
from scriptkit.shoot.plan import Plan, Segment, addition_windows
from scriptkit.timed_text.cue import Cue

SHORTEST_MS = 2_000
"""A word or three in brackets, read once (DCMP Captioning Key: 2 s at least)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundRule:
    """A row of sounds.yaml."""

    sound: str
    source: str
    begins: str
    method: tuple[str, ...] = ()
    words: re.Pattern[str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """What is heard, and between which moments of the cut it may be shown. ``silent``: its picture is shot without sound."""

    text: str
    start_ms: int
    end_ms: int
    name: str
    place: Place
    silent: bool


@functools.cache
def rows() -> tuple[SoundRule, ...]:
    """Every row of sounds.yaml, in its order; read once. Raises BadDataFile."""
    return tuple(made_of_entries("scriptkit.captions.composing", "sounds.yaml", shape_of(SoundRule), _row))


def _row(row: dict[str, Any]) -> SoundRule:
    return SoundRule(
        sound=row["sound"],
        source=row["source"],
        begins=row["begins"],
        method=tuple(row.get("method", ())),
        words=re.compile(rf"\b(?:{row['words']})\b", re.IGNORECASE) if "words" in row else None,
    )


def sound_of(step: Step) -> SoundRule | None:
    """The row of the step's sound; None where it makes none that is known."""
    reading = step.reading
    return next(
        (
            row
            for row in rows()
            if reading.method in row.method or (row.words is not None and row.words.search(reading.said_with_gear))
        ),
        None,
    )


def sounds_of(plan: Plan) -> list[Sound]:
    """The sounds of the plan in its order; one that simply goes on from the step before is told once."""
    found: list[Sound] = []
    before = ""
    for segment in plan.segments:
        row = sound_of(segment.step) if segment.step is not None else None
        if row is not None and segment.step is not None and row.sound != before:
            found.append(_sound(row, segment, segment.step))
        before = row.sound if row is not None else ""
    return found


def _sound(row: SoundRule, segment: Segment, step: Step) -> Sound:
    windows = addition_windows(segment)
    start = segment.start_ms
    if windows:
        start = windows[0][1] if row.begins == "additions" else windows[-1][2]
    return Sound(
        text=f"[{row.sound}]",
        start_ms=min(start, max(segment.start_ms, segment.end_ms - SHORTEST_MS)),
        end_ms=segment.end_ms,
        name=f"step {step.number} ({step.id})" + (f" of {segment.dish.name}" if segment.dish else ""),
        place=step.place,
        silent=step.sound == "mos",
    )


def with_sounds(cues: Sequence[Cue], sounds: Sequence[Sound], room: CueLimits) -> tuple[list[Cue], list[Problem]]:
    """The cues and, in the gaps between them, the sounds; what finds no gap is told. ``cues`` must be in order."""
    shown, problems = placed_sounds([(c.start_ms, c.end_ms) for c in cues], sounds, room)
    return closed(sorted([*cues, *shown], key=lambda c: c.start_ms), room), problems


def placed_sounds(
    taken: Sequence[tuple[int, int]], sounds: Sequence[Sound], room: CueLimits, beside: str = ""
) -> tuple[list[Cue], list[Problem]]:
    """A cue for each sound in the first stretch of its time that nothing takes; and what must be told of it. ``beside``: the file of
    dialogue captions that they stand among, where the time is the talk's and no step can be given more."""
    busy = sorted(taken)
    cues: list[Cue] = []
    problems: list[Problem] = []
    no_room: list[Sound] = []
    for sound in sounds:
        lines = room.fit(sound.text)
        needs = max(SHORTEST_MS, room.least_ms(sound.text))
        start = None if lines is None else _first_free(busy, sound, needs, room.gap_ms)
        if lines is None or start is None:
            no_room.append(sound)
            continue
        cues.append(Cue(start_ms=start, end_ms=start + needs, lines=lines, track="sound"))
        busy = sorted([*busy, (start, start + needs)])
        if sound.silent:
            problems.append(
                note(
                    sound.place,
                    "sound-of-mos",
                    f"{sound.text} is shown at {sound.name}, which is shot without sound (mos)",
                    "lay the sound under the picture, or take the cue out",
                )
            )
    return cues, [*problems, *_not_shown(no_room, beside)]


def _not_shown(sounds: Sequence[Sound], beside: str) -> list[Problem]:
    """One note for all sounds that found no gap, where the first is made."""
    if not sounds:
        return []
    named = ", ".join(f"{sound.text} at {sound.name}" for sound in sounds)
    message = f"not shown: {named}; something is to be read there all the time"
    if beside:
        hint = f"write such a sound into a cue of {beside} by hand, before what is said"
    else:
        more = "the step" if len(sounds) == 1 else "each of these steps"
        hint = f"give {more} more `screen:`, or write the sound into the dialogue captions"
    return [note(sounds[0].place, "sound-no-room", message, hint)]


def _first_free(busy: Sequence[tuple[int, int]], sound: Sound, needs: int, gap_ms: int) -> int | None:
    """When it may begin: inside its time, with a gap to what stands before and after."""
    start = sound.start_ms
    for first, last in busy:
        if last + gap_ms <= start:
            continue
        if start + needs + gap_ms <= first:
            break
        start = max(start, last + gap_ms)
    return start if start + needs <= sound.end_ms else None
