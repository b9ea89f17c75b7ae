"""What of the script cannot be said, or is not heard: each a function that returns problems, each with how far off it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scriptkit.english.of_each import is_of_each
from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.spoken import SpokenFigure
from scriptkit.measure.words import difference_words
from scriptkit.problems import Problem, error, note, warning
from scriptkit.recipe.additions import UNREAD_SCREEN_MS
from scriptkit.recipe.dish import Addition, Dish, Meal
from scriptkit.recipe.each import share_of
from scriptkit.shoot.day.day_checks import budgets, cold_beauty, hood_in_the_way
from scriptkit.shoot.day.schedule import Schedule
from scriptkit.shoot.mise_en_place import grams_text, household_text
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, Segment
from scriptkit.shoot.script.narration import amounts_named, cups_of, words_for
from scriptkit.shoot.script.script import MACROS, Passage, Script, SpokenShot, spoken_stretches
from scriptkit.shoot.script.spoken_amounts import ABOUT, EXACT, to_common_unit
from scriptkit.shoot.shots.framing import TO_CAMERA
from scriptkit.shoot.shots.shots import Shot

Source = Dish | Meal

UNHEARD_MS = 500
"""A line this much longer than its picture is cut to it without anybody hearing it (common practice, no source)."""
PROMISE_BY_MS = 15_000
"""The promise is made by then (common practice, no source)."""

_NOISE = {
    "blend": "the blender runs (about 88 dB; speech is lost from about 75 dB)",
    "sear": "the pan sears and the extractor runs",
    "deep-fry": "the fat bubbles and the extractor runs",
    "grill": "the grill and the extractor run",
}  # fmt: skip
"""What drowns speech, by the step's method; the loudness in dB is from memory."""
_QUIET_WHILE_ADDING = frozenset({"blend", "grill"})


def script_problems(source: Source, script: Script, schedule: Schedule | None) -> list[Problem]:
    """Every finding of every check in ``CHECKS`` and ``DAY_CHECKS``; ``schedule`` is None where there is none."""
    found = [problem for check in CHECKS for problem in check(source, script)]
    return [*found, *(problem for check in DAY_CHECKS for problem in check(source, script, schedule))]


# --- lines and pictures -----------------------------------------------------------------------------------------------


def lines_too_long(source: Source, script: Script) -> Iterator[Problem]:
    """Lines half a second or more longer than their picture, with about how many words to cut; not of the opening."""
    for passage in script.passages:
        segment = passage.segment
        if passage.over_ms < UNHEARD_MS or segment.kind == OPENING:
            continue
        told = (
            passage.place,
            "line-too-long",
            f"the line takes {_s(passage.spoken_ms)}, the picture {_s(segment.length_ms)}: cut {_words(passage.over_ms, passage)}",
        )
        if segment.step is not None:
            yield warning(*told, f"or give the step `screen: {_s(passage.spoken_ms, up=True)}`")
        elif _own_goodbye(segment, source):
            yield warning(*told, f"shorten `goodbye:`, or write `film: {{closing: {_s(passage.spoken_ms, up=True)}}}`")
        elif script.written:
            yield note(*told, "write a `goodbye:` of your own, or a longer `film:` `closing:`")


def _own_goodbye(segment: Segment, source: Source) -> bool:
    return (segment.dish or source).goodbye.strip() != MACROS


def silences(source: Source, script: Script) -> Iterator[Problem]:
    """Picture with nothing said for too long, but for pictures without sound, a running blender, and the cards at the end
    where the file leaves their words to us."""
    if not script.written:  # a file without a single line is filmed without a script
        return
    rows = [row for passage in script.passages for row in passage.rows]
    breaks = [stretch for passage in script.passages for stretch in spoken_stretches(passage)]
    breaks += [(s.start_ms, s.end_ms) for s in (r.shot for r in rows) if _may_be_silent(s)]
    breaks += [
        (p.segment.start_ms, p.segment.end_ms)
        for p in script.passages
        if p.segment.kind in (CLOSING, MEAL_CLOSING) and not _own_goodbye(p.segment, source)
    ]
    breaks = [*sorted(breaks), (script.plan.length_ms, script.plan.length_ms)]
    silent_from = 0
    for start, end in breaks:
        if start - silent_from > source.film.longest_silence_ms:
            yield _silence(silent_from, start, source, script)
        silent_from = max(silent_from, end)


def _may_be_silent(shot: Shot) -> bool:
    step = shot.step
    if step is None:
        return shot.sound == "MOS"
    return (
        shot.sound == "MOS"
        or (step.reading.method == "blend" and not shot.additions)
        or step.screen_ms == UNREAD_SCREEN_MS  # which is among the problems of reading
    )


def _silence(start: int, end: int, source: Source, script: Script) -> Problem:
    limit = source.film.longest_silence_ms
    first, last = start // 1000 * 1000, -(-end // 1000) * 1000  # so that the two times are as far apart as is said
    over = last - first - limit

    def shared(passage: Passage) -> int:
        return min(end, passage.segment.end_ms) - max(start, passage.segment.start_ms)

    most = max(script.passages, key=shared)  # the first of the longest
    segment = most.segment
    where = f"step {segment.step.number} ({segment.step.id})" if segment.step else f"the {segment.kind}"
    return warning(
        segment.step.place if segment.step else most.place,
        "silence",
        f"{_s(limit + over)} without narration, {format_clock(first)} to {format_clock(last)}, mostly {where}: "
        f"{_s(over)} over the limit of {_s(limit)}",
        f"add a line of {_words(over, most)} there, shorten `screen:`, or write `sound: mos`",
    )


