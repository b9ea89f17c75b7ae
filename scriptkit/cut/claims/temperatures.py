"""Temperatures that are spoken of, held against the oven and the core that the steps have, and against what their cautions tell."""

from __future__ import annotations

import functools
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scriptkit.cut.claims.claim import TEMPERATURE, Claim, Near, claimed
from scriptkit.cut.placement import Placement
from scriptkit.cut.transcript.running_text import Talk, words_in
from scriptkit.measure.figures import CELSIUS, DEGREE, FAHRENHEIT, Figure, figures_in
from scriptkit.measure.temperatures import fahrenheit_to_celsius, format_temperature
from scriptkit.recipe.dish import Step

if TYPE_CHECKING:
    from scriptkit.safety.rule_matching import Caution

_NOT_THE_FOOD = frozenset(
    [
        "fridge",
        "freezer",
        "room",
        "turn",
        "turned",
        "rotate",
        "angle",
        "outside",
        "corner",
        "kitchen",
        "refrigerator",
        "weather",
    ]
)
_KEPT = frozenset(["reheat", "reheated", "leftovers", "leftover", "keep", "keeps", "kept", "store", "cool", "chill"])
"""Words of what is not eaten at once."""
_OVEN_FROM_C = 110.0
"""Above this the oven is meant, below it the food (common practice, no source)."""
_OVEN_ROOM_C, _CORE_ROOM_C = 6.0, 1.3
"""Dials are set to tens of °C or quarters of a hundred °F, a probe reads whole degrees of either scale
(common practice, no source)."""
_OVEN_WORDS = frozenset({"oven", "preheat", "preheated", "bake", "baked", "baking", "roast", "roasting", "fryer"})
_INSIDE = frozenset({"inside", "internal", "thermometer", "probe", "temperature"})
_BARE_CORE = (45, 212)
"""A figure without a unit beside the word for a temperature inside, from rare meat in °C to boiling in °F (common practice,
no source)."""
_ANOTHER_WAY = frozenset(
    {"home", "can", "could", "if", "instead", "otherwise", "alternatively", "normally", "restaurant"}
)
_TWO_WAYS = 150
"""Characters between two temperatures, of which one may be of another way to do it."""
_WAYS_WITHIN = 3000
"""Characters, about three minutes of talk, within which both ways are told."""
_QUARTERS = frozenset({25, 50, 75})
_BARE_OVEN = (100, 600)
"""A figure without a unit beside an oven's word is degrees, from the coolest in °C to the hottest in °F
(common practice, no source)."""


def temperature_claims(
    talk: Talk, figures: Sequence[Figure], near: Near, cautions: Callable[[], Sequence[Caution]]
) -> Iterator[Claim]:
    """A temperature above 110 °C is held against the oven, one below against the food; one that a caution tells agrees. Where the one
    of two ways to do it is right, the other is to be listened to."""
    found = list(_each_alone(talk, figures, near, cautions))
    right = [(f, c) for f, c in found if c.agrees]
    starts = [f.start for f, _ in right]
    for figure, claim in found:
        if claim.agrees is False:
            first = bisect_left(starts, figure.start - _WAYS_WITHIN)
            last = bisect_right(starts, figure.start + _WAYS_WITHIN)
            if any(c.step is claim.step and _of_two_ways(talk, figure, f) for f, c in right[first:last]):
                yield replace(claim, agrees=None)
                continue
        yield claim


def _of_two_ways(talk: Talk, one: Figure, other: Figure) -> bool:
    """Whether they are of two ways to do it: *at four hundred and fifty, and at home you can bake it at two hundred*."""
    first, second = sorted((one, other), key=lambda f: f.start)
    return bool(_ANOTHER_WAY & set(words_in(talk.text[first.end : min(second.start, first.end + _TWO_WAYS)])))


