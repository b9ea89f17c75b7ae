"""The wishes of the overlay moved to the words of the cut: an addition stands where it is heard, a card where its figures are said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from scriptkit.captions.composing.compose import HEARD_LATE_MS, Group, Wish
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.cut.word_clock import WordClock
from scriptkit.recipe.dish import Addition
from scriptkit.shoot.plan import Plan, Segment

LEAD_MS = 500
"""A cue may stand so much before the middle of its word (common practice, no source)."""
TOGETHER_MS = 3_500
"""Wishes whose moments are so near to one another are worded together."""


def ends_ms(plan: Plan, clock: WordClock) -> Mapping[int, int]:
    """For each segment's scene where its own time ends: at its end, or where an addition of a later step is heard before that."""
    first: dict[int, int] = {}
    later = plan.length_ms
    for segment in sorted(plan.segments, key=lambda s: s.start_ms, reverse=True):
        first[segment.scene] = max(segment.start_ms, min(segment.end_ms, later))
        heard = [clock.additions[a.place] for a in _additions(segment) if a.place in clock.additions]
        later = min([later, *heard])
    return first


def _additions(segment: Segment) -> Sequence[Addition]:
    return segment.step.additions if segment.step is not None else ()


def by_moment(group: Group) -> list[Group]:
    """The group's wishes in the order of their moments, in groups of those that are near to one another. A caution stays before
    whatever it comes before."""
    wishes = list(group.wishes)
    acts = [w.at_ms for w in wishes if w.track == "addition"]
    if acts:
        first = min(acts)
        wishes = [replace(w, at_ms=min(w.at_ms, first)) if _leads(group, w) else w for w in wishes]
    wishes.sort(key=lambda w: w.at_ms)
    groups: list[list[Wish]] = []
    for wish in wishes:
        if groups and wish.at_ms - groups[-1][-1].at_ms <= TOGETHER_MS:
            groups[-1].append(wish)
        else:
            groups.append([wish])
    return [
        replace(
            group,
            at_ms=one[0].at_ms,
            wishes=tuple(one),
            late_ms=HEARD_LATE_MS if any(w.heard for w in one) else group.late_ms,
        )
        for one in groups
    ]


def _leads(group: Group, wish: Wish) -> bool:
    """Whether it is a caution that is read before anything is done."""
    return wish.track == "safety" and wish.at_ms == group.at_ms


def in_the_last_seconds(segment: Segment, texts: Sequence[str], room: CueLimits) -> int:
    """From when the texts must stand so that the last is read when the segment ends; never before it begins."""
    needed = sum(room.stands_ms(text) + room.gap_ms for text in texts)
    return max(segment.start_ms, segment.end_ms - needed)
