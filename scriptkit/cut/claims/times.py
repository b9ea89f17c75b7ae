"""Times and temperatures that are spoken of a step, held against its hands and wait time, its oven and its core."""

from __future__ import annotations

import functools
import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from scriptkit.cut.claims.claim import TIME, Claim, Near, claimed
from scriptkit.cut.claims.passing_times import said_in_passing, told_beforehand
from scriptkit.cut.claims.time_owners import HEATS, OwnedTime, owned_times, time_row
from scriptkit.cut.placement import Placement
from scriptkit.cut.transcript.running_text import Talk, words_in
from scriptkit.english.time_words import A_SIDE, PART_OF_A_TIME
from scriptkit.measure.durations import format_duration
from scriptkit.measure.figures import MS, Figure, figures_in
from scriptkit.measure.temperatures import fahrenheit_to_celsius
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.problems import Place
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal, Step

ABOUT_TIME = 0.15
"""How far a time that is spoken as *about* may be off (common practice, no source)."""
_ROUNDED = Fraction(1, 4)
"""And one that is rounded to whole minutes or hours: *an hour* is no half an hour (common practice, no source)."""
_WORDS_ABOUT = 8
"""Words before and after a time in which it is said what takes so long."""
_LEAST_PART = 0.1
"""A shorter time than this share of a wait is of some turn of the hand in it."""
_PART_OF_IT = PART_OF_A_TIME | {"after", "only"}
"""Before or after a time: it is of a part of the step, or of no step."""
_OF_A_BOUND = frozenset(["more", "within"])
"""*No more than five minutes* is of the whole step."""
_PLAIN_VERBS = frozenset(
    [
        "add",
        "put",
        "take",
        "return",
        "until",
        "into",
        "then",
        "with",
        "without",
        "from",
        "that",
        "this",
        "them",
        "they",
        "have",
        "bring",
        "pour",
        "place",
        "turn",
        "make",
        "sure",
        "keep",
        "over",
        "under",
        "onto",
        "half",
        "rest",
        "very",
        "time",
    ]
)
SURELY, MAYBE, NOBODY, _VERY_SURE = 0.5, 0.3, 0.5, 0.9
"""How likely a step must be before a difference is told, and before a moment is given to listen to; and before it is told though the
step's own time is said rightly elsewhere (learned in folds)."""
_OF_SOME_STEP = 0.33
"""How likely it may be at most that a time is of no step, where it is not sure of which it is (learned in folds)."""
_OF_IT_SURELY, _HANDS_SURELY = 0.4, 0.8
"""The same of hands time, where the very thing that the step does is spoken of, and where it is not."""
_MAY_BE = 0.1
"""How likely another step must be for its times to count beside those of the likeliest (common practice, no source)."""
_PART_SURELY = 0.65
"""How likely the step must be before a part of its wait (*another five minutes*) is given to listen to."""
_HANDS_MORE = 1.4
"""So many times the hands time is too long (common practice, no source)."""
_ALTERNATIVE = frozenset({"or", "if", "can", "could", "instead"})
"""Before a time: it may well be of another way."""
_HEDGED = frozenset({"been", "check", "again", "every", "takes", "only", "give"})
"""Before a time: it may well be of something else, unless it is very sure of what."""
_NO_FIGURE = frozenset({"few", "couple", "several"})
_TWICE = 2
"""A range whose end is so many times its beginning says little of a time at its beginning (common practice, no source)."""
_FAR_OFF = 12.0
"""So many times more or less is of something else (common practice, no source)."""


class _Spoken(NamedTuple):
    """A time with the step that it is most likely of, the ``others`` that it may be of, and the words around it; ``agrees``: it is one of
    the step's own, None where it may be; ``strange``: another food is spoken of; ``nobody``: how likely it is of no step."""

    figure: Figure
    at: Placement
    others: tuple[Placement, ...]
    sure: float
    before: str
    after: str
    agrees: bool | None
    strange: bool
    nobody: float = 0.0


