"""The planned cut: which step is on screen from when to when."""

from __future__ import annotations

import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.english.leading_words import Parted
from scriptkit.measure.durations import format_duration
from scriptkit.measure.unit_system import US
from scriptkit.problems import Problem, error, note
from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Addition, Dish, Film, Meal, Step
from scriptkit.recipe.written_shots import WrittenShot
from scriptkit.shoot.script.narration import line_ms
from scriptkit.shoot.shots.framing import doneness_shot
from scriptkit.shoot.shots.leading_act import between, leading_act
from scriptkit.shoot.shots.waits import has_wait

ADDITION_MS = 3_000
"""Picture of one addition where no screen time is stated: 2 to 4 s are usual (common practice, no source)."""
SHORTEST_ADDITION_MS = 2_000
LONGEST_ADDITION_MS = 4_000
"""The least and the most picture of one (common practice, no source)."""
ACTION_MS = 4_000
"""Picture of what is done at a step whose screen time is not stated (common practice, no source)."""
LONG_WAIT_MS = 2 * 60_000
"""A wait that the cut jumps over and says so (common practice, no source)."""
SAID_MS = 3_000
"""Picture for a line that tells of a long wait, or of the temperature inside, where no screen time is stated
(common practice, no source)."""

CLOSING_LEAST_MS, CLOSING_IN_A_MEAL_MS, MEAL_CLOSING_LEAST_MS = 16_000, 12_000, 20_000
"""In which the figures are said and their cards are read: of a dish alone, of a dish of a meal, of the whole plate (common practice, no
source)."""
_FIGURES_SAID, _OF_OUNCES = "word " * 28, "word " * 8
"""As many words as `{macros}` becomes, about; and how many more where weights are said in pounds, ounces and quarters of them."""
CLOSING_SHARE = 4
"""An ending that no file states is at most one part to so many of the cooking on screen (common practice, no source)."""

READY_METHODS = frozenset({"sear", "deep-fry"})
READY_MS = 12_000
"""Picture before food goes into very hot fat: what is dry, what heats, which lid lies ready. Its cautions are read then
(common practice, no source)."""

OPENING, STEP, CLOSING, MEAL_CLOSING = "opening", "step", "closing", "meal closing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A stretch of the cut, in milliseconds from its start. ``scene`` counts from 1."""

    scene: int
    kind: str
    start_ms: int
    end_ms: int
    dish: Dish | None = None
    step: Step | None = None
    spoken_ms: int | None = None
    """How long its line takes in the recorded voice; None before there is one."""

    @property
    def length_ms(self) -> int:
        """On screen."""
        return self.end_ms - self.start_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The cut of a dish, or of a meal's dishes one after another: all prep first, then each dish cooked and plated."""

    title: str
    dishes: tuple[Dish, ...]
    """Those that are served."""
    meal: Meal | None
    segments: tuple[Segment, ...]

    @property
    def length_ms(self) -> int:
        """Of the whole cut; 0 where nothing is in it."""
        return self.segments[-1].end_ms if self.segments else 0


def plan_of(source: Dish | Meal) -> Plan:
    """The opening, all prep, each dish cooked, and closed where it is served, and of a meal its closing. What goes into a dish, and
    is made on the day, comes before it."""
    dishes = dishes_of_the_day(source)
    served = dishes_of(source)
    on_the_plate = {dish.file for dish in served}
    ahead = [dish for dish in served if dish not in dishes]
    meal = source if isinstance(source, Meal) else None
    stretches: list[tuple[str, Dish | None, Step | None, int]] = [(OPENING, None, None, source.film.opening_ms)]
    for dish in dishes:
        stretches += [(STEP, dish, s, screen_ms(s)) for s in dish.in_shoot_order if s.stage == "prep"]
    for dish in (*dishes, *ahead):
        if dish in dishes:
            stretches += [(STEP, dish, s, screen_ms(s)) for s in dish.in_shoot_order if s.stage != "prep"]
        if dish.file in on_the_plate:
            own = sum(length for _, of, _, length in stretches if of is dish)
            least = CLOSING_LEAST_MS if meal is None else CLOSING_IN_A_MEAL_MS
            stretches.append((CLOSING, dish, None, closing_ms(dish.film, dish.goodbye, own, least, dish.units)))
    if meal is not None:
        own = sum(length for kind, _, _, length in stretches if kind == STEP)
        length = closing_ms(meal.film, meal.goodbye, own, MEAL_CLOSING_LEAST_MS, meal.units)
        stretches.append((MEAL_CLOSING, None, None, length))
    return Plan(title=source.name, dishes=served, meal=meal, segments=_in_a_row(stretches))