def _each_alone(
    talk: Talk, figures: Sequence[Figure], near: Near, cautions: Callable[[], Sequence[Caution]]
) -> Iterator[tuple[Figure, Claim]]:
    by_step = {p.step.place: _temperatures_of(p.step) for p in near.all}
    for one in figures:
        figure, unit = one, one.unit
        before, after = talk.sentence(figure.start, figure.end, words=6)
        words = {*words_in(before), *words_in(after)}
        of_oven = bool(words & _OVEN_WORDS)
        if not unit and (told := _bare_degrees(figure, words, words_in(before)[-1:])) is not None:
            figure, unit = told, DEGREE
        if unit not in (DEGREE, CELSIUS, FAHRENHEIT) or words & _NOT_THE_FOOD:
            continue
        readings = _readings(figure, unit)
        where = [p for p in near.by_distance(talk.ms_at(figure.start)) if by_step[p.step.place]]
        known = [(p, c) for p in where for c in by_step[p.step.place] if c >= _OVEN_FROM_C or not of_oven]
        claim = _temperature(talk, figure, readings, known)
        if claim is None or (
            claim.agrees is False
            and _agree(readings, _in_cautions(cautions(), near.around(talk.ms_at(figure.start)), words))
        ):
            continue
        yield figure, claim


def _bare_degrees(figure: Figure, words: set[str], before: Sequence[str]) -> Figure | None:
    """*Three fifty* beside an oven, *one sixty inside*; *for twenty-five*, as recognisers write four twenty-five."""
    if words & _OVEN_WORDS:
        if before == ["for"] and figure.low in _QUARTERS:
            return replace(figure, low=figure.low + 400, high=figure.high + 400)
        if _BARE_OVEN[0] <= figure.low <= figure.high <= _BARE_OVEN[1]:
            return figure
    return figure if words & _INSIDE and _BARE_CORE[0] <= figure.low <= figure.high <= _BARE_CORE[1] else None


def _readings(figure: Figure, unit: str) -> list[tuple[float, float]]:
    """From and to in °C; of degrees without a scale, both that may be meant."""
    ends = float(figure.low), float(figure.high)
    celsius = [ends] if unit in (DEGREE, CELSIUS) else []
    return celsius + ([(fahrenheit_to_celsius(ends[0]), fahrenheit_to_celsius(ends[1]))] if unit != CELSIUS else [])


def _temperatures_of(step: Step) -> list[float]:
    return list(dict.fromkeys(c for t in step.reading.temperatures for c in (t.low_c, t.high_c)))


def _in_cautions(cautions: Sequence[Caution], around: Sequence[Placement], words: set[str]) -> list[float]:
    """Temperatures that the cautions of the steps about the moment tell, which may well be said; where leftovers are spoken
    of, also those of keeping and reheating."""
    steps = {p.step.place for p in around}
    kept = bool(words & _KEPT)
    meant = [c for c in cautions if (kept if c.step is None else c.step.place in steps)]
    texts = [f"{c.spoken}. {c.printed}. {' '.join(c.overlay)}" for c in meant]
    figures = [f for text in texts for f in figures_in(text) if f.unit in (DEGREE, CELSIUS, FAHRENHEIT)]
    return [celsius for f in figures for reading in _readings(f, f.unit) for celsius in reading]


def _agree(readings: Sequence[tuple[float, float]], known: Iterable[float]) -> bool:
    return any(low - _room(c) <= c <= high + _room(c) for low, high in readings for c in known)


def _room(celsius: float) -> float:
    return _OVEN_ROOM_C if celsius >= _OVEN_FROM_C else _CORE_ROOM_C


def _temperature(
    talk: Talk, figure: Figure, readings: Sequence[tuple[float, float]], known: Sequence[tuple[Placement, float]]
) -> Claim | None:
    """Agreeing with any that the recipe has; else off from the nearest step's of its kind. None where it has none."""

    def claim(at: Placement, celsius: float, agrees: bool, off: str = "") -> Claim:
        what = "oven" if celsius >= _OVEN_FROM_C else "core"
        return claimed(
            TEMPERATURE, talk, figure, f"the {what} at step {at.step.number} ({at.step.id})", agrees,
            recipe=f"the recipe has {format_temperature(celsius)}", off=off, dish=at.dish, step=at.step,
        )  # fmt: skip

    for at, celsius in known:
        if _agree(readings, [celsius]):
            return claim(at, celsius, True)
    for at, celsius in known:
        kinds = [r for r in readings if (r[0] >= _OVEN_FROM_C) == (celsius >= _OVEN_FROM_C)]
        if kinds:
            low, high = min(kinds, key=functools.partial(_distance, celsius))
            off = low - celsius if low > celsius else high - celsius
            return claim(at, celsius, False, f"{abs(off):.0f} °C too {'hot' if off > 0 else 'cold'}")
    return None


def _distance(celsius: float, reading: tuple[float, float]) -> float:
    return min(abs(reading[0] - celsius), abs(reading[1] - celsius))
