"""Compose the overlay: cues of every track on one line of time, each long enough to be read twice, none dropped in silence.

Everything that wants to be shown at a step forms a group with several wordings, from the fullest to the shortest. Groups
are placed in the order of the cut; each takes the fullest wording that ends before the next group begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.captions.cue import Cue
from scriptkit.captions.text import broken_as_written, clean, fit, readable_ms
from scriptkit.problems import Place, Problem, warning

LATEST_MS = 5_000
"""How far a group may run into the next one's time; the next one then starts later."""
GAP_MS = 120
"""Between two cues, so that a change of text is seen: 3 frames at 25 frames/s (2 frames at least: Netflix Timed Text
Style Guide)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A text that wants to stand from ``at_ms``; a line end in it is where it is best broken. ``short`` may replace it where time is scarce; two wishes of a track
    that may ``share`` stand in one cue then."""

    at_ms: int
    text: str
    track: str
    short: str = ""
    share: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Wishes of one step, in the order they are shown. ``place`` is where the file can be changed if they do not fit."""

    at_ms: int
    name: str
    place: Place
    wishes: tuple[Wish, ...]
    lead_ms: int = 0
    """How much earlier it may start, where time is free: a caution is best read before the hazard."""


def compose(groups: Sequence[Group], end_ms: int) -> tuple[list[Cue], list[Problem]]:
    """Cues in order, none overlapping, none after ``end_ms``; and a problem for each wish that found no room."""
    cues: list[Cue] = []
    problems: list[Problem] = []
    now = 0
    ordered = sorted((g for g in groups if g.wishes), key=lambda g: g.at_ms)
    for n, group in enumerate(ordered):
        limit = ordered[n + 1].at_ms if n + 1 < len(ordered) else end_ms
        last = min(limit + LATEST_MS, end_ms) if n + 1 < len(ordered) else end_ms
        placed, left = _place(group, now, limit, last)
        problems += [_no_room(group, wish, max(limit - group.at_ms, 0)) for wish in left]
        cues += placed
        now = cues[-1].end_ms + GAP_MS if cues else 0
    return cues, problems


def _place(group: Group, free_from: int, limit: int, last: int) -> tuple[list[Cue], list[Wish]]:
    """The cues of a group and the wishes that found no room."""
    wishes = list(group.wishes)
    left: list[Wish] = []
    while wishes:
        wordings = _wordings(wishes)
        for deadline in (limit, last):
            for wording in wordings:
                cues = _lay(group, wording, free_from)
                if cues is not None and (not cues or cues[-1].end_ms <= deadline):
                    return cues, left
        left.append(wishes.pop(_least_wanted(wishes)))
    return [], left


_ORDER_OF_NEED = ("safety", "addition", "macros", "time")


def _least_wanted(wishes: Sequence[Wish]) -> int:
    """The index of the wish to give up first: the last one of the least needed track."""
    return max(range(len(wishes)), key=lambda i: (_ORDER_OF_NEED.index(wishes[i].track), i))


Wording = list[tuple[int, tuple[str, ...], str]]
"""Earliest start, lines, track."""


def _wordings(wishes: Sequence[Wish]) -> list[Wording]:
    """From the fullest to the shortest; a wording in which a text fits no cue is left out."""
    full = [_lines(w, w.text) or _lines(w, w.short or w.text) for w in wishes]
    short = [_lines(w, w.short or w.text) for w in wishes]
    candidates = [
        full,
        _shared(wishes, [w.text for w in wishes]),
        short,
        _shared(wishes, [w.short or w.text for w in wishes]),
    ]
    return [[one for one in c if one is not None] for c in candidates if c and all(one is not None for one in c)]


def _lines(wish: Wish, text: str) -> tuple[int, tuple[str, ...], str] | None:
    fitted = broken_as_written(text) or fit(clean(text))
    return None if fitted is None else (wish.at_ms, fitted, wish.track)


def _shared(wishes: Sequence[Wish], texts: Sequence[str]) -> list[tuple[int, tuple[str, ...], str] | None]:
    """Neighbours that may share put together, as many to a cue as fit, one to a line while there are two."""
    out: list[tuple[int, tuple[str, ...], str] | None] = []
    open_texts: list[str] = []
    open_wish: Wish | None = None

    def close() -> None:
        nonlocal open_wish
        if open_wish is not None:
            out.append((open_wish.at_ms, _together(open_texts) or (), open_wish.track))
        open_texts.clear()
        open_wish = None

    for wish, text in zip(wishes, texts, strict=True):
        cleaned = clean(text)
        if not (wish.share and open_wish and open_wish.track == wish.track and _together([*open_texts, cleaned])):
            close()
            if _together([cleaned]) is None:
                return [None]
            open_wish = wish
        open_texts.append(cleaned)
        if not wish.share:
            close()
    close()
    return out


def _together(texts: Sequence[str]) -> tuple[str, ...] | None:
    if len(texts) == 2 and all(len(fit(t, lines=1) or ()) == 1 for t in texts):
        return tuple(texts)
    return fit(", ".join([texts[0], *(t[:1].lower() + t[1:] if t[1:2].islower() else t for t in texts[1:])]))


def _lay(group: Group, wording: Wording, free_from: int) -> list[Cue] | None:
    """The wording's cues one after another, each for as long as it takes to read twice; None where a text fits no cue."""
    cues: list[Cue] = []
    now = free_from
    led_ms = min(group.lead_ms, sum(readable_ms(" ".join(lines)) for _, lines, track in wording if track == "safety"))
    for at_ms, lines, track in wording:
        if not lines:
            return None
        start = max(now, at_ms - (led_ms if track == "safety" else 0), 0)
        cues.append(Cue(start_ms=start, end_ms=start + readable_ms(" ".join(lines)), lines=lines, track=track))
        now = cues[-1].end_ms + GAP_MS
    return cues


def _no_room(group: Group, wish: Wish, has_ms: int) -> Problem:
    text = clean(wish.short or wish.text)
    if fit(text) is None:
        return warning(
            group.place,
            "caption-too-long",
            f"“{text[:60]}…” does not fit two lines of 42 characters",
            "use a shorter name",
        )
    return warning(
        group.place, "caption-no-room",
        f"“{text}” is not shown: {group.name} leaves {has_ms / 1000:.1f} s and it takes {readable_ms(text) / 1000:.1f} s more to read",
        "give the step more `screen:` time, or split it",
    )  # fmt: skip
