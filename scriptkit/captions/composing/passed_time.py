"""Time that passes at a step: told before the picture in which its result is seen, and what is read as the step ends."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from scriptkit.captions.composing.compose import Wish
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.word_timing import LEAD_MS
from scriptkit.cut.word_clock import SILENT, WordClock
from scriptkit.measure.durations import format_duration
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of
from scriptkit.shoot.plan import LONG_WAIT_MS, Plan, Segment
from scriptkit.shoot.shots.framing import LOOKS
from scriptkit.shoot.shots.shots import Shot, shots_of


def results_ms(plan: Plan, clock: WordClock | None = None) -> Mapping[int, int]:
    """For each scene in which the end of a long wait is seen, from when: where what goes in then, or the temperature inside, is
    said, else where the first shot that shows it begins."""
    found: dict[int, int] = {}
    for shot in shots_of(plan):
        if shot.step is not None and _long(shot.step) and (shot.when_over or shot.swap_out == "twin"):
            seen = _seen_ms(shot, shot.step, clock or SILENT)
            found[shot.scene] = min(seen, found.get(shot.scene, seen))
    return found


def _seen_ms(shot: Shot, step: Step, clock: WordClock) -> int:
    said = [clock.additions[a.place] for a in shot.additions if a.place in clock.additions]
    if not shot.additions and shot.look == LOOKS["probe"] and step.place in clock.cores:
        said = [clock.cores[step.place]]
    return min(said, default=shot.start_ms)


def _long(step: Step) -> bool:
    return bool(step.wait_ms and step.wait_ms >= LONG_WAIT_MS)


def time_passed(
    segment: Segment, following: Sequence[Segment], result_ms: int | None, end_ms: int, room: CueLimits
) -> list[Wish]:
    """What a long wait says: ``18 min later`` where it has passed when the next picture is seen, else ``This takes 18 min``. It is
    read before its result is seen, from ``result_ms`` on, or as the step ends, at ``end_ms``."""
    step, dish = segment.step, segment.dish
    if step is None or dish is None or step.wait_ms is None or not _long(step):
        return []
    wait = format_duration(step.wait_ms)
    text = f"{wait} later" if _goes_on(dish, step, following) else f"This takes {wait}"
    if result_ms is None:
        return [Wish(at_ms=max(segment.start_ms, end_ms - room.stands_ms(text)), text=text, track="time")]
    at_ms = max(segment.start_ms, result_ms - LEAD_MS - room.stands_ms(text) - room.gap_ms)
    return [Wish(at_ms=at_ms, text=text, track="time", until_ms=max(result_ms, segment.start_ms))]


def _goes_on(dish: Dish, step: Step, following: Sequence[Segment]) -> bool:
    """Whether what is shown next comes after the step's wait, and is not done while it lasts: another dish, or other prep."""
    for segment in following:
        if segment.step is not None and segment.dish is not None:
            return segment.dish.file == dish.file and step.number in graph_of(dish).before(segment.step)
    return True


def before_result(wishes: Sequence[Wish], passed: Sequence[Wish]) -> list[Wish]:
    """The wishes with those of passed time before what goes in when it is over."""
    found = list(wishes)
    for one in passed:
        after = [
            n
            for n, w in enumerate(found)
            if one.until_ms is not None and w.track == "addition" and w.at_ms + LEAD_MS >= one.until_ms
        ]
        found.insert(min(after, default=len(found)), one)
    return found


def sooner(passed: Wish, ending: Sequence[Wish], segment: Segment, room: CueLimits) -> Wish:
    """Passed time that leaves its room to what is read as the step ends."""
    if not ending:
        return passed
    at_ms = ending[0].at_ms - room.stands_ms(passed.text) - room.gap_ms
    return replace(passed, at_ms=max(segment.start_ms, min(passed.at_ms, at_ms)))


def at_the_end(segment: Segment, texts: Sequence[tuple[str, str]], room: CueLimits) -> list[Wish]:
    """The texts, each with its track, one after another so that the last is read when the segment ends."""
    wishes: list[Wish] = []
    now = segment.end_ms
    for text, track in reversed(texts):
        now -= room.stands_ms(text) + (room.gap_ms if wishes else 0)
        wishes.insert(0, Wish(at_ms=max(segment.start_ms, now), text=text, track=track))
    return wishes
