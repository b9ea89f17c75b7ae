"""The dialogue captions of a cut written again beside the overlay: in the overlay's kind of file, out of its way."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath

from scriptkit.captions.dialogue.caption_avoidance import Beside, with_line
from scriptkit.captions.proofing.repair import write_captions
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.markup import MARKUP, plain_lines
from scriptkit.timed_text.places import LOWER, WIDE, top_percent
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.ttml import write_ttml
from scriptkit.timed_text.webvtt import escape


def usable(file: CaptionFile) -> tuple[list[ReadCue], list[Problem]]:
    """The cues that can be shown, in order; and a problem for each that cannot."""
    kept, problems = [], []
    for cue in file.cues:
        if plain_lines(cue.text, file.kind) and 0 <= cue.start_ms < cue.end_ms:
            kept.append(cue)
        else:
            why = "it has no text" if cue.end_ms > cue.start_ms >= 0 else "its times are reversed or below zero"
            problems.append(
                warning(
                    Place(file.file, cue.line),
                    "dialogue-cue",
                    f"the cue is left out: {why}",
                    f"see what is wrong: `scriptkit proof {shlex.quote(file.file)}`",
                )
            )
    return sorted(kept, key=lambda c: (c.start_ms, c.end_ms)), problems


def write_dialogue(
    file: CaptionFile, placed: Sequence[Beside], kind: str, font_percent: float, shape: float = WIDE
) -> tuple[str, list[Problem]]:
    """The text of the file, and its problems. ``kind``: .srt, .vtt or .ttml. SubRip cannot place a cue: there every cue stays at the foot,
    with a note where it meets the overlay."""
    problems = _meetings(file, placed) if kind != ".srt" else _at_the_foot(file, placed)
    same = kind == f".{file.kind}" and file.source is None
    if not same and (lost := sum(bool(MARKUP.search(one.cue.text)) for one in placed)):
        problems.append(
            note(
                Place(file.file),
                "markup-lost",
                f"markup, such as italics, is lost in {kind}: in {_cues(lost)}",
                f"write .{file.kind} to keep it" if file.source is None else "the file itself stays as it is",
            )
        )
    if kind == ".ttml":
        return write_ttml(
            [_as_cue(one, file.kind) for one in placed],
            f"Dialogue of {PurePath(file.file).name}",
            overlapping=True,
            font_percent=font_percent,
            shape=shape,
        ), problems
    cues = [one.cue if same else _translated(one.cue, file.kind, kind) for one in placed]
    if kind == ".vtt":
        cues = [
            replace(c, settings=with_line(c.settings, top_percent(one.place, len(c.text.splitlines()), shape)))
            if one.moved
            else c
            for c, one in zip(cues, placed, strict=True)
        ]
    return write_captions(
        replace(
            file,
            kind=kind[1:],
            cues=tuple(cues),
            head=file.head if same else (),
            title=file.title if same else "",
            source=None,
        )
    ), problems


def _translated(cue: ReadCue, kind: str, target: str) -> ReadCue:
    """A cue of one kind as the other writes it: without markup, references read or written."""
    lines = plain_lines(cue.text, kind)
    text = "\n".join(map(escape, lines) if target == ".vtt" else lines)
    return replace(cue, text=text.replace("-->", "→"), settings="", name="" if kind in {"ass", "ttml"} else cue.name)


def _as_cue(one: Beside, kind: str) -> Cue:
    track = "dialogue" if one.place == LOWER else f"dialogue {one.place}"
    return Cue(start_ms=one.cue.start_ms, end_ms=one.cue.end_ms, lines=plain_lines(one.cue.text, kind), track=track)


def _meetings(file: CaptionFile, placed: Sequence[Beside]) -> list[Problem]:
    return [
        note(
            Place(file.file, one.cue.line),
            "dialogue-meets",
            f"for {one.meets_ms / 1000:.1f} s the overlay covers this cue: no other place was free",
            "split the cue where the overlay changes",
        )
        for one in placed
        if one.meets_ms
    ]


def _at_the_foot(file: CaptionFile, placed: Sequence[Beside]) -> list[Problem]:
    """One note on the cues of a SubRip file that meet the overlay at the foot."""
    meeting = [one for one in placed if one.moved or one.meets_ms]
    if not meeting:
        return []
    return [
        note(
            Place(file.file, meeting[0].cue.line),
            "no-place",
            f"SubRip cannot move a caption: the overlay and {_cues(len(meeting))} of the dialogue share the foot, the first here",
            "write .vtt or .ttml, which can raise them; or show one of the two files at a time",
        )
    ]


def _cues(count: int) -> str:
    return f"{count} cue" if count == 1 else f"{count} cues"