def closing_ms(film: Film, goodbye: str, cooking_ms: int, least_ms: int, units: str = "") -> int:
    """How long the ending is: as the file states it, else in proportion to so much cooking on screen, and long enough for what is
    said over it. ``film.closing_ms`` is the longest that is usual."""
    if film.closing_stated:
        return film.closing_ms
    if "{" in goodbye:
        words = _FIGURES_SAID + (_OF_OUNCES if units == US else "")
        said = min(line_ms(words, film.reading_rate), film.closing_ms)
    else:
        said = line_ms(goodbye, film.reading_rate)
    return max(min(cooking_ms // CLOSING_SHARE, film.closing_ms), least_ms, said)


def dishes_of(source: Dish | Meal) -> tuple[Dish, ...]:
    """The dishes on the plate, each once. What is cooked and filmed for them on the day is more (dishes_of_the_day)."""
    return served_dishes(source)


def _in_a_row(stretches: Sequence[tuple[str, Dish | None, Step | None, int]]) -> tuple[Segment, ...]:
    segments: list[Segment] = []
    now = 0
    for kind, dish, step, length in stretches:
        if length > 0:
            segments.append(
                Segment(scene=len(segments) + 1, kind=kind, start_ms=now, end_ms=now + length, dish=dish, step=step)
            )
            now += length
    return tuple(segments)


def screen_ms(step: Step) -> int:
    """The step's stated screen time; where none is stated, what its additions and its action usually get."""
    if step.screen_ms is not None:
        return step.screen_ms
    if shots := written_shots(step):
        return sum(_usual_ms(s) if s.screen_ms is None else s.screen_ms for s in shots)
    ready = READY_MS if step.reading.method in READY_METHODS and step.additions else 0
    said = SAID_MS * ((step.wait_ms or 0) >= LONG_WAIT_MS) + SAID_MS * (doneness_shot(step) is not None)
    first, acts = leading_act(step), between(step)
    shown = (len(acts) + (first is not None) + len(step.additions)) * ADDITION_MS
    action = _has_action(step) and not _all_told(step, first, acts)
    return ready + shown + (ACTION_MS if action else 0) + said


def ready_ms(segment: Segment) -> int:
    """How long the picture before the first addition is: 0 but for food that goes into very hot fat, and there as much as
    the additions and the action leave."""
    step = segment.step
    if step is None or step.reading.method not in READY_METHODS or not step.additions or written_shots(step):
        return 0
    room = segment.length_ms - len(step.additions) * ADDITION_MS - ACTION_MS
    return min(READY_MS, room) if room >= SHORTEST_ADDITION_MS else 0


def addition_windows(segment: Segment) -> list[tuple[Addition, int, int]]:
    """When each addition of the segment's step is on screen, from–to in milliseconds of the cut: one after another from
    its start or from what is done before them, the action last; where the file writes the step's shots, while the shot that shows it is on."""
    step = segment.step
    if step is None or not step.additions:
        return []
    if written_shots(step):
        return _written_windows(segment, step)
    shares = len(step.additions) + (1 if _has_action(step) and not ends_with_addition(segment) else 0)
    first = segment.start_ms + ready_ms(segment)
    if lead := lead_ms(segment):
        first += lead
        if _no_room(segment):
            return _in_turn(step.additions, first, segment.end_ms)
    acts = sorted(acts_shown(segment))
    each = min(LONGEST_ADDITION_MS, (segment.end_ms - first) // (shares + len(acts)))
    at = [n + bisect.bisect_left(acts, n) for n in range(len(step.additions))]  # each act before it is a picture more
    starts = [first + n * each for n in at]
    if ends_with_addition(segment):  # what is over is the last act's
        later = max(acts, default=-1)
        starts = [start + (segment.end_ms - starts[-1] - each) * (n > later) for n, start in enumerate(starts)]
    return [(addition, start, start + each) for addition, start in zip(step.additions, starts, strict=True)]


def ends_with_addition(segment: Segment) -> bool:
    """Whether the step's last picture is its last addition going in: what its words do before is shown, and nothing comes after it."""
    step = segment.step
    if step is None or written_shots(step):
        return False
    lead = leading_act(step) if lead_ms(segment) and not _no_room(segment) else None
    return _all_told(step, lead, acts_shown(segment))


def _all_told(step: Step, lead: Parted | None, acts: Mapping[int, Parted]) -> bool:
    last = acts[max(acts)] if acts else lead
    if last is None or not last.adds or (has_wait(step) and not last.waited):
        return False
    done, told = doneness_shot(step), [*([lead] if lead else []), *acts.values()]
    return done is None or any(done.words in act.first for act in told)


def acts_shown(segment: Segment) -> dict[int, Parted]:
    """What is cooked between two additions, where there is time to show it; by the number of the addition before, from 0."""
    step = segment.step
    found = {} if step is None or written_shots(step) else between(step)
    pictures = len(found) + (0 if step is None else len(step.additions) + 1 + (lead_ms(segment) > 0))
    return found if segment.length_ms - ready_ms(segment) >= SHORTEST_ADDITION_MS * pictures else {}


def lead_ms(segment: Segment) -> int:
    """How long the picture of what is done before anything goes in is: 0 where nothing is."""
    step = segment.step
    if step is None or written_shots(step) or leading_act(step) is None:
        return 0
    shares = len(step.additions) + (1 if _no_room(segment) else 2)
    return min(LONGEST_ADDITION_MS, (segment.length_ms - ready_ms(segment)) // shares)


def _no_room(segment: Segment) -> bool:
    """Whether what is done is one picture, before what goes in: for two, and the additions, there is no time."""
    additions = len(segment.step.additions) if segment.step else 0
    return segment.length_ms - ready_ms(segment) < SHORTEST_ADDITION_MS * (additions + 2)


def _has_action(step: Step) -> bool:
    """Whether anything but the additions themselves is to be seen."""
    return not step.additions or bool(step.hands_ms or step.wait_ms or step.reading.method or doneness_shot(step))


# --- shots that the file writes --------------------------------------------------------------------------------------


def written_shots(step: Step) -> tuple[WrittenShot, ...]:
    """The shots that the file asks for; one of no length shows nothing, which is among the problems."""
    return tuple(s for s in step.shots if s.screen_ms != 0)


def shown_in(shot: WrittenShot, step: Step) -> tuple[Addition, ...]:
    """The step's additions that the shot shows, in the order in which they go in."""
    names = {spoken(name) for name in shot.of}
    return tuple(a for a in step.additions if names & {spoken(a.ingredient.key), spoken(a.ingredient.name)})


def spoken(name: str) -> str:
    """A name as it is compared: `olive_oil` and `Olive oil` are one."""
    return name.replace("_", " ").casefold().strip()


def _usual_ms(shot: WrittenShot) -> int:
    return len(shot.of) * ADDITION_MS or ACTION_MS


def shot_windows(segment: Segment) -> list[tuple[WrittenShot, int, int]]:
    """The written shots of the segment's step end to end, from–to in milliseconds of the cut, filling it: those that
    state their length have it, the others share what is left. Where that does not come out, all are stretched or shortened
    alike (which is among the problems)."""
    shots = written_shots(segment.step) if segment.step else ()
    stated = sum(s.screen_ms or 0 for s in shots)
    usual = sum(_usual_ms(s) for s in shots if s.screen_ms is None)
    left = max(segment.length_ms - stated, 0)
    scale = left / usual if usual and left else 1.0
    lengths = [_usual_ms(s) * scale if s.screen_ms is None else float(s.screen_ms) for s in shots]
    whole = sum(lengths)
    ends = [segment.start_ms + round(segment.length_ms * sum(lengths[: n + 1]) / whole) for n in range(len(shots))]
    return list(zip(shots, [segment.start_ms, *ends[:-1]], ends, strict=True))


def _written_windows(segment: Segment, step: Step) -> list[tuple[Addition, int, int]]:
    """An addition that no shot shows has the last shot's time, so that its caption is not lost as well."""
    windows: list[tuple[Addition, int, int]] = []
    written = shot_windows(segment)
    for shot, start, end in written:
        seen = {a.number for a, _, _ in windows}
        windows += _in_turn([a for a in shown_in(shot, step) if a.number not in seen], start, end)
    seen = {a.number for a, _, _ in windows}
    windows += _in_turn([a for a in step.additions if a.number not in seen], *written[-1][1:])
    return sorted(windows, key=lambda w: w[1:])


def _in_turn(additions: Sequence[Addition], start: int, end: int) -> list[tuple[Addition, int, int]]:
    marks = [start + (end - start) * n // max(len(additions), 1) for n in range(len(additions) + 1)]
    return list(zip(additions, marks[:-1], marks[1:], strict=True))


def plan_problems(source: Dish | Meal) -> list[Problem]:
    """Steps whose picture is too short for what goes in at them, and steps whose picture is assumed, in one note a dish."""
    problems = []
    for dish in dishes_of_the_day(source):
        unstated: list[Step] = []
        for step in dish.steps:
            least = len(step.additions) * SHORTEST_ADDITION_MS
            if step.screen_ms is None:
                unstated.append(step)
            elif step.screen_ms < least:
                problems.append(
                    error(
                        step.place, "screen-too-short",
                        f"step {step.number} ({step.id}) shows {len(step.additions)} additions in {format_duration(step.screen_ms)}",
                        f"an addition needs {SHORTEST_ADDITION_MS // 1000} s at least: give the step {format_duration(least)}, or split it",
                    )
                )  # fmt: skip
        problems += _unstated(unstated)
    return problems


_MOST_NAMED = 12


def _unstated(steps: Sequence[Step]) -> Iterator[Problem]:
    """One note for all steps of a dish whose picture is assumed."""
    if not steps:
        return
    planned = [f"step {s.number} ({s.id}) {format_duration(screen_ms(s))}" for s in steps[:_MOST_NAMED]]
    more = f" and {len(steps) - _MOST_NAMED} more" if len(steps) > _MOST_NAMED else ""
    usual = format_duration(screen_ms(steps[0]))
    if len(steps) == 1:
        message = f"step {steps[0].number} ({steps[0].id}) has no `screen:`, planned with {usual}"
        hint = f"write how long it is on screen, such as `screen: {usual}`"
    else:
        message = f"{len(steps)} steps have no `screen:`, the seconds that they are on screen; planned: {', '.join(planned)}{more}"
        hint = f"write `screen: {usual}` at step {steps[0].number} and so on, or leave them as planned"
    yield note(steps[0].place, "no-screen-time", message, hint)
