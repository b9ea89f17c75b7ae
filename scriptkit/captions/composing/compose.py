"""Compose the overlay: cues of every track on one line of time, each long enough to be read twice, none dropped in silence.

Everything that wants to be shown at a step forms a group with several wordings, from the fullest to the shortest. Groups
are placed in the order of the cut; each takes the fullest wording that ends before the next group begins and shows every
addition while it goes in.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.text_fitting import as_one, fit
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.title import Title, together

LATEST_MS = 5_000
"""How far a group may run into the next one's time; the next one then starts later."""
EARLY_MS = 800
"""How much earlier than its moment a wish that is heard may appear, where it shares a cue with one that is heard before it."""
LATE_MS = 3_000
"""How long after its moment an addition may appear without a word: its picture is hardly over (common practice, no
source). A shorter wording that keeps to it is preferred to a fuller one that does not."""
HEARD_LATE_MS = 2_000
"""The same of an addition that is heard: its word is hardly over (common practice, no source)."""
TWICE, ONCE = "twice", "once"
PACES = (TWICE, ONCE)
"""A cue stands long enough to be read twice; where there is no time for that, as long as its profile asks for."""
_MOST_PARTED = 5
"""Of more wishes not every way to share cues is tried."""
MOST_CUES = 4
"""That one text may be split over."""


OF_A_STEP = "`screen:`"
"""What gives the captions of a planned step more time."""
IF_THE_FILM_GOES_ON = "; if the film goes on after its last words, write its `length:` in the cut file"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A text that wants to stand from ``at_ms``; a line end in it is where it is best broken. ``short`` may replace it
    where time is scarce; two wishes of a track that may ``share`` stand in one cue then. ``heard``: its moment is one at which it is
    said, and it shares with no other that is far from it."""

    at_ms: int
    text: str
    track: str
    short: str = ""
    share: bool = False
    heard: bool = False
    title: Title | None = None
    """The same as figures, for who draws it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Wishes of one step, in the order they are shown. ``place`` is where the file can be changed if they do not fit, and
    ``remedy`` what of it, in the cook's words."""

    at_ms: int
    name: str
    place: Place
    wishes: tuple[Wish, ...]
    remedy: str = OF_A_STEP
    """Empty where a cut has been made: then only its editor can give time."""
    lead_ms: int = 0
    """How much earlier it may start, where time is free: a caution is best read before the hazard."""
    brief: tuple[Wish, ...] = ()
    """What says the same as all of the wishes in fewer words, where there is no room for them."""
    late_ms: int = LATE_MS
    """How late an addition may appear before a shorter wording is preferred."""
    gives_way: bool = False
    """Whether it is read once, rather than keep the next group from its moment."""


HOUSE = CueLimits()


def compose(groups: Sequence[Group], end_ms: int, room: CueLimits = HOUSE) -> tuple[list[Cue], list[Problem]]:
    """Cues in order, none overlapping, none after ``end_ms``; and a problem for each wish that found no room."""
    cues: list[Cue] = []
    problems: list[Problem] = []
    now = 0
    ordered = sorted((g for g in groups if g.wishes), key=lambda g: g.at_ms)
    for n, group in enumerate(ordered):
        limit = min(ordered[n + 1].at_ms, end_ms) if n + 1 < len(ordered) else end_ms
        last = min(limit + LATEST_MS, end_ms)
        placed, left = _place(group, now, limit, last, room)
        problems += [
            _no_room(group, wish, missing_ms(group, now, last, room), room, several=len(left) > 1) for wish in left
        ]
        problems += _late(group, placed, ordered[n - 1] if n else None)
        cues += placed
        now = cues[-1].end_ms + room.gap_ms if cues else 0
    return closed(cues, room), problems


def closed(cues: Sequence[Cue], room: CueLimits) -> list[Cue]:
    """A gap narrower than the room's is closed: the earlier cue stands until the next; and a sliver until the least gap before it."""
    return [*(room.closed(cue, after) for cue, after in itertools.pairwise(cues)), *cues[-1:]]


