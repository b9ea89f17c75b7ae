"""Chapters of the video, from the planned cut or from the edited one; short steps are merged with their neighbours.

Platforms want the first at 0:00, three at least, and ten seconds for each (common practice, no source).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.cut.placement import FRAMES_MS, TRANSCRIPT, Cut, Placement
from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.publish.chapter_names import finished_name, got_ready, joined_name, says_much, step_name, then_name
from scriptkit.publish.platform_text import FEWEST_CHAPTERS, SHORTEST_CHAPTER_MS
from scriptkit.recipe.dish import Dish, Step
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, Plan

MOST_CHAPTERS, MORE_FROM_MS, ONE_MORE_EACH_MS = 9, 10 * 60_000, 3 * 60_000
"""As many as a viewer reads through, in a film of ten minutes; one more for every three minutes beyond (common sense, no source)."""

UNSURE = 0.5
"""A cut that is placed with less confidence is perhaps of another video (0 to 1)."""

_OTHER_PREP, _OTHER_STEP, _OTHER_LOOKED_FOR, _OTHER_STAGE, _OTHER_DISH = 0.9, 1, 1.15, 6, 20
"""What it costs to let two neighbours share a chapter: prep first, two steps that viewers look for later, and prep and cooking, or two
dishes, last."""
_LONG = 6
"""And that it is long: the square of its share of the film, by this."""
_PUT_TOGETHER = 2
"""Foods that go in at a step which makes something of them."""
_LOOKED_FOR_MS = 30_000
"""A step that lasts so long a viewer may look for by its name (common practice, no source)."""
_NAMED_SECOND, _BEGINS_LATER, _OWN_BEGINS_LATER = 0.5, 3, 12
"""What it costs that the chapter's main thing begins in the middle of it: where its name has both, where it has not, and of a thing that
the cook named."""
_LANDS_MS = 5_000
"""A viewer who chooses a name and waits no longer than that has landed where it begins (common sense, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """From ``start_ms`` of the cut; ``end_ms`` is None where nobody knows how long the cut is."""

    start_ms: int
    end_ms: int | None
    name: str
    step_numbers: tuple[tuple[str, int], ...] = ()
    """The steps in it, each as its dish's file and its number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapters:
    """``chapters`` in order, the first at 0; ``planned``: of the plan, not of an edited video."""

    chapters: tuple[Chapter, ...]
    end_ms: int
    planned: bool
    problems: tuple[Problem, ...]

    @property
    def listed(self) -> tuple[Chapter, ...]:
        """Those for a description: none where there are fewer than platforms take."""
        return self.chapters if len(self.chapters) >= FEWEST_CHAPTERS else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """Something that begins at ``start_ms``."""

    start_ms: int
    name: str
    part: str
    """``opening``, a stage, or ``closing``."""
    dish: Dish | None
    step: Step | None = None


def chapters_of_plan(plan: Plan) -> Chapters:
    """Chapters of the cut as it is planned."""
    marks = []
    for segment in plan.segments:
        if segment.step is not None and segment.dish is not None:
            marks.append(_step_mark(segment.start_ms, segment.dish, segment.step))
        else:
            name = {
                OPENING: "The finished plate" if plan.meal else "The finished dish",
                MEAL_CLOSING: "The whole plate",
            }
            of = finished_name(segment.dish) if segment.dish else ""
            marks.append(
                _Mark(
                    start_ms=segment.start_ms,
                    name=of if segment.kind == CLOSING else name[segment.kind],
                    part=OPENING if segment.kind == OPENING else CLOSING,
                    dish=segment.dish,
                )
            )
    place = (plan.meal or plan.dishes[0]).place
    return _chapters(marks, plan.length_ms, planned=True, place=place)


def chapters_of_cut(cut: Cut, place: Place) -> Chapters:
    """Chapters of the edited video, from where its steps begin. A step that was not placed has no chapter of its own,
    which is told."""
    placed = sorted(
        ((p.time_ms, n, p) for n, p in enumerate(cut.placements) if p.time_ms is not None), key=lambda one: one[:2]
    )
    moments = [0, *(time for time, _, _ in placed)]
    begins = [_whole_second(p, moments[n]) for n, (_, _, p) in enumerate(placed)]
    marks = [_step_mark(start, p.dish, p.step) for start, (_, _, p) in zip(begins, placed, strict=True)]
    if marks and marks[0].start_ms > 0:
        if SHORTEST_CHAPTER_MS - 1000 <= marks[0].start_ms < SHORTEST_CHAPTER_MS:  # it lacks no more than a second
            marks[0] = replace(marks[0], start_ms=SHORTEST_CHAPTER_MS)
        marks.insert(0, _Mark(start_ms=0, name="Opening", part=OPENING, dish=None))
    end = max(cut.length_ms, marks[-1].start_ms + SHORTEST_CHAPTER_MS if marks else 0)
    problems = []
    if missing := [p for p in cut.placements if p.time_ms is None and not p.is_left_out]:
        names = ", ".join(f"{p.dish.short}, step {p.step.number} ({p.step.id})" for p in missing)
        problems.append(
            note(place, "chapter", f"without a chapter, as the cut does not tell where they are: {names}",
                 "say what is done in the narration, or write a marker")
        )  # fmt: skip
    if any(p.known_from == TRANSCRIPT for _, _, p in placed) and cut.confidence < UNSURE:
        problems.append(
            warning(place, "chapter", f"the chapters are a guess: the cut was placed with a confidence of {cut.confidence:.2f}",
                    "check that the transcript is of this video")
        )  # fmt: skip
    return _chapters(marks, end, planned=False, place=place, problems=problems, open_end=not cut.length_ms)


def _whole_second(placement: Placement, not_before_ms: int) -> int:
    """In which second the step begins: of one that is heard, the second of its first word."""
    start = placement.begins_ms(not_before_ms)
    return (start + (FRAMES_MS if placement.known_from == TRANSCRIPT else 0)) // 1000 * 1000


def _step_mark(start_ms: int, dish: Dish, step: Step) -> _Mark:
    return _Mark(start_ms=start_ms, name=step_name(step, dish), part=step.stage, dish=dish, step=step)


def _chapters(
    marks: Sequence[_Mark],
    end_ms: int,
    *,
    planned: bool,
    place: Place,
    problems: Sequence[Problem] = (),
    open_end: bool = False,
) -> Chapters:
    groups = _few(marks, end_ms)
    starts = [group[0].start_ms for group in groups]
    chapters = [
        Chapter(
            start_ms=start,
            end_ms=None if open_end and n == len(groups) - 1 else (starts[n + 1] if n + 1 < len(starts) else end_ms),
            name=_name(group, starts[n + 1] if n + 1 < len(starts) else end_ms),
            step_numbers=tuple((m.dish.file, m.step.number) for m in group if m.dish and m.step),
        )
        for n, (group, start) in enumerate(zip(groups, starts, strict=True))
    ]
    found = [*problems, *(() if planned else _too_brief(groups, end_ms, place))]
    if len(chapters) < FEWEST_CHAPTERS:
        found.append(
            note(place, "chapter", f"{len(chapters)} of the {FEWEST_CHAPTERS} chapters that platforms ask for: the cut is {format_clock(end_ms)} long, and a chapter {format_duration(SHORTEST_CHAPTER_MS)} at least",
                 "the description has no chapters; give the steps more `screen:`")
        )  # fmt: skip
    return Chapters(chapters=tuple(_told_apart(chapters)), end_ms=end_ms, planned=planned, problems=tuple(found))


def _too_brief(groups: Sequence[Sequence[_Mark]], end_ms: int, place: Place) -> Iterator[Problem]:
    """A note of the steps that share a chapter as they last too short for one of their own; the one that names it aside."""
    names: list[str] = []
    longer: list[str] = []
    for group, following in itertools.zip_longest(groups, groups[1:]):
        ends = [*(m.start_ms for m in group[1:]), following[0].start_ms if following else end_ms]
        main = group[_main(group, ends[-1])]
        for m, end in zip(group, ends, strict=True):
            if m.step and m.dish and m is not main:
                named = f"{m.dish.short}, step {m.step.number} ({m.step.id})"
                if end - m.start_ms < SHORTEST_CHAPTER_MS:
                    names.append(named)
                elif end - m.start_ms >= _LOOKED_FOR_MS:
                    longer.append(named)
    if names:
        words = f"in a neighbour's chapter, as a chapter lasts {format_duration(SHORTEST_CHAPTER_MS)} at least: {', '.join(names)}"
        yield note(
            place,
            "chapter",
            words,
            "give one of them `chapter:` with a name, and its chapter has that name",
        )
    if longer:
        words = f"in a neighbour's chapter, so that a viewer has no more than {most_chapters(end_ms)} to read through: {', '.join(longer)}"
        yield note(place, "chapter", words, "give one of them `chapter:` with a name, and its chapter has that name")


def most_chapters(end_ms: int) -> int:
    """How many chapters a film that is so long has at most."""
    return MOST_CHAPTERS + max(0, end_ms - MORE_FROM_MS) // ONE_MORE_EACH_MS


def _few(marks: Sequence[_Mark], end_ms: int) -> list[list[_Mark]]:
    """Neighbours put together until there are no more groups than a viewer reads through."""
    most = most_chapters(end_ms)
    groups = _merged(marks, end_ms)
    return groups if len(groups) <= most else _joined(groups, end_ms, most)


def _joined(groups: Sequence[list[_Mark]], end_ms: int, most: int) -> list[list[_Mark]]:
    """The groups put together to ``most``: first those that are alike, and of those the short ones. ``best[k][n]`` is the least cost
    of k groups of the first n, and where the last of them begins."""
    starts = [*(g[0].start_ms for g in groups), end_ms]
    costs = [0.0, *(_cost(a[-1], b[0]) for a, b in itertools.pairwise(groups))]
    sums = [0.0, *itertools.accumulate(costs)]
    whole = max(end_ms, 1)
    late = {
        (first, end): _late([m for g in groups[first:end] for m in g], starts[end])
        for first, end in itertools.combinations(range(len(groups) + 1), 2)
    }
    row = [(0.0, 0)] + [(float("inf"), 0)] * len(groups)
    table = [row]
    for _ in range(most):
        table.append([(float("inf"), 0)])
        for end in range(1, len(groups) + 1):
            of = (
                (
                    table[-2][first][0]
                    + (sums[end] - sums[first + 1] + late[first, end])
                    + _LONG * ((starts[end] - starts[first]) / whole) ** 2,
                    first,
                )
                for first in range(end)
            )
            table[-1].append(min(of))
    found: list[list[_Mark]] = []
    end = len(groups)
    for row in reversed(table[1:]):
        first = row[end][1]
        found.insert(0, [mark for group in groups[first:end] for mark in group])
        end = first
    return found


def _merged(marks: Sequence[_Mark], end_ms: int) -> list[list[_Mark]]:
    """Neighbours put together so that each group lasts long enough, with as little as possible put together that is not
    alike. A shortest path: ``best[n]`` is the least cost of the first n marks."""
    starts = [*(m.start_ms for m in marks), end_ms]
    costs = [0.0, *(_cost(a, b) for a, b in itertools.pairwise(marks))]
    best: list[tuple[float, int]] = [(0, 0)]
    for end in range(1, len(marks) + 1):
        found: tuple[float, int] | None = None
        cost = 0.0
        for first in range(end - 1, -1, -1):
            if first < end - 1:
                cost += costs[first + 1]
            lasts = starts[end] - starts[first]
            if lasts >= SHORTEST_CHAPTER_MS and best[first][0] >= 0:
                total = best[first][0] + cost + _late(marks[first:end], starts[end])
                found = min(found or (total, first), (total, first))
                if starts[end - 1] - starts[first] >= 2 * SHORTEST_CHAPTER_MS:
                    break  # it could be two chapters: longer ones are no better
        best.append(found or (-1, 0))
    if not marks:
        return []
    if best[-1][0] < 0:
        return [list(marks)]  # too short for even one
    groups: list[list[_Mark]] = []
    end = len(marks)
    while end:
        first = best[end][1]
        groups.insert(0, list(marks[first:end]))
        end = first
    return groups


def _cost(one: _Mark, other: _Mark) -> float:
    if one.dish is not other.dish:
        return _OTHER_DISH
    if one.part != other.part:
        return _OTHER_STAGE
    if _gets_ready(one) and _gets_ready(other):
        return _OTHER_PREP
    return _OTHER_LOOKED_FOR if says_much(one.name) and says_much(other.name) else _OTHER_STEP


def _main(group: Sequence[_Mark], end_ms: int) -> int:
    """Which of them takes longest, a method of cooking before what is only added or served. What the cook named goes first."""
    ends = [*(m.start_ms for m in group[1:]), end_ms]
    lasting = [
        (bool(m.step and m.step.chapter), says_much(m.name), e - m.start_ms, -n)
        for n, (m, e) in enumerate(zip(group, ends, strict=True))
    ]
    return -max(lasting)[-1]


def _shown(group: Sequence[_Mark], end_ms: int) -> tuple[Sequence[_Mark], _Mark]:
    """What a chapter may be named by, and its main thing. An opening that is too short for a chapter names none."""
    main = group[_main(group, end_ms)]
    if main.part == OPENING:
        return group, main
    return [m for m in group if m.part != OPENING], main


def _late(group: Sequence[_Mark], end_ms: int) -> float:
    """What it costs that the chapter's main thing begins later than the chapter; of prep all is the main thing."""
    shown, main = _shown(group, end_ms)
    if shown is not group and shown[0].start_ms - group[0].start_ms >= SHORTEST_CHAPTER_MS:
        return _OWN_BEGINS_LATER  # an opening that is long enough for a chapter of its own
    if _begins(shown, main) or _is_prep(shown):
        return 0
    if main.step and main.step.chapter:
        return _OWN_BEGINS_LATER
    return _BEGINS_LATER if _both(shown, main) == shown[0].name else _NAMED_SECOND


def _begins(shown: Sequence[_Mark], main: _Mark) -> bool:
    return main.start_ms - shown[0].start_ms <= _LANDS_MS


def _is_prep(shown: Sequence[_Mark]) -> bool:
    """Whether it is prep alone, several steps of it that get several foods ready, and the cook named none."""
    if len(shown) < 2 or not all(_gets_ready(m) and m.step and not m.step.chapter for m in shown):
        return False
    return len(got_ready([m.step for m in shown if m.step])) > 1


def _gets_ready(mark: _Mark) -> bool:
    """Whether it is prep that gets food ready, and puts nothing together: *toss the apple with the lemon juice and the walnuts* does."""
    return mark.step is not None and mark.step.stage == "prep" and len(mark.step.additions) < _PUT_TOGETHER


def _name(group: Sequence[_Mark], end_ms: int) -> str:
    """Of what begins where the chapter begins: its main thing, or what comes first and then that; of prep together, what is got ready."""
    shown, main = _shown(group, end_ms)
    if _is_prep(steps := [m for m in group if m.part != OPENING]):
        return joined_name([(m.step, m.dish) for m in steps if m.step and m.dish])
    if _begins(shown, main):
        return main.name
    return _both(shown, main)


def _both(shown: Sequence[_Mark], main: _Mark) -> str:
    """What comes first and then the main thing, where both fit; *then the finished dish* says nothing that a viewer looks for."""
    if main.step is None:
        return shown[0].name
    own = bool(main.step.chapter)
    return then_name(shown[0].name, main.name if own else main.name[:1].lower() + main.name[1:])


def _told_apart(chapters: Sequence[Chapter]) -> list[Chapter]:
    """Two chapters of one name get a number: a viewer must know which to choose."""
    seen: dict[str, int] = {}
    out = []
    for one in chapters:
        seen[one.name] = seen.get(one.name, 0) + 1
        name = one.name if seen[one.name] == 1 else f"{one.name} ({seen[one.name]})"
        out.append(Chapter(start_ms=one.start_ms, end_ms=one.end_ms, name=name, step_numbers=one.step_numbers))
    return out