def time_claims(talk: Talk, figures: Sequence[Figure], near: Near, source: Dish | Meal) -> Iterator[Claim]:
    """First it is told of which step each time is, all of them together; only then is it compared with that step. A step whose time
    is said rightly has nothing left to say, so that another time near it is sooner of a part of it."""
    figures = [_after_its_heat(f, talk.text, near) for f in figures]
    numbers = [n for n, f in enumerate(figures) if f.unit == MS]
    first = [
        (owned, _spoken(talk, figures[owned.number], owned.steps, owned, near))
        for owned in owned_times(time_row(talk, figures, numbers, near, doing, beginnings))
        if owned.steps
    ]
    said = {one.at.step.place for _, one in first if one.agrees and not _unlikely(one)}
    all_spoken = [one if one.agrees else _of_one_left(talk, owned, one, said, near) for owned, one in first]
    spoken = [one for one in all_spoken if not _unlikely(one)]
    promised, whole = _promised_times(source), _whole_times(source)
    said = {one.at.step.place for one in spoken if one.agrees}
    for one in spoken:
        if one.agrees or (
            one.agrees is None and one.at.step.place in said and _is_of_the_hands(one.figure, one.at.step)
        ):
            yield _time(talk, one.figure, one.at, True)
            continue
        passing = said_in_passing(one.at, (one.before, one.after), near, functools.partial(_fits_step, one.figure))
        if passing is not None and one.agrees is False and not one.figure.bound:
            yield _time(talk, one.figure, passing, True)
            continue
        if one.agrees is False and (ahead := told_beforehand(one.at, (one.before, one.after), near)) is not None:
            yield _time(talk, one.figure, ahead, None)
            continue
        told = one.at.step.place in said
        own = _may_be_its_own(one)
        may_be = one.sure >= (_PART_SURELY if _is_in_measure(one) else _VERY_SURE) and not told
        if one.agrees is None or (not one.figure.idle and (own or may_be)):
            known_here = (
                promised | _known_times(one) | (whole if _OF_ALL.search(f"{one.before} {one.after}") else set())
            )
            surely = one.agrees is False and own and _is_surely(one, told=told) and not _is_hedged(talk, one, told=told)
            yield _time(talk, one.figure, one.at, False if surely and not _fits(one.figure, known_here) else None)


def _spoken(
    talk: Talk, figure: Figure, steps: Sequence[tuple[Placement, float]], owned: OwnedTime, near: Near
) -> _Spoken:
    at, sure = steps[0]
    before, after = talk.sentence(figure.start, figure.end, words=_WORDS_ABOUT)
    unsure = sure < SURELY and owned.nobody > _OF_SOME_STEP
    others = tuple(p for p, share in steps if share >= _MAY_BE or unsure)
    fits = _fits_of(figure, at, after, near)
    return _Spoken(figure, at, others, sure, before, after, fits, owned.strange, owned.nobody)


def _unlikely(one: _Spoken) -> bool:
    return one.sure < MAYBE or one.nobody > max(one.sure, NOBODY)


def _of_one_left(talk: Talk, owned: OwnedTime, one: _Spoken, said: Collection[Place], near: Near) -> _Spoken:
    """The time as of the likeliest step whose own time is not ``said`` elsewhere, where one is nearly as likely."""
    left = [(p, share) for p, share in owned.steps if p.step.place not in said and p.step.wait_ms]
    if one.at.step.place not in said or not left or left[0][1] < MAYBE:
        return one
    return _spoken(talk, one.figure, left, owned, near)


_HUNDREDS = LazyPattern(r"^\w+ hundred(?:,|\.|\s)\s*(?!and\b)(?=\w)", re.IGNORECASE)
_MINUTE_MS, _ROOM_C = 60_000, 6.0


def _after_its_heat(figure: Figure, text: str, near: Near) -> Figure:
    """Of *at two hundred, forty minutes* the forty minutes, where a step has an oven of two hundred degrees, °C or °F, and none has the
    whole of it as its time."""
    whole, over = divmod(figure.low, _MINUTE_MS)
    heat = whole // 100 * 100
    if figure.unit != MS or figure.is_range or over or heat < 100 or whole == heat:
        return figure
    hundreds = _HUNDREDS.match(text[figure.start : figure.end])
    steps = [p.step for p in near.all]
    if hundreds is None or any(figure.low in (s.wait_ms, s.hands_ms, s.length_ms) for s in steps):
        return figure
    ovens = [s.reading.heat.celsius for s in steps if s.reading.heat.celsius is not None]
    if not any(abs(c - of) <= _ROOM_C for c in ovens for of in (float(heat), float(fahrenheit_to_celsius(heat)))):
        return figure
    left = figure.low - heat * _MINUTE_MS
    return replace(figure, low=left, high=left, start=figure.start + hundreds.end())


def _is_hedged(talk: Talk, one: _Spoken, *, told: bool) -> bool:
    """Whether it may well be of something else, by the words before it, or is said as no figure: *a few minutes*."""
    before = words_in(one.before)
    heat, own = _heat_said(before), set(words_in(one.at.step.reading.written_heat))
    if heat and own & HEATS:  # on low for eight hours, or on high for four
        if not heat & own:
            return True
        before = before[-2:]
    maybe = bool(_ALTERNATIVE & set(before[-4:])) or "in" in before[-2:]
    if told or one.sure < _VERY_SURE:
        maybe = maybe or bool(_HEDGED & set(_without_a_wait(before)[-4:]))
    return maybe or bool(_NO_FIGURE & set(words_in(talk.text[one.figure.start : one.figure.end])))