def words_without_sound(source: Source, script: Script) -> Iterator[Problem]:  # noqa: ARG001
    """A line over a step's shot that is taken without sound; the first is told."""
    for row, passage in ((r, p) for p in script.passages for r in p.rows):
        if row.text and row.shot.sound == "MOS" and passage.segment.step is not None:
            yield warning(
                passage.place,
                "line-without-sound",
                f"shot {row.shot.slate} is a picture without sound (`sound: mos`), and has a line",
                "take the line away, or write `sound: voice-over`",
            )
            return


def speech_over_noise(source: Source, script: Script) -> Iterator[Problem]:  # noqa: ARG001
    """Steps with half a second or more of speech to camera while a machine or a pan is loud."""
    for passage in script.passages:
        loud = [(r.shot.start_ms, r.shot.end_ms) for r in passage.rows if _noisy(r, passage)]
        step = passage.segment.step
        drowned = sum(
            max(0, min(row.said_to_ms, end) - max(row.said_from_ms, start))
            for row in passage.rows
            if row.sync
            for start, end in loud
        )
        if step is not None and drowned >= UNHEARD_MS:
            yield error(
                passage.place,
                "speech-over-noise",
                f"{_s(drowned)} of speech to camera while {_NOISE[step.reading.method]}: it cannot be used",
                "say it before or after, or record it later: `sound: voice-over`",
            )


def _noisy(row: SpokenShot, passage: Passage) -> bool:
    """Whether it is loud in the kitchen while the shot is taken; before the food goes in it is not."""
    step, shot = passage.segment.step, row.shot
    if step is None or step.reading.method not in _NOISE or shot.look.kind == TO_CAMERA:
        return False
    if shot.additions:
        return step.reading.method not in _QUIET_WHILE_ADDING
    before_it_goes_in = any(r.shot.additions for r in passage.rows if r.shot.start_ms > shot.start_ms)
    return not before_it_goes_in


def promise_in_time(source: Source, script: Script) -> Iterator[Problem]:
    """A promise that is not made, is longer than its opening, or is made later than 15 s into the video."""
    first = script.passages[0] if script.passages else None
    if first is None or not source.promise:
        return
    if first.segment.kind != OPENING:
        yield warning(
            source.place,
            "promise-late",
            "the promise is not made: there is no opening",
            "write `film: {opening: 10 s}`",
        )
        return
    length = first.segment.length_ms
    if first.spoken_ms - length >= UNHEARD_MS and length <= PROMISE_BY_MS:
        yield warning(
            source.place,
            "promise-late",
            f"the promise takes {_s(first.spoken_ms)}, the opening {_s(length)}: cut {_words(first.over_ms, first)}",
            f"or write `film: {{opening: {_s(first.spoken_ms, up=True)}}}`" if first.spoken_ms <= PROMISE_BY_MS else "",
        )
    elif first.spoken_ms > PROMISE_BY_MS:
        over = first.spoken_ms - PROMISE_BY_MS
        yield warning(
            source.place,
            "promise-late",
            f"the promise is made only after {_s(first.spoken_ms)}, {_s(over)} later than {_s(PROMISE_BY_MS)}: cut {_words(over, first)}",
        )


# --- amounts ----------------------------------------------------------------------------------------------------------


def spoken_amounts(source: Source, script: Script) -> Iterator[Problem]:  # noqa: ARG001
    """An amount in a line that is not the one that goes in at the step."""
    for dish in script.plan.dishes:
        for step in dish.steps:
            for words, heard, addition in amounts_named(step, cups_of(dish)):
                of_each = is_of_each(step.say, heard.start, heard.end)
                one = share_of(addition, dish.servings) if of_each else None
                if one is not None and not _off(heard, one):
                    continue
                if off := _off(heard, addition):
                    name = addition.ingredient.name
                    measure = household_text(addition)
                    card = grams_text(addition) + (f" ({measure})" if measure else "")
                    yield error(
                        step.say_place,
                        "spoken-amount",
                        f"the line says “{words}” of {name}, and {card} goes in at step {step.number} ({step.id}): {off}",
                        f"write {{{addition.ingredient.key}}} in its place, and it is filled in",
                    )


def _off(heard: SpokenFigure, addition: Addition) -> str:
    """``20% more than the recipe``; empty where it is as much as goes in, or cannot be held against it."""
    pair = to_common_unit(heard, addition)
    if pair is None:
        return ""
    said, due, across = pair
    if abs(said - due) <= due * (ABOUT if heard.about or across else EXACT):
        return ""
    off = round_half_up((said / due - 1) * 100)
    return difference_words(off)


# --- words of the messages --------------------------------------------------------------------------------------------


def _s(ms: int, *, up: bool = False) -> str:
    """Whole seconds; ``up``: enough of them."""
    return format_duration(-(-ms // 1000) * 1000 if up else max(round_half_up(ms / 1000), 1) * 1000)


def _words(ms: int, passage: Passage) -> str:
    count = words_for(ms, passage.rate)
    return f"about {count} word{'' if count == 1 else 's'}"


CHECKS: tuple[Callable[[Source, Script], Iterator[Problem]], ...] = (
    lines_too_long,
    words_without_sound,
    speech_over_noise,
    promise_in_time,
    spoken_amounts,
    hood_in_the_way,
)
DAY_CHECKS: tuple[Callable[[Source, Script, Schedule | None], Iterator[Problem]], ...] = (cold_beauty, budgets)