def missing_ms(group: Group, free_from: int, last: int, room: CueLimits = HOUSE) -> int:
    """How much longer the group's picture must be for all of its wishes, in their shortest wording; 0 where they fit or
    no length would help."""
    wishes = [w for w in group.wishes if _fits_any(w, room)]
    ends = [_lay(group, wording, free_from, room, ONCE)[-1].end_ms for wording in _wordings(wishes, room) if wording]
    return max(0, min(ends) - last) if ends else 0


def _place(group: Group, free_from: int, limit: int, last: int, room: CueLimits) -> tuple[list[Cue], list[Wish]]:
    """The cues of a group and the wishes that found no room."""
    wishes = list(group.wishes)
    left: list[Wish] = []
    while wishes:
        wordings = _wordings(wishes, room) + ([] if left or not group.brief else _wordings(group.brief, room))
        tries = [(wording, _lay(group, wording, free_from, room)) for wording in wordings]
        for pace, deadlines in _ways(group, limit, last):
            if pace == ONCE:  # to be read twice gives way before anything is dropped
                tries = [(wording, _lay(group, wording, free_from, room, ONCE)) for wording in wordings]
            for on_time in (True, False):
                for deadline in deadlines:
                    for wording, cues in tries:
                        if _fits(cues, limit, deadline) and (not on_time or _lateness(wording, cues) <= group.late_ms):
                            return cues, left
                if on_time and any(w.heard for w in wishes):
                    tries.sort(key=lambda one: _lateness(*one))
        alone = [missing_ms(replace(group, wishes=(w,)), free_from, last, room) == 0 for w in wishes]
        left.append(wishes.pop(_least_wanted(wishes, alone, room)))
    return [], left


def _ways(group: Group, limit: int, last: int) -> list[tuple[str, tuple[int, ...]]]:
    """Paces to try, each with when the cues must have ended: the next group's moment, and a little later."""
    if group.gives_way:
        return [(TWICE, (limit,)), (ONCE, (limit, last))]
    return [(pace, (limit, last)) for pace in PACES]


def _fits(cues: Sequence[Cue], limit: int, deadline: int) -> bool:
    """Whether the cues end in time, and none tells of time that has passed when the next step is already seen."""
    return all(c.end_ms <= deadline and (c.track != "time" or c.start_ms < limit) for c in cues)


def _lateness(wording: Wording, cues: Sequence[Cue]) -> int:
    """How long after its moment the latest addition appears, in milliseconds."""
    return max((c.start_ms - w.at_ms for w, c in zip(wording, cues, strict=True) if c.track == "addition"), default=0)


_ORDER_OF_NEED = ("safety", "addition", "macros", "time")


def _least_wanted(wishes: Sequence[Wish], alone: Sequence[bool], room: CueLimits) -> int:
    """The index of the wish to give up first: one that fits no cue at all, or would not find room ``alone``; else the last one
    of the least needed track."""
    hopeless = [i for i, w in enumerate(wishes) if not _fits_any(w, room) or not alone[i]]
    if hopeless:
        return hopeless[0]
    return max(range(len(wishes)), key=lambda i: (_ORDER_OF_NEED.index(wishes[i].track), i))


class PlannedCue(NamedTuple):
    """A cue to be: its earliest start, lines, track and title."""

    at_ms: int
    lines: tuple[str, ...]
    track: str
    title: Title | None = None


Wording = list[PlannedCue]


