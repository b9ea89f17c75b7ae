"""Compose the overlay: cues of every track on one line of time, each long enough to be read twice, none dropped in silence.

Everything that wants to be shown at a step forms a group with several wordings, from the fullest to the shortest. Groups
are placed in the order of the cut; each takes the fullest wording that ends before the next group begins and shows every
addition while it goes in.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
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
    until_ms: int | None = None
    """The last moment at which it may begin: what it would tell is seen then."""


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
        follows = ordered[n + 1] if n + 1 < len(ordered) else None
        limit = end_ms if follows is None else min(follows.at_ms, end_ms)
        last = min(limit + LATEST_MS, end_ms)
        placed, left = _place(group, now, _Ends(limit, last, _leads_from(follows, room)), room)
        problems += [
            _no_room(group, wish, missing_ms(group, now, last, room), room, several=len(left) > 1) for wish in left
        ]
        problems += _late(group, placed, ordered[n - 1] if n else None)
        cues += placed
        now = cues[-1].end_ms + room.gap_ms if cues else 0
    return closed(_stretched(cues, end_ms, room), room), problems


def _stretched(cues: Sequence[Cue], end_ms: int, room: CueLimits) -> list[Cue]:
    """Each cue standing until it can be read twice, while nothing follows."""
    ends = [*(cue.start_ms - room.gap_ms for cue in cues[1:]), end_ms][: len(cues)]
    return [
        replace(c, end_ms=max(c.end_ms, min(end, c.start_ms + room.stands_ms(" ".join(c.lines)))))
        for c, end in zip(cues, ends, strict=True)
    ]


def closed(cues: Sequence[Cue], room: CueLimits) -> list[Cue]:
    """A gap narrower than the room's is closed: the earlier cue stands until the next; and a sliver until the least gap before it."""
    return [*(room.closed(cue, after) for cue, after in itertools.pairwise(cues)), *cues[-1:]]


def missing_ms(group: Group, free_from: int, last: int, room: CueLimits = HOUSE) -> int:
    """How much longer the group's picture must be for all of its wishes, in their shortest wording; 0 where they fit or
    no length would help."""
    wishes = [w for w in group.wishes if _fits_any(w, room)]
    ends = [_lay(group, wording, free_from, room, ONCE)[-1].end_ms for wording in _wordings(wishes, room) if wording]
    return max(0, min(ends) - last) if ends else 0


class _Ends(NamedTuple):
    """When a group's cues should have ended: the next group's moment (``limit``), or a little after it (``last``); and from when the
    next group's cautions are read, each twice and each once, where it begins with what must not wait."""

    limit: int
    last: int
    leads: tuple[int, ...] = ()


def _leads_from(group: Group | None, room: CueLimits) -> tuple[int, ...]:
    """When the group's first cautions begin, read twice and read once; its own moment where it begins with an addition; nothing where it
    can wait."""
    if group is None or not any(w.track in ("safety", "addition") for w in group.wishes):
        return ()
    first = [w.short or w.text for w in itertools.takewhile(lambda w: w.track == "safety", group.wishes)]
    needed = [sum(stands(text) + room.gap_ms for text in first) for stands in (room.stands_ms, room.stands_once_ms)]
    return tuple(dict.fromkeys(group.at_ms - min(group.lead_ms, ms) for ms in needed))


def _place(group: Group, free_from: int, ends: _Ends, room: CueLimits) -> tuple[list[Cue], list[Wish]]:
    """The cues of a group and the wishes that found no room."""
    wishes = list(group.wishes)
    left: list[Wish] = []
    while wishes:
        wordings = _wordings(wishes, room) + ([] if left or not group.brief else _wordings(group.brief, room))
        tries: dict[str, list[tuple[Wording, list[Cue]]]] = {}
        for pace, deadline, needed in _ways(group, ends):
            if pace not in tries:
                tries[pace] = [(w, _lay(group, w, free_from, room, pace)) for w in wordings]
            ordered = tries[pace]
            if needed == AT_ALL and any(w.heard for w in wishes):
                ordered = sorted(ordered, key=lambda one: _lateness(*one))
            for wording, cues in ordered:
                if _fits(wording, cues, ends.limit, deadline) and _on_time(group, wording, cues) >= needed:
                    return cues, left
        in_time = [w for w in wishes if w.until_ms is None or free_from <= w.until_ms]
        alone = [
            w in in_time and not missing_ms(replace(group, wishes=(w,)), free_from, ends.last, room) for w in wishes
        ]
        left.append(wishes.pop(_least_wanted(wishes, alone, room)))
    return [], left


