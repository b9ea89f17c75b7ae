"""Whose the times of a sentence are: the food's, while the cook may turn away, or the cook's, who is kept by them.

*Simmer for 20 minutes, stirring now and then* leaves the cook free; *stir constantly for 20 minutes* does not.
"""

from __future__ import annotations

import bisect
import functools
import re

from scriptkit.english.negation import affirmed
from scriptkit.english.time_words import A_SIDE
from scriptkit.measure.figures import MS, figures_in
from scriptkit.patterns import LazyPattern

_I = re.IGNORECASE
_NOT_ITS_TIME = LazyPattern(
    r"\b(?:every|each|within|after|up to|under|than|in the (?:first|next)|by|ago)\s+(?:the )?(?:(?:about|another|other)\s+)?$",
    _I,
)
_OF_THE_STEP_BEFORE = LazyPattern(r"\b(?:last|final|first|remaining)\s+(?:\w+\s+)?$", _I)
_BEFORE_THE_END = LazyPattern(
    r"^\s*(?:before the end|from the end|before (?:it|they|the \w+) (?:is|are) (?:done|ready|cooked))\b", _I
)
_SENTENCE = LazyPattern(r"[.;]|(?<!now and )\bthen\b", _I)
_SELDOM = r"(?: \w+)?(?: (?:it|them|the \w+))?,? (?:now and (?:then|again)|once|twice|occasionally|from time to time|at times|every|half ?way|if|a couple|a few times|only|when)"
_AT_IT = LazyPattern(
    rf"\b(?:stirring|whisking|shaking|tossing|turning|beating|folding|swirling|scraping|moving|basting|skimming)\b(?!{_SELDOM})|"
    r"\b(?:stir(?: \w+){0,3}|whisk(?: \w+){0,3}) (?:constantly|continuously|all the time|without stopping|the whole time)|\bin (?:\w+ )?batches\b|\bkeep stirring\b",
    _I,
)
"""What keeps the cook for as long as it lasts; *stirring now and then* does not."""
_LEAVE_IT = LazyPattern(
    r"\bwithout (?:moving|stirring|touching|turning|lifting|disturbing)\b|\b(?:unattended|undisturbed)\b", _I
)
_OF_HANDS = LazyPattern(
    r"(?:^|[,;:]|\b(?:and|then|or|to)\b)\s*(?:(?:gently|slowly|quickly|briskly|vigorously|well|lightly|now|meanwhile),? )?"
    r"(?:stir|whisk|knead|beat|grind|mash|pound|rub|massage|blend|blitz|whizz|process|pulse|cream|whip|stir-fry|flash-fry|toss|churn|sear|shake|scrub|work|pur[ée]e|fold|roll)\b"
    r"(?![^.;]{0,40}\b(?:leave|rest|stand|sit|simmer|bake|roast|chill|rise|prove|soak)\b)",
    _I,
)
_FRIED = LazyPattern(r"\b(?:warm|cook|fry|saut[ée]|sear|griddle|grill|brown|toast|char)\b", _I)
_UNDER_THE_GRILL = LazyPattern(r"\b(?:grill(?:ed|ing)?|broil(?:er|ed)?)\b", _I)
_ON_THE_HEAT = LazyPattern(r"\b(?:dunk|dip|plunge|blanch|cook|fry|saut[ée]|toast|heat|sizzle|toss|sear)\b", _I)
_NEAR = 240
"""Characters of a sentence that tell of a time in it, on either side: so that a text of any length takes its length in time."""
_WATCHED_MS, _TOO_SHORT_MS = 6 * 60_000, 90_000
"""Under a grill, and in a pan: so long nobody turns away (common practice, no source)."""


@functools.lru_cache(maxsize=4096)
def step_times(text: str) -> tuple[int, int]:
    """Milliseconds that the food takes by itself, and those that keep the cook: of a range the shorter, twice what is said of a side.
    A time of the step before (*for the last 3 minutes*) counts where no other is said.

    >>> step_times("Bake for 35 to 40 minutes."), step_times("Whisk for 5 minutes."), step_times("Fry for 3 minutes a side.")
    ((2100000, 0), (0, 300000), (0, 360000))
    >>> step_times("Simmer for 20 minutes, stirring now and then."), step_times("Simmer for 20 minutes, stirring.")
    ((1200000, 0), (0, 1200000))
    """
    if not any(c.isalnum() for c in text):
        return 0, 0
    told = affirmed(text)
    own = tended = 0
    ends = [0, *(m.end() for m in _SENTENCE.finditer(told))]
    starts = [*(m.start() for m in _SENTENCE.finditer(told)), len(told)]
    of_before: list[tuple[int, bool]] = []
    for figure in figures_in(told):
        if figure.unit != MS or figure.idle or figure.of_a_thing:
            continue
        before, after = told[max(figure.start - 60, 0) : figure.start], told[figure.end : figure.end + 60]
        if _NOT_ITS_TIME.search(before):
            continue
        ms = int(figure.low)
        sides = A_SIDE.match(after) is not None
        ms *= 2 if sides else 1
        first = max(ends[bisect.bisect_right(ends, figure.start) - 1], figure.start - _NEAR)
        last = min(starts[min(bisect.bisect_left(starts, figure.end), len(starts) - 1)], figure.end + _NEAR)
        kept = not _LEAVE_IT.search(text[first:last]) and _keeps_the_cook(
            told[first:last], told[first : figure.end], ms, sides
        )
        if _OF_THE_STEP_BEFORE.search(before) or _BEFORE_THE_END.match(after):
            of_before.append((ms, kept))
        elif kept:
            tended += ms
        else:
            own += ms
    if not own and not tended and of_before:
        ms, kept = of_before[0]
        return (0, ms) if kept else (ms, 0)
    return own, tended


def _keeps_the_cook(sentence: str, clause: str, ms: int, sides: bool) -> bool:
    if _AT_IT.search(sentence) or (sides and _FRIED.search(sentence)):
        return True
    *_, verb = _OF_HANDS.finditer(clause) if _OF_HANDS.search(clause) else (None,)
    if verb is not None and "," not in clause[verb.end() :].replace(", about", "").replace(", for", ""):
        return True
    if _UNDER_THE_GRILL.search(sentence):
        return ms <= _WATCHED_MS
    return ms <= _TOO_SHORT_MS and _ON_THE_HEAT.search(sentence) is not None


@functools.lru_cache(maxsize=4096)
def times_in(sentence: str) -> frozenset[int]:
    """Milliseconds of every time in it, of a range both ends."""
    return frozenset(int(ms) for f in figures_in(sentence) if f.unit == MS for ms in (f.low, f.high))


@functools.lru_cache(maxsize=4096)
def times_a_side_in(sentence: str) -> tuple[int, ...]:
    """Those of one side alone: *two minutes a side*."""
    return tuple(
        int(ms)
        for f in figures_in(sentence)
        if f.unit == MS and A_SIDE.match(sentence, f.end)
        for ms in (f.low, f.high)
    )