def _wordings(wishes: Sequence[Wish], room: CueLimits) -> list[Wording]:
    """From the fullest to the shortest; a wording in which a text fits no cues is left out."""
    full = [_whole(w, w.text, room) or _whole(w, w.short, room) or _split(w, w.text, room) for w in wishes]
    short = [_whole(w, w.short, room) or _whole(w, w.text, room) or _split(w, w.short or w.text, room) for w in wishes]
    candidates = [
        _in_a_row(full),
        _shared(wishes, [w.text for w in wishes], room),
        _in_a_row(short),
        _shared(wishes, [w.short or w.text for w in wishes], room),
    ]
    if 2 < len(wishes) <= _MOST_PARTED and any(w.heard for w in wishes):
        inner = range(1, len(wishes))
        for count in range(len(wishes) - 2, 0, -1):
            for apart in itertools.combinations(inner, count):
                candidates.append(_shared(wishes, [w.short or w.text for w in wishes], room, frozenset(apart)))
    return [c for c in candidates if c]


def _in_a_row(said: Sequence[Wording]) -> Wording:
    return list(itertools.chain.from_iterable(said)) if all(said) else []


def _whole(wish: Wish, text: str, room: CueLimits) -> Wording:
    """The text in one cue; nothing where it does not fit."""
    fitted = (room.as_written(text) or room.fit(as_one(text))) if text else None
    return [PlannedCue(wish.at_ms, fitted, wish.track, wish.title)] if fitted else []


def _split(wish: Wish, text: str, room: CueLimits) -> Wording:
    """The text over as few cues as hold it, as even as they come; nothing where none do."""
    widest = (room.width + 1) * room.lines - 1  # where a line ends, a space goes
    for count in range(2, MOST_CUES + 1):
        parts = fit(as_one(text), width=widest, lines=count, least=count) or ()
        fitted = [room.fit(part) for part in parts]
        if fitted and all(fitted):
            return [PlannedCue(wish.at_ms, lines, wish.track) for lines in fitted if lines]
    return []


def _fits_any(wish: Wish, room: CueLimits) -> bool:
    return any(_whole(wish, text, room) or _split(wish, text, room) for text in (wish.short, wish.text) if text)


def _shared(
    wishes: Sequence[Wish], texts: Sequence[str], room: CueLimits, apart: frozenset[int] = frozenset()
) -> Wording:
    """Neighbours that may share put together, as many to a cue as fit, one to a line while there are as many lines; nothing
    where one of the texts needs more than a cue. ``apart``: numbers of wishes, from 0, that begin a cue of their own."""
    out: Wording = []
    open_texts: list[str] = []
    track, first_ms = "", 0
    for n, (wish, text) in enumerate(zip(wishes, texts, strict=True)):
        one = as_one(text)
        joins = bool(open_texts) and wish.share and wish.track == track and n not in apart
        if wish.heard and wish.at_ms - EARLY_MS > first_ms + HEARD_LATE_MS:
            joins = False
        lines = _together([*open_texts, one], room) if joins else None
        if lines is not None:
            at_ms = max(out[-1].at_ms, wish.at_ms - EARLY_MS) if wish.heard else out[-1].at_ms
            out[-1] = PlannedCue(at_ms, lines, track, together([out[-1].title, wish.title]))
            open_texts.append(one)
            continue
        if (alone := _whole(wish, text, room)) == []:
            return []
        out += alone
        open_texts, track, first_ms = ([one], wish.track, wish.at_ms) if wish.share else ([], "", 0)
    return out


def _together(texts: Sequence[str], room: CueLimits) -> tuple[str, ...] | None:
    if 1 < len(texts) <= room.lines and (own := room.as_written("\n".join(texts))):
        return own
    joined = ", ".join([texts[0], *(t[:1].lower() + t[1:] if t[1:2].islower() else t for t in texts[1:])])
    return room.fit(joined)


def _lay(group: Group, wording: Wording, free_from: int, room: CueLimits, pace: str = TWICE) -> list[Cue]:
    """The wording's cues one after another, each for as long as it takes to read at the pace. Cautions that come before anything
    else are led."""
    cues: list[Cue] = []
    now = free_from
    stands_ms = room.stands_ms if pace == TWICE else room.stands_once_ms
    first = list(itertools.takewhile(lambda one: one.track == "safety", wording))
    led_ms = min(group.lead_ms, sum(stands_ms(" ".join(one.lines)) + room.gap_ms for one in first))
    for n, (at_ms, lines, track, title) in enumerate(wording):
        start = max(now, at_ms - (led_ms if n < len(first) else 0), 0)
        end = start + stands_ms(" ".join(lines))
        cues.append(Cue(start_ms=start, end_ms=end, lines=lines, track=track, title=title))
        now = cues[-1].end_ms + room.gap_ms
    return cues


