"""What a sentence says of the things that can hurt: which of the facts of kitchen_facts.yaml it tells, and for how long it lets
something go on. Words choose among facts; what follows from them is no matter of the language."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.data_files import Shape, made_of_entries
from scriptkit.english.negation import affirmed, is_forbidden
from scriptkit.measure.figures import MS, figures_in
from scriptkit.patterns import LazyPattern

HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class KitchenFact:
    """A fact by its ``name``, and the pattern of the words that tell it. ``denied_too``: also where the sentence says that something is
    not done (*without washing the board*)."""

    name: str
    pattern: LazyPattern
    denied_too: bool


@functools.cache
def kitchen_facts() -> dict[str, KitchenFact]:
    """Every fact of the table, by name. Raises BadDataFile."""
    shape = Shape(required=frozenset({"fact", "words"}), optional=frozenset({"denied_too"}))
    return {one.name: one for one in made_of_entries("scriptkit.english", "kitchen_facts.yaml", shape, _fact)}


def _fact(row: dict[str, Any]) -> KitchenFact:
    words = row["words"]
    pattern = "|".join(words) if isinstance(words, list) else words
    re.compile(pattern)
    return KitchenFact(row["fact"], LazyPattern(rf"(?:{pattern})", re.IGNORECASE), bool(row.get("denied_too")))


@functools.lru_cache(maxsize=65_536)
def tells(sentence: str, fact: str) -> bool:
    """Whether the sentence tells the fact, less what it says is not done. Raises KeyError where there is no such fact.

    >>> tells("Lift the lid and lean in.", "opens"), tells("Do not lift the lid.", "opens")
    (True, False)
    """
    known = kitchen_facts()[fact]
    return known.pattern.search(sentence if known.denied_too else affirmed(sentence)) is not None


def last_told(sentence: str, facts: Sequence[str]) -> str:
    """Of several facts the one that the sentence tells last; empty where it tells none. Raises KeyError where there is no such fact.

    >>> last_told("Soak the chips, then pat them dry.", ("wets", "dries")), last_told("Fry them.", ("wets", "dries"))
    ('dries', '')
    """
    told = affirmed(sentence)
    found = [(hit.start(), fact) for fact in facts for hit in kitchen_facts()[fact].pattern.finditer(told)]
    return max(found, default=(0, ""))[1]


_HANDLED_RAW = LazyPattern(r"\b(?:put|lay|place|keep|store|set|return|leave)\w* (?:the |your )?raw\b", re.IGNORECASE)


def less_handled_raw(text: str) -> str:
    """The text less what only handles something raw: *keep the raw fish cold* serves nothing raw.

    >>> less_handled_raw("Put the raw fish in the pan.")
    ' fish in the pan.'
    """
    return _HANDLED_RAW.sub("", text)


_RINSED = LazyPattern(
    r"\b(?:wash|rins)(?:e|es|ed|ing)?\b(?! (?:your|my|both|all|his|her|the) (?:hands|board|knife|knives|sink|boards))(?P<what>[^.;,]{0,30})",
    re.IGNORECASE,
)
_ITSELF = LazyPattern(
    r"^\W*(?:$|(?:off |out |well |over )*(?:under|in|with|inside|and|then)\b)|\b(?:it|them|bird|pieces|meat|cavity|skin)\b",
    re.IGNORECASE,
)


def rinsed(sentence: str) -> tuple[str, ...]:
    """What the sentence rinses, in its words; empty where nothing else is named than what the step is about.

    >>> rinsed("Rinse the rice, then wash it."), rinsed("Rinse the chicken."), rinsed("Do not rinse it.")
    ((' the rice', ''), (' the chicken',), ())
    """
    found = (one["what"] for one in _RINSED.finditer(affirmed(sentence)))
    return tuple("" if _ITSELF.search(what) else what for what in found)


LEAST_OF_WEEKS_H = 72.0
_VAGUE_H = (
    (LEAST_OF_WEEKS_H, r"for days|several days|(?:a )?fortnight|weeks?\b(?! old)|months?\b(?!-old| old)|(?:a|the|this|one) (?:whole )?year|until (?:christmas|winter|spring|summer|autumn|next (?:week|month|year))|for (?:the )?winter"),
    (10.0, r"over ?night|until (?:the )?(?:tomorrow|morning|next (?:day|morning))|till (?:the )?(?:tomorrow|morning|next (?:day|morning))|(?:until|till) (?:the )?day after|(?:the )?(?:night|evening|day) before|by (?:the )?morning|come morning|(?:spends?|for|all) the night|the night (?:in|on|out)|(?:next|following) (?:day|morning)|all night|through the night|from (?:evening|night) (?:to|till|until) morning|tomorrow"),
    (8.0, r"all day|the (?:whole|entire) day|from morning (?:until|till|to)|while you(?:'re| are) (?:at work|out)|(?:until|till) (?:you|we|i|they)(?:['’]re| are)? (?:get|come|back|home)|back from (?:work|school)"),
    (5.0, r"all (?:afternoon|morning|evening)|(?:over|for|through) the (?:whole )?(?:afternoon|morning|evening)|(?:until|till|for|ready for|after) (?:the )?(?:evening|fireworks|speeches|match|game|film|wedding|picnic|concert|supper|dinner|bedtime|nightfall|dusk|dark|sundown|party|guests (?:come|arrive|leave))|for hours|several hours|(?:a )?(?:few|couple of) hours|half a day"),
)  # fmt: skip
_VAGUE = tuple((hours, LazyPattern(rf"\b(?:{words})\b", re.IGNORECASE)) for hours, words in _VAGUE_H)
_UNIT_H = {"day": 24.0, "night": 24.0, "week": 168.0, "fortnight": 336.0, "month": 720.0}
_DAYS = LazyPattern(
    r"\b(?P<n>\d+|a|one|two|three|four|five|six|seven|ten|twelve)(?: more)? (?P<unit>days?|nights?|weeks?|fortnights?|months?)\b(?![ -]old)",
    re.IGNORECASE,
)
_MEALS = {
    "breakfast": 8,
    "elevenses": 11,
    "lunch": 13,
    "lunchtime": 13,
    "tea": 17,
    "teatime": 17,
    "dinner": 19,
    "supper": 19,
    "bedtime": 22,
}
"""About when they are, on a clock of 24 hours (common practice, no source)."""
_MEAL = "|".join(_MEALS)
_BETWEEN_MEALS = LazyPattern(
    rf"\b(?:from|since|after) (?:the )?(?P<begin>{_MEAL})\b[^.;]{{0,60}}\b(?:to|until|till|for|by) (?:the )?(?P<end>{_MEAL})\b",
    re.IGNORECASE,
)
_WEEKDAY = LazyPattern(r"\b(?:mon|tues|wednes|thurs|fri|satur|sun)day\b", re.IGNORECASE)
_TO_ANOTHER_DAY_H = 12.0
"""From one day of the week to another, at least (common practice, no source)."""
_COUNT = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "ten": 10, "twelve": 12}


_HOUR = r"(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|noon|midday|midnight|\d{1,2} ?(?:am|pm|o['’]clock))"
_CLOCKS = LazyPattern(
    rf"\b(?:at|from) (?P<begin>{_HOUR})\b[^.;]{{0,40}}\b(?:at|until|till|to) (?P<end>{_HOUR})\b", re.IGNORECASE
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


def _clock(words: str) -> int:
    figures = re.match(r"\d+", words)
    return int(figures[0]) if figures else _AT_CLOCK[words.casefold()]


def _allowed(told: str, sentence: str, pattern: LazyPattern) -> bool:
    """Whether the words stand there and belong to no prohibition: *do not leave it overnight*."""
    found = pattern.search(told)
    return found is not None and not is_forbidden(sentence, found.start())


@functools.lru_cache(maxsize=4096)
def hours_said(sentence: str) -> float | None:
    """The longest time that the sentence lets something go on, in hours; of vague words such as *overnight* the least that they mean
    (common practice, no source); None where it says nothing.

    >>> hours_said("Leave it out overnight."), hours_said("Fry it for 6 minutes."), hours_said("Stir it.")
    (10.0, 0.1, None)
    >>> hours_said("Set it out at ten and clear it at four."), hours_said("It sits there from lunch till supper.")
    (6.0, 6.0)
    """
    told = affirmed(sentence)
    found = [hours for hours, pattern in _VAGUE if _allowed(told, sentence, pattern)]
    found += [clock for clock in _between_clocks(told) if clock]
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
