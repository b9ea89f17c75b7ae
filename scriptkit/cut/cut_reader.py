"""Where a cut's times come from: a cut file, an editor's markers or a transcript, told apart by what is in the file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from scriptkit.cut.cut_file import looks_like_cut, read_cut, transcript_named_in
from scriptkit.cut.decision_list import decision_list_events, looks_like_decision_list
from scriptkit.cut.markers import read_markers, read_timeline
from scriptkit.cut.placement import HAND, TRANSCRIPT, Cut
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.placing.placement_warnings import hands_against_order
from scriptkit.cut.placing.step_order import predecessors
from scriptkit.cut.takes_in_cut import cut_of_takes, takes_in_cut
from scriptkit.cut.timeline import Event, NotATimeline, timeline_events
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.cut.transcript.transcript_reader import looks_like_transcript, read_transcript
from scriptkit.input_bytes import LARGEST_FILE, bytes_of, refuse_larger
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo, Place, Problem, error, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.log.take_log import Take
from scriptkit.timed_text.encodings import decode

LARGEST_TIMELINE = 50_000_000
"""Bytes: editors keep much in one that is none of our business."""
LARGEST_CUT = 1_000_000
"""A line for each step."""
FAR_MS = 1_000
"""A time that is no farther from what is heard is the same (common sense, no source)."""
_RECIPE = re.compile(r"^(dish|meal)\s*:", re.MULTILINE)
"""A cut file begins otherwise; a list of markers has no such line."""
_TAKE_LOG = re.compile(r"(?=[^\r\n]*\btake\b)(?=[^\r\n]*\bverdict\b)", re.IGNORECASE)
"""What its first line has, and a list of markers has not."""


def _hands_told(cut: Cut) -> list[Problem]:
    """A warning for each time set by hand that contradicts another by the recipe's order; both are kept."""
    pairs = [(p.dish, p.step) for p in cut.placements]
    hands = {n: p.time_ms for n, p in enumerate(cut.placements) if p.known_from == HAND and p.time_ms is not None}
    if len(hands) < 2:
        return []
    return hands_against_order(pairs, predecessors(pairs), hands, max(hands.values()))[1]


def is_transcript(path: str) -> bool:
    """Whether the file is a transcript, which tells what is said as well. Raises CannotDo where it cannot be read."""
    text = decode(bytes_of(path, LARGEST_TIMELINE), path)[0]
    return not looks_like_cut(text) and looks_like_transcript(text)


def transcript_of(path: str) -> tuple[str, list[Problem]]:
    """The transcript that a cut file was made of, and where it is missing a warning in its place: what the talk tells is then not
    known. Empty of any other file, and of a cut file that names none. Raises CannotDo where the cut cannot be read."""
    raw = bytes_of(path, LARGEST_TIMELINE)
    text = decode(raw, path)[0].lstrip("\ufeff")
    if not looks_like_cut(text) or len(raw) > LARGEST_CUT:
        return "", []
    file = transcript_named_in(text, path)
    if not file or Path(file).is_file():
        return file, []
    line = next((n for n, row in enumerate(text.splitlines(), 1) if row.startswith("transcript:")), 0)
    message = f"the transcript “{file}” is not there: what the talk leaves out is shown as going in"
    hint = "write where it is now, behind `transcript:`, or make this file again with `scriptkit coverage`; without `transcript:` only the times count"
    return "", [warning(Place(path, line), "no-transcript", message, hint)]


def heard_elsewhere(known: Cut, placed: Cut) -> list[Problem]:
    """A warning for each time that a cut file tells otherwise than its transcript, and that nobody has set by hand."""
    begins = placed.begins_ms
    found = []
    for p in known.placements:
        heard = begins.get(p.step.place)
        if (
            p.known_from == TRANSCRIPT
            and p.time_ms is not None
            and heard is not None
            and abs(p.time_ms - heard) > FAR_MS
        ):
            message = f"step “{p.step.id}” stands at {clock_text(p.time_ms)} here, and at {clock_text(heard)} in the talk, which is used"
            hint = "write `by: hand` behind its time to keep yours, or make this file again with `scriptkit coverage`"
            found.append(warning(known.written_at[p.step.place], "not-by-hand", message, hint))
    return found


def _of_timeline(source: Dish | Meal, text: str, takes: Sequence[Take]) -> Cut | None:
    try:
        return _edited(source, timeline_events(text), takes) if takes else None
    except NotATimeline:
        return None  # reading its markers reports what is wrong


def _edited(source: Dish | Meal, events: Sequence[Event], takes: Sequence[Take]) -> Cut | None:
    """The cut by the editor's clips and the log; None where no clip is a take that shows a step."""
    shown = takes_in_cut(events, takes, RATES[source.film.frame_rate])
    if not any(one.take.shot.step is not None for one in shown):
        return None
    return cut_of_takes(source, shown, takes)


def cut_of(source: Dish | Meal, path: str, takes: Sequence[Take] = ()) -> Cut:
    """The cut of the file, whichever kind it is; of an editor's timeline or decision list also by the ``takes`` of the log, where no
    marker names a step. Raises CannotDo where it cannot be read as any."""
    raw = bytes_of(path, LARGEST_TIMELINE)
    text, _ = decode(raw, path)
    text = text.lstrip("\ufeff")
    if "OTIO_SCHEMA" in text[:20_000] and text.lstrip().startswith("{"):
        return _of_timeline(source, text, takes) or read_timeline(text, path, source)
    if looks_like_decision_list(text):
        events = decision_list_events(text, RATES[source.film.frame_rate])
        if (cut := _edited(source, events, takes)) is not None:
            return cut
        hint = (
            "fill in `clip`, `in` and `out` of the takes in the log"
            if takes
            else "give the take log as well, with --log"
        )
        raise CannotDo(
            [error(Place(path), "no-takes", "no clip in this edit decision list is a take in the log", hint)]
        )
    refuse_larger(raw, path, LARGEST_CUT if looks_like_cut(text) else LARGEST_FILE)
    if found := _RECIPE.search(text):
        line = text[: found.start()].count("\n") + 1
        hint = "give the transcript of the cut, its markers, or the cut.yaml that `scriptkit coverage -o` writes"
        raise CannotDo([error(Place(path, line), "not-a-cut", f"this is a {found[1]}, not a cut", hint)])
    if looks_like_cut(text):
        cut = read_cut(text, path, source)
        return replace(cut, problems=(*cut.problems, *_hands_told(cut)))
    if looks_like_transcript(text) or not text.strip():
        transcript = read_transcript(raw, path)
        cut = place(source, transcript)
        return replace(cut, problems=(*transcript.problems, *cut.problems))
    if _TAKE_LOG.match(text):
        hint = "give it as --log of `coverage`, `pack` or `paper-edit`, and here the cut's transcript or its markers"
        raise CannotDo([error(Place(path), "not-a-cut", "this is a take log, not a cut", hint)])
    return read_markers(raw, path, source)