AT_ALL, ON_TIME, BEFORE_THE_ACT = 0, 1, 2
"""How well a wording stands: somewhere; with each addition soon after its moment; and with the cautions begun before the act."""


def _ways(group: Group, ends: _Ends) -> Iterator[tuple[str, int, int]]:
    """Paces to try, each with when the cues must have ended and how well they must stand. To be read twice gives way before anything
    is late or dropped."""
    cards = all(w.track == "macros" for w in group.wishes)
    leads = ends.leads[-1:] if cards else ends.leads  # a card is read twice, and the cautions after it once
    for needed in (BEFORE_THE_ACT, ON_TIME):
        if ends.leads or group.gives_way:
            for deadline in dict.fromkeys((*leads, ends.limit)):
                yield from ((pace, deadline, needed) for pace in PACES)
            yield ONCE, ends.last, needed
        else:
            yield from ((pace, deadline, needed) for pace in PACES for deadline in (ends.limit, ends.last))
    yield from ((pace, ends.limit, AT_ALL) for pace in PACES)
    yield ONCE, ends.last, AT_ALL
    yield TWICE, ends.last, AT_ALL


def _on_time(group: Group, wording: Wording, cues: Sequence[Cue]) -> int:
    if _lateness(wording, cues) > group.late_ms:
        return AT_ALL
    return ON_TIME if _after_the_act_ms(wording, cues) > 0 else BEFORE_THE_ACT


def _after_the_act_ms(wording: Wording, cues: Sequence[Cue]) -> int:
    """How long after the act the last of the cautions before it begins; the act is the first addition, or what the step begins with."""
    first = list(itertools.takewhile(lambda one: one.track == "safety", wording))
    act_ms = next((one.at_ms for one in wording if one.track == "addition"), first[-1].at_ms if first else 0)
    return max((cue.start_ms - act_ms for cue in cues[: len(first)]), default=0)


def _fits(wording: Wording, cues: Sequence[Cue], limit: int, deadline: int) -> bool:
    """Whether the cues end in time, and none tells of time that has passed when what it tells, or the next step, is already seen."""
    return all(
        cue.end_ms <= deadline
        and (cue.track != "time" or cue.start_ms < limit)
        and (one.until_ms is None or cue.start_ms <= one.until_ms)
        for one, cue in zip(wording, cues, strict=True)
    )


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
    need = [(_ORDER_OF_NEED.index(w.track), w.until_ms is not None) for w in wishes]
    return max(range(len(wishes)), key=lambda i: (need[i], i))


class PlannedCue(NamedTuple):
    """A cue to be: its earliest start, lines, track and title."""

    at_ms: int
    lines: tuple[str, ...]
    track: str
    title: Title | None = None
    until_ms: int | None = None


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
    return [PlannedCue(wish.at_ms, fitted, wish.track, wish.title, wish.until_ms)] if fitted else []


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
    else are led, and take what time there is before the act."""
    cues: list[Cue] = []
    now = free_from
    texts = [" ".join(one.lines) for one in wording]
    stands = [room.stands_ms(text) if pace == TWICE else room.stands_once_ms(text) for text in texts]
    first = len(list(itertools.takewhile(lambda one: one.track == "safety", wording)))
    twice = [room.stands_ms(text) for text in texts[:first]]
    led_ms = min(group.lead_ms, sum(ms + room.gap_ms for ms in twice))
    if first and pace == ONCE:
        start = max(now, wording[0].at_ms - led_ms, 0)
        spare = wording[first - 1].at_ms - start - sum(ms + room.gap_ms for ms in stands[:first])
        wanted = sum(twice) - sum(stands[:first])
        share = min(1.0, max(spare, 0) / wanted) if wanted else 0.0
        stands[:first] = [once + int((ms - once) * share) for once, ms in zip(stands[:first], twice, strict=True)]
    for n, (at_ms, lines, track, title, _) in enumerate(wording):
        start = max(now, at_ms - (led_ms if n < first else 0), 0)
        cues.append(Cue(start_ms=start, end_ms=start + stands[n], lines=lines, track=track, title=title))
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
    needs = f"“{text}” is not shown: it needs {room.stands_once_ms(text) / 1000:.1f} s to read"
    left = "for it" if wish.until_ms is None else "before its result is seen"
    return warning(group.place, "caption-no-room", f"{needs}, and {group.name} has no time left {left}", hint)


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