def _without_a_wait(before: Sequence[str]) -> list[str]:
    """The words before a time without *give it about*, which asks to wait."""
    told = re.sub(
        r"\bgiv(?:e|es|ing) (?:it|that|this|them|these|those)(?: (?:about|around|another|roughly|just))*$",
        "",
        " ".join(before),
    )
    return told.split()


_TO_A_TIME = frozenset({"for", "about", "around", "heat", "setting", "another", "the"})
"""Between a heat and its time."""


def _heat_said(before: Sequence[str]) -> frozenset[str]:
    """The heat that stands right before the time: *on high for*; empty where none does."""
    words = list(before)
    while words and words[-1] in _TO_A_TIME:
        words.pop()
    return HEATS & set(words[-1:])


_OF_ALL = LazyPattern(
    r"\b(?:in all|in total|total|altogether|start to finish|on the table|from scratch|takes?|ready|dinner|lunch|supper|recipe|dish)\b",
    re.IGNORECASE,
)
"""Beside a time: it may be how long the whole dish takes."""


def _fits_of(figure: Figure, at: Placement, after: str, near: Near) -> bool | None:
    """Whether the step has this time; None where it does, and a side is spoken of (*two minutes a side* is half of what it takes),
    or only the end of a range touches it."""
    step = at.step
    if not A_SIDE.match(f" {after}"):
        loosely = _only_touches(figure, step) or _is_of_the_hands(figure, step) or _only_keeps(figure, step)
        return _fits_step(figure, step) and (None if loosely else True)
    if of_sides := step.reading.times_a_side_ms:
        return _fits(figure, of_sides)
    if _fits(figure, [*(ms // 2 for ms in (step.hands_ms, step.wait_ms) if ms), *map(int, step.reading.times_ms)]):
        return True
    sides = (p.step for p in near.all if p.dish is at.dish and abs(p.step.number - step.number) <= 1)
    turned = any(_TURNED & set(one.reading.words) for one in sides)
    return _fits_step(figure, step) and (True if turned else None)


_TURNED = frozenset({"turn", "flip", "side", "over"})
"""In the words of a step or of the one beside it: each side is a step of its own."""


def _only_touches(figure: Figure, step: Step) -> bool:
    """*Two to four hours*, where the words of the step have one to two, and its wait is between them; *ten to twenty minutes* of ten, and
    *thirty to sixty seconds* of what may take fifteen to thirty."""
    own = [int(ms) for ms in (step.wait_ms, step.wait_at_most_ms) if ms]
    if not own or not figure.is_range or figure.bound:
        return False
    within = [ms for ms in (*own, step.length_ms) if figure.low < ms <= figure.high]
    if len(own) == 2 and own[0] < own[1]:  # a range of its own: more than an end must be common
        return figure.high <= own[0] or own[1] <= figure.low
    return not within and (not _fits(figure, own) or figure.high >= _TWICE * figure.low)


def _is_of_the_hands(figure: Figure, step: Step) -> bool:
    """Whether only the minutes of the hands are said, of a step that waits much longer, or both together: its own time is another."""
    wait, hands = step.wait_ms or 0, step.hands_ms or 0
    own = [int(ms) for ms in (wait, step.wait_at_most_ms, *step.reading.times_ms) if ms]
    return not figure.bound and wait >= 2 * hands and not _fits(figure, own)


def _only_keeps(figure: Figure, step: Step) -> bool:
    """*At least half an hour* of an hour: nothing against it, and no word for it."""
    own = (step.hands_ms, step.wait_ms, step.length_ms, step.wait_at_most_ms, *step.reading.times_ms)
    return bool(figure.bound) and not _fits(replace(figure, bound=""), [int(ms) for ms in own if ms])


def _may_be_its_own(one: _Spoken) -> bool:
    """Whether the time can be meant as the step's own: no turn of the hand in it, and no part of it."""
    figure, step = one.figure, one.at.step
    beside = {*words_in(one.before)[-2:], *words_in(one.after)[:1]}
    parts = _PART_OF_IT & beside - (_OF_A_BOUND if figure.bound else set())
    return figure.high >= _LEAST_PART * (step.wait_ms or 0) and (not parts or figure.low > step.length_ms)


def _is_surely(one: _Spoken, *, told: bool) -> bool:
    """Whether it is sure enough that the time is of the step, and that it is told to others. Hands time is told to nobody: of it only what
    is much too long; of a wait what is not out of all measure. ``told``: the step's own time is said elsewhere."""
    figure, step = one.figure, one.at.step
    if one.strange and one.sure < _VERY_SURE:
        return False
    if not step.wait_ms:
        said = beginnings([*words_in(one.before), *words_in(one.after)])
        of_it = bool(said & beginnings([step.reading.method, *step.reading.words[:1]]))
        enough = _OF_IT_SURELY if of_it else _HANDS_SURELY
        return (
            one.sure >= enough and not told and bool(step.hands_ms) and figure.low > _HANDS_MORE * (step.hands_ms or 0)
        )
    if told or not _is_in_measure(one):
        return one.sure >= _VERY_SURE
    return one.sure >= SURELY or _is_of_none(one)


def _is_of_none(one: _Spoken) -> bool:
    """Whether it is surely of a step, and whichever of the likely ones is meant, it is not that one's time."""
    return one.nobody <= _OF_SOME_STEP and not any(_fits_step(one.figure, p.step) for p in one.others)


def _is_in_measure(one: _Spoken) -> bool:
    """Whether it may be a wait of the step, said wrongly."""
    wait = one.at.step.wait_ms or 0
    return wait > 0 and wait / _FAR_OFF <= one.figure.high and one.figure.low <= wait * _FAR_OFF


def _fits_step(figure: Figure, step: Step) -> bool:
    """*At most* is of what the food takes, not of the hands time that is shorter in any case."""
    if figure.bound:
        takes = step.wait_ms or step.hands_ms or 0
        return 0 < takes <= figure.high if figure.bound == "most" else takes >= figure.low
    own = (step.hands_ms, step.wait_ms, step.length_ms, step.wait_at_most_ms, *step.reading.times_ms)
    return _fits(figure, [int(ms) for ms in own if ms])


def _promised_times(source: Dish | Meal) -> set[int]:
    """The times that the recipe has in its own words for the camera."""
    dishes = dishes_of_the_day(source)
    of_dishes = [text for dish in dishes for text in (dish.promise, dish.goodbye, *(s.say for s in dish.steps))]
    return _in_words(*of_dishes, source.promise, source.goodbye)


def _known_times(one: _Spoken) -> set[int]:
    """The times in the words of the steps that may be meant, and for how long each may stand."""
    steps = [p.step for p in (one.at, *one.others)]
    return {int(ms) for step in steps for ms in (step.wait_at_most_ms, *step.reading.times_ms) if ms}


def _whole_times(source: Dish | Meal) -> set[int]:
    """How long its dishes take in all."""
    return {sum(s.length_ms for s in dish.steps) for dish in dishes_of_the_day(source)}


def _in_words(*texts: str) -> set[int]:
    return {int(ms) for text in texts for f in figures_in(text) if f.unit == MS for ms in (f.low, f.high)}


def _fits(figure: Figure, known: Iterable[int]) -> bool:
    """Whether it is one of these times, about as exactly as it is said."""
    room = ABOUT_TIME if figure.about and not figure.bound else 0.0
    return any(
        float(figure.low) * (1 - room) <= ms <= float(figure.high) * (1 + room)
        or min(abs(ms - figure.low), abs(ms - figure.high)) <= min(figure.grain / 2, figure.high * _ROUNDED)
        for ms in known
    )


def doing(step: Step) -> set[str]:
    """How the words begin that tell what is done, without those of the food and the vessel."""
    named = {w for a in step.additions for w in words_of(a.ingredient.name)}
    named |= {w for i in step.uses for w in words_of(i.name)} | set(words_of(step.reading.written_vessel))
    return beginnings(w for w in [*step.reading.words, step.reading.method] if not set(words_of(w)) & named)


def beginnings(words: Iterable[str]) -> set[str]:
    """The first four letters of each telling word: *soft* of *soften*, *simm* of *simmering*."""
    return {w[:4] for w in words if len(w) >= 4 and w not in _PLAIN_VERBS}


def _time(talk: Talk, figure: Figure, at: Placement, agrees: bool | None) -> Claim:
    step = at.step
    times = [
        f"{format_duration(ms)} {word}"
        for ms, word in ((step.wait_ms, "of wait"), (step.hands_ms, "of hands time"))
        if ms
    ]
    due = step.wait_ms or step.hands_ms or 0
    over = float(figure.low) - due if figure.low > due else float(figure.high) - due
    return claimed(
        TIME, talk, figure, f"step {step.number} ({step.id})", agrees,
        recipe=f"the step has {' and '.join(times)}",
        off=f"{format_duration(round(abs(over)))} too {'long' if over > 0 else 'short'}",
        dish=at.dish, step=step,
    )  # fmt: skip