def _no_room(group: Group, wish: Wish, missing: int, room: CueLimits, *, several: bool) -> Problem:
    """``missing``: ms that are enough for all captions of the group, which is said where ``several`` of them have no room."""
    text = clean(wish.short or wish.text)
    if not _fits_any(wish, room):
        return _too_long(group, wish, text, room)
    seconds = f"{math.ceil(missing / 1000)} s " if missing else ""
    together = " (for all its captions together)" if several and missing else ""
    if group.remedy:
        split = ", or split the step" if group.remedy == OF_A_STEP else ""
        hint = f"give it {seconds}more {group.remedy}{together}{split}"
    else:
        hint = f"hold {group.name} {seconds or 'some seconds '}longer in the edit{together}"
        hint += ", or give the ingredient a shorter name" if wish.track == "addition" else ""
        hint += IF_THE_FILM_GOES_ON if wish.track == "macros" else ""
    return warning(
        group.place, "caption-no-room",
        f"“{text}” is not shown: it needs {room.stands_once_ms(text) / 1000:.1f} s to read, and {group.name} has no time left for it",
        hint,
    )  # fmt: skip


def _too_long(group: Group, wish: Wish, text: str, room: CueLimits) -> Problem:
    """The text fits no cues: there is no such width, or it cannot be read while a cue may stand."""
    told = f"“{text[:60]}…” does not fit {room.lines} lines of {room.width} characters"
    hint = "use a shorter name"
    if room.longest_ms is not None and _fits_any(wish, replace(room, longest_ms=None)):
        told = f"“{text[:60]}” cannot be read in the {room.longest_ms / 1000:.1f} s that a cue may stay on screen"
        hint = "use a shorter name, or a profile with a longer `longest_ms:`"
    return warning(group.place, "caption-too-long", told, hint)


def _late(group: Group, cues: Sequence[Cue], before: Group | None) -> list[Problem]:
    """A word where the first addition shown is long past its moment, and the others wait for it; or else what is shown where it is said.
    ``before``: what is shown before."""
    track = "addition" if any(w.track == "addition" for w in group.wishes) else "time"
    wanted = [w for w in group.wishes if w.track == track and (track == "addition" or w.heard)]
    shown = next((c for c in cues if c.track == track), None)
    at_ms = min((w.at_ms for w in wanted), default=0)
    if shown is None or not wanted or shown.start_ms - at_ms <= LATE_MS:
        return []
    past = "it goes in" if track == "addition" else "it is said"
    late_ms = shown.start_ms - at_ms
    late_s = math.ceil(late_ms / 1000)
    cautions = [c for c in cues if c.track == "safety" and c.start_ms < shown.start_ms]
    waits = "the cautions" if cautions else "the captions"
    if not group.remedy:
        start = f"start the picture of {group.name} {late_s} s earlier in the edit"
        hint = f"{start}, so that the cautions are read before it" if cautions else f"{start}, or say the amount later"
    elif cautions and not group.lead_ms:  # before it is an opening or a finished dish
        hint = f"write a step before it, such as heating the pan, with `screen: {late_s} s`: the cautions are then read there"
    else:
        longer = before if before is not None and not before.gives_way else group
        hint = f"give {f'the step before {group.name}' if longer is group else longer.name} {late_s} s more {longer.remedy}"
    message = f"“{' '.join(shown.lines)}” is shown {late_ms / 1000:.0f} s after {past}: {waits} before it take that long to read"
    return [note(group.place, "caption-late", message, hint)]
