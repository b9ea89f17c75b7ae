"""The takes of the log in the editor's cut: a clip that shows a circled take tells when its step and additions are on screen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.cut.placement import TAKE, Cut, Placement
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.timeline import Event
from scriptkit.measure.timecode import FrameRate, frames_to_ms
from scriptkit.problems import Place, Problem, in_order, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.log.take_log import Take

_WORD = re.compile(r"[0-9a-z]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeInCut:
    """A take that is on screen in the cut from ``start_ms`` to ``end_ms``."""

    take: Take
    start_ms: int
    end_ms: int


def takes_in_cut(events: Sequence[Event], takes: Sequence[Take], rate: FrameRate) -> tuple[TakeInCut, ...]:
    """In the order of the cut; a take that is shown in pieces has one for each. A clip is a take's by its name, and by its time code
    where both have one; a clip that is named by no take, by its time code alone."""
    found = []
    for event in events:
        named = [t for t in takes if t.clip and _words(t.clip) <= _all_words(event.names)]
        carded = [t for t in named if t.card and _words(t.card) <= _all_words(event.names)]
        mine = carded or named or [t for t in takes if not t.clip]
        over = list(_overlaps(event, mine, rate))
        if not over and len(named) == 1:  # its file counts from zero, or the log has no time code
            over = [(named[0], 0.0, event.length_s)]
        found += [
            TakeInCut(take=t, start_ms=round((event.cut_s + a) * 1000), end_ms=round((event.cut_s + b) * 1000))
            for t, a, b in over
        ]
    return tuple(sorted(found, key=lambda one: (one.start_ms, one.end_ms)))


def _overlaps(event: Event, takes: Sequence[Take], rate: FrameRate) -> Iterator[tuple[Take, float, float]]:
    """Takes that the event shows, and from when to when of it in seconds."""
    for take in takes:
        if take.in_frame is None or take.out_frame is None:
            continue
        first = max(frames_to_ms(take.in_frame, rate) / 1000, event.source_s)
        last = min(frames_to_ms(take.out_frame, rate) / 1000, event.source_end_s)
        if last > first:
            yield take, first - event.source_s, last - event.source_s


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text.casefold()))


def _all_words(names: Sequence[str]) -> set[str]:
    return {word for name in names for word in _words(name)}


def cut_of_takes(source: Dish | Meal, shown: Sequence[TakeInCut], takes: Sequence[Take]) -> Cut:
    """Each step where the first of its takes is on screen, and when the additions of each take are; with a warning for each addition
    that has a circled take, none of which is in the cut."""
    first: dict[Place, TakeInCut] = {}
    for on_screen in shown:
        if on_screen.take.shot.step is not None:
            first.setdefault(on_screen.take.shot.step.place, on_screen)
    moments: dict[Place, int] = {}
    for on_screen in shown:
        for addition in on_screen.take.additions:
            moments.setdefault(addition.place, on_screen.start_ms)
    placements = tuple(
        Placement(dish=dish, step=step, time_ms=None, confidence=0.0, known_from=TAKE)
        if (one := first.get(step.place)) is None
        else Placement(
            dish=dish, step=step, time_ms=(one.start_ms + one.end_ms) // 2, start_ms=one.start_ms, confidence=1.0, known_from=TAKE
        )
        for dish, step in steps_of(source)
    )  # fmt: skip
    placed = sum(p.time_ms is not None for p in placements)
    return Cut(
        title=source.name,
        length_ms=max((one.end_ms for one in shown), default=0),
        placements=placements,
        confidence=placed / len(placements) if placements else 0.0,
        problems=tuple(in_order(_not_shown(takes, moments))),
        additions=moments,
    )


def _not_shown(takes: Sequence[Take], moments: dict[Place, int]) -> list[Problem]:
    found: dict[Place, Problem] = {}
    for take in takes:
        for addition in take.additions if take.circled else ():
            if addition.place not in moments and addition.place not in found:
                found[addition.place] = warning(
                    take.place,
                    "not-in-cut",
                    f"{addition.ingredient.name}: filmed ({take.where or take.shot.slate}), but not in the cut",
                    "cut the clip in, or add a line and an overlay",
                )
    return list(found.values())
