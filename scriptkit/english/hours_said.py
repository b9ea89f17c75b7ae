"""For how long a sentence lets something go on: *for 90 minutes*, *overnight*, *from lunch till supper*, *before you go to bed*."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator

from scriptkit.english.negation import affirmed, is_forbidden
from scriptkit.measure.figures import MS, figures_in
from scriptkit.patterns import LazyPattern

HOUR_MS = 3_600_000
LEAST_OF_WEEKS_H = 72.0
_UNTIL = r"(?:until|till?|'til)"
_WHO = r"(?:you|we|i|they|he|she|everyone|everybody|the \w+)"
_IS = r"(?:['’](?:re|m|s)| are| am| is| were| was)?"
_VAGUE_H = (
    (LEAST_OF_WEEKS_H, rf"for days|several days|(?:a )?fortnight|weeks?\b(?! old)|months?\b(?!-old| old)|(?:a|the|this|one) (?:whole )?year|all year|{_UNTIL} (?:christmas|winter|spring|summer|autumn|next (?:week|month|year|season|summer))|(?:for|through) (?:the )?(?:winter|summer|year)"),
    (24.0, rf"(?:a )?(?:few|couple of) (?:days|nights)|(?:over|for|through) the weekend|day after day|{_UNTIL} the (?:end of the )?weekend"),
    (10.0, rf"over ?night|{_UNTIL} (?:after )?(?:the )?(?:tomorrow|morning|next (?:day|morning)|following (?:day|morning)|breakfast|dawn|sunrise|daylight)|{_UNTIL} (?:the )?day after|(?:the )?(?:night|evening|day) before|by (?:the )?morning|come morning|(?:spends?|for|all) the night|the night (?:in|on|out)|(?:next|following) (?:day|morning|evening|afternoon|night)|what(?:ever)? is (?:left|not eaten|over)\b[^.]{{0,60}}\b(?:breakfast|tomorrow)|all night|(?:through|during|over) (?:the|(?:\w+day)) night|from (?:evening|night) (?:to|{_UNTIL}) morning|tomorrow(?:['’]s)?|(?:go|goes|going|went|off) (?:up )?to bed|last thing at night|(?<!a )bed\b(?! of)[^.]{{0,60}}\b(?:breakfast|morning|dawn|sunrise)|sleep on it|(?:while|when|as) {_WHO}{_IS} (?:sleep|asleep|sleeping)|{_UNTIL} {_WHO}{_IS} (?:get|gets|wake|wakes) up|by the time {_WHO}{_IS} (?:come|comes) down"),
    (8.0, rf"all day|day long|the (?:whole|entire) day|most of the day|from morning (?:to|{_UNTIL})|morning to night|the working day|(?:while|when) {_WHO}{_IS} (?:(?:at|off to|out at) (?:work|school)|out|away|out for the day)|{_UNTIL} {_WHO}{_IS} (?:get|gets|come|comes|back|home)|(?:back|home) from (?:work|school|the office)|go(?:es)? (?:off )?to work"),
    (3.0, r"(?:while|as long as) the (?:match|game|film|play|concert|service|ceremony|race|fair|show) (?:is on|lasts|goes on|runs)"),
    (5.0, rf"(?:rest|remainder) of the (?:day|afternoon|evening|morning)|all (?:afternoon|morning|evening)|(?:over|for|through|throughout|during) the (?:whole )?(?:afternoon|morning|evening|party|wedding|match|fête|fete|fair)|an? (?:whole |entire )(?:afternoon|morning|evening)|as long as the party|(?:{_UNTIL}|(?<!open )(?<!cut )for|ready for|after) (?:the )?(?:evening|fireworks|speeches|match|game|film|wedding|picnic|concert|supper|dinner|bedtime|nightfall|dusk|dark|sundown|party|guests (?:come|arrive|leave))|on the (?:bus|train|drive|walk|way) (?:back )?home|home ?time|after school|for hours|hours on end|several hours|(?:a )?(?:good )?(?:few|couple of|many) hours|half (?:a|the) day"),
)  # fmt: skip
_VAGUE = tuple((hours, LazyPattern(rf"\b(?:{words})\b", re.IGNORECASE)) for hours, words in _VAGUE_H)
_UNIT_H = {"day": 24.0, "night": 24.0, "week": 168.0, "fortnight": 336.0, "month": 720.0}
_DAYS = LazyPattern(
    r"\b(?P<n>\d+|a|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fourteen|fifteen|twenty|thirty|forty)(?: more| whole| full| long)? (?P<unit>days?|nights?|weeks?|fortnights?|months?)\b(?![ -]old)",
    re.IGNORECASE,
)
_MEALS = {
    "first thing": 8, "breakfast": 8, "morning": 8, "work": 8, "school": 8, "elevenses": 11, "noon": 12, "midday": 12, "lunch": 13, "lunchtime": 13,
    "afternoon": 15, "tea": 17, "teatime": 17, "evening": 18, "dinner": 19, "supper": 19, "dusk": 20, "nightfall": 20, "sundown": 20, "night": 22, "bedtime": 22,
    "midnight": 24,
}  # fmt: skip
"""About when they are, on a clock of 24 hours (common practice, no source)."""
_MEAL = "|".join(sorted(_MEALS, key=len, reverse=True))
_BETWEEN_MEALS = LazyPattern(
    rf"\b(?:from|since|after|at|in|before|this|leave for|leaving for|off to|go to) (?:the )?(?P<begin>{_MEAL})\b[^.]{{0,80}}?\b(?:to|until|till|for|by|at) (?:the )?(?:(?:middle|end|heart) of (?:the )?|(?:late|early|mid)[ -]?(?:in the )?)?(?P<end>{_MEAL})\b",
    re.IGNORECASE,
)
_WEEKDAY = LazyPattern(r"\b(?:mon|tues|wednes|thurs|fri|satur|sun)day\b(?!['’]s)", re.IGNORECASE)
_TO_ANOTHER_DAY_H = 12.0
"""From one day of the week to another, at least (common practice, no source)."""
_COUNT = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fourteen": 14, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40}  # fmt: skip


_HOUR = r"(?:\d{1,2}[:.]\d{2}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|noon|midday|midnight|\d{1,2} ?(?:am|pm|o['’]clock))"
_CLOCKS = LazyPattern(
    rf"(?:\b(?:at|from) |(?<=\s)(?=\d\d[:.]\d\d))(?P<begin>{_HOUR})\b[^.]{{0,70}}\b(?:at|until|till|to) (?P<end>{_HOUR})\b",
    re.IGNORECASE,
)
_AT_CLOCK = {
    w: n
    for n, w in enumerate(
        ["noon", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    )
} | {"midday": 12, "midnight": 12}


def _between_clocks(told: str) -> Iterator[float]:
    """*At ten … at four*: six hours, as a clock of twelve hours counts them."""
    for found in _CLOCKS.finditer(told):
        begin, end = (_clock(found[name]) for name in ("begin", "end"))
        yield float((end - begin) % 12)


_MEAL_TO_CLOCK = LazyPattern(
    rf"\b(?:from|since|after|at|in) (?:the )?(?P<begin>{_MEAL})\b[^.]{{0,90}}?\b(?:until|till|by|at) (?P<end>{_HOUR})\b",
    re.IGNORECASE,
)


def _meal_to_clock(told: str) -> Iterator[float]:
    """*At teatime … at nine*: to the next hour of that name."""
    for found in _MEAL_TO_CLOCK.finditer(told):
        yield float((_clock(found["end"]) - _MEALS[found["begin"].casefold()]) % 12)


def _clock(words: str) -> int:
    figures = re.match(r"\d+", words)
    return int(figures[0]) if figures else _AT_CLOCK[words.casefold()]


_LEFT_ALONE = LazyPattern(
    r"\b(?:not|n['’]t|never) (?:even )?(?:look|touch|open|disturb|stir|move|lift|peek|think|come|go|bother|worry|give it)\b[^.;]*$",
    re.IGNORECASE,
)
"""*Do not touch it until tomorrow* leaves it where it is."""


def _allowed(told: str, sentence: str, pattern: LazyPattern) -> bool:
    """Whether the words stand there and belong to no prohibition: *do not leave it overnight*."""
    found = pattern.search(told)
    if found is None:
        return False
    return not is_forbidden(sentence, found.start()) or _LEFT_ALONE.search(sentence[: found.start()]) is not None


_DAY_BEFORE = LazyPattern(
    r"^\W*(?:(?:on |by |in )?(?:the )?(?:(?:next|following) (?:day|morning|afternoon|evening|night|week)|day after|morning)|tomorrow(?: (?:morning|evening|night))?|come morning|(?:a|an|one|two|three|\d+) (?:days?|nights?|weeks?) (?:later|on)|after (?:its|their|that|the) (?:night|day|days|rest))\b,?",
    re.IGNORECASE,
)


def less_the_day_before(sentence: str) -> str:
    """The sentence less the words at its beginning that tell how long what was done before it went on.

    >>> less_the_day_before("Next day, warm the eggs."), less_the_day_before("Leave it until the next day.")
    (' warm the eggs.', 'Leave it until the next day.')
    """
    return _DAY_BEFORE.sub("", sentence)


_HOW_OFTEN = LazyPattern(
    r"\b(?:once|twice|times|dozen|portions?|helpings?|servings?|glass(?:es)?|each|every|per) (?:a |an |per |every |each )?"
    r"(?:day|night|week|fortnight|month|year)s?\b|\bearly (?:days|weeks|months)\b|\b(?:at|from|aged) (?:\w+ (?:to|or) )?\w+ months\b",
    re.IGNORECASE,
)
"""*Once a week*, *two dozen a week*, *at seven months*: how often, and how old, not how long."""


@functools.lru_cache(maxsize=4096)
def hours_said(sentence: str) -> float | None:
    """The longest time that the sentence lets something go on, in hours; of vague words such as *overnight* the least that they mean
    (common practice, no source); None where it says nothing.

    >>> hours_said("Leave it out overnight."), hours_said("Fry it for 6 minutes."), hours_said("Stir it.")
    (10.0, 0.1, None)
    >>> hours_said("Set it out at ten and clear it at four."), hours_said("It sits there from lunch till supper.")
    (6.0, 6.0)
    """
    told = _HOW_OFTEN.sub("", affirmed(sentence))
    found = [hours for hours, pattern in _VAGUE if _allowed(told, sentence, pattern)]
    found += [clock for clock in (*_between_clocks(told), *_meal_to_clock(told)) if clock]
    found += [
        float((_MEALS[m["end"].casefold()] - _MEALS[m["begin"].casefold()]) % 24) for m in _BETWEEN_MEALS.finditer(told)
    ]
    if len({day.group().casefold() for day in _WEEKDAY.finditer(told)}) > 1:
        found.append(_TO_ANOTHER_DAY_H)
    found += [
        _UNIT_H[d["unit"].casefold().rstrip("s")] * int(_COUNT.get(d["n"].casefold(), d["n"]))
        for d in _DAYS.finditer(told)
    ]
    if any(c.isdigit() for c in told) or re.search(r"hour|minute", told, re.IGNORECASE):
        found += [float(f.high) / HOUR_MS for f in figures_in(told) if f.unit == MS and not f.idle]
    return max(found, default=None)
