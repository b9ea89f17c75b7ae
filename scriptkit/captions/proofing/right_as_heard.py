"""Words that are right as they were heard, whatever they sound like: figures, verbs, qualities, what food is called in general."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Sequence

from scriptkit.captions.proofing.due_terms import place_words, small_talk, verb_stems
from scriptkit.cut.placing.common_words import common
from scriptkit.data_files import text_of
from scriptkit.english.plurals import singular
from scriptkit.english.small_words import small_words
from scriptkit.english.stems import stem
from scriptkit.measure.words import ONES, TENS

_SAID_SHARE, _QUALITY = 0.1, 5
_UNITS = place_words("units")
_LENGTHS = place_words("lengths")
_TIMES = frozenset(
    {
        "s",
        "sec",
        "second",
        "seconds",
        "min",
        "minute",
        "minutes",
        "h",
        "hour",
        "hours",
        "day",
        "days",
        "night",
        "week",
        "weeks",
        "month",
        "months",
        "year",
        "years",
    }
)
_IN_ANY_KITCHEN = place_words("in any kitchen")
_ANY_VERBS = place_words("verbs of anything")
_LINKING = place_words("linking verbs")
_DETERMINERS = place_words("determiners")
_NEVER_AFTER = place_words("never after the")
_OBJECTS, _NEVER_DONE_TO = place_words("objects"), frozenset({"come", "go"})
_BEFORE_NOUNS = _DETERMINERS | small_words("determiners") | place_words("objects")
_NO_THING = "what is done, and is no thing"
_WAS_DONE = "what was done"
_NO_FOODS = (
    "what things are made of, and how they are measured",
    "kin, occasions, clothes, the body",
    "out of doors",
    "about the house and the street",
    "people, beasts, and how they are",
    "when and how",
    _NO_THING,
)
_CONTRACTED = ("'d", "'ll", "'ve", "'re", "n't")
_MORE_UNITS = frozenset({"pint", "pints", "quart", "quarts", "gallon", "gallons", "stone"})
_AGAIN = ("re", "un", "pre", "over", "under")
_LARGE_NUMBERS = frozenset({*ONES[11:], *TENS[2:], "hundred", "thousand"})
"""*Eighteen* is hardly ever a word misheard; *two*, *eight* and *ten* may be, where they count nothing."""
_SMALL_NUMBERS = frozenset(ONES[1:11])


@functools.cache
def _groups() -> dict[str, frozenset[str]]:
    """The words of may_stand.txt by their headings."""
    groups: dict[str, frozenset[str]] = {}
    for block in text_of("scriptkit.captions.proofing", "may_stand.txt").split("\n# "):
        heading, _, words = block.partition("\n")
        groups[heading.partition(" (")[0]] = frozenset(words.split())
    return groups


@functools.cache
def may_stand() -> frozenset[str]:
    """The words of may_stand.txt."""
    return frozenset().union(*_groups().values())


def right_as_heard(words: Sequence[str], first: int, last: int, *, noun: bool) -> bool:
    """Whether the words from ``first`` to before ``last`` are no mishearing, by what they are and what stands around them; ``noun``: where
    a noun is due."""
    window = words[first:last]
    after = words[last] if last < len(words) else ""
    if (
        has_a_figure([*window, after], len(window))
        or _is_a_length(words[max(0, first - 1) : last])
        or any((w.endswith("ness") and len(w) > 6) or w.endswith(_CONTRACTED) or _is_a_number(w) for w in window)
        or (len(window) == 1 and (window[0] in _UNITS or window[0] in _MORE_UNITS))
    ):
        return True
    if (
        len(window) == 2 and is_verb(window[0]) and window[1] in _OBJECTS and window[0] not in _NEVER_DONE_TO
    ):  # *sieve it*
        return True
    if window[0] in _UNITS and [*window, after][1] == "of":  # *a spoonful of flour*
        return True
    if len(window) == 1:
        return window[0] in _IN_ANY_KITCHEN or (noun and _is_no_noun(words, first, after))
    known = is_where(window) or all(w in _IN_ANY_KITCHEN or w in small_talk() for w in window)
    if known and not (window[0] in _NEVER_AFTER and words[max(0, first - 1)] in _DETERMINERS):  # *the shall it*
        return True
    return is_everyday(window[0]) and _as_verb(window[-1], after)  # *one bit of shell spoils a plate*


def _is_no_noun(words: Sequence[str], at: int, after: str) -> bool:
    """Whether a word stands there as a verb or a quality: *drain and rinse*, *stiff and shiny*, *that reminds me*."""
    before = words[at - 1] if at else ""
    if before == "and":
        return stem(words[at]) in verb_stems() or (at > 2 and words[at - 3] in _LINKING)
    return before in {"that", "this", "which", "who"} and _as_verb(words[at], after)


def _as_verb(word: str, after: str) -> bool:
    return word.endswith("s") and not word.endswith("ss") and after in _BEFORE_NOUNS


def is_verb(word: str) -> bool:
    """Whether it is something that is done in a kitchen, or done again: *reheat*, *unmould*."""
    return stem(word) in verb_stems() or any(
        word.startswith(again) and stem(word.removeprefix(again)) in verb_stems() for again in _AGAIN
    )


def is_told(verb: str, thing: str, kitchen: frozenset[str]) -> bool:
    """Whether the two, with a little word between, are what anybody says: *set a timer*, *take a ladle*."""
    if {verb, thing} <= may_stand():
        return True
    return verb in _ANY_VERBS and (thing in kitchen or is_verb(thing))


def is_where(window: Sequence[str]) -> bool:
    """Whether two words say where something is: *flat side down*, *cold on top*; bacon may be heard as *back on*."""
    if len(window) != 2:
        return False
    return (window[1] == "down" and is_everyday(window[0])) or (window[1] == "on" and is_quality(window[0]))


def is_quality(word: str) -> bool:
    """Whether it says how something is: *wide*, *white*, *blunt*."""
    return word in _groups()["how something is"]


def is_made_quality(word: str, kitchen: frozenset[str]) -> bool:
    """Whether it says how something is by a word of the kitchen: *toasty*, *lemony*."""
    return word.endswith("y") and len(word) > _QUALITY and not kitchen.isdisjoint({word[:-1], word[:-2]})


def is_everyday(word: str, before: str = "") -> bool:
    """Whether anybody says it of anything; ``before``: the word before it, after which a verb may be none (*the meant*)."""
    if before in _DETERMINERS and any(word in _groups()[group] for group in (_NO_THING, _WAS_DONE)):
        return False
    forms = {word, base(word), singular(word), *(word.removesuffix(end) for end in ("r", "er", "st", "est", "ly"))}
    return not may_stand().isdisjoint(forms) or word in small_talk() or word == "all"


def is_what_it_does(word: str) -> bool:
    """Whether it may stand after *let it*: what anything does, or how and when; no thing and no quality."""
    groups = ("what is done, of anything", _NO_THING, "when and how", "what more is done, to anything")
    forms = {word, base(word)}
    known = any(not _groups()[group].isdisjoint(forms) for group in groups)
    return known or is_verb(word) or word in small_talk() or word.endswith("ly")


def is_no_food(word: str) -> bool:
    """Whether it is a thing of every day that nobody cooks, or no thing at all: *rubber*, *forgive*."""
    return any(not _groups()[group].isdisjoint({word, singular(word)}) for group in _NO_FOODS)


def is_done_or_said(word: str) -> bool:
    """Whether it is something done, or anybody says it of anything, but no part of what is eaten and no word for how that is."""
    if is_quality(word) or word in _groups()["parts and places"] or word in _IN_ANY_KITCHEN or word.endswith("s"):
        return False
    return (
        is_verb(word)
        or word in _groups()["what is done, of anything"]
        or word in _groups()["more that anybody says of anything"]
    )


def is_no_owed(word: str) -> bool:
    """Whether it may stand after any verb of the kitchen: a word for how something is, a part of it, what any kitchen has."""
    return (
        is_quality(word)
        or base(word) in _groups()["parts and places"]
        or word in _IN_ANY_KITCHEN
        or word in _UNITS
        or word in _TIMES
    )


def is_a_time(word: str) -> bool:
    """Whether it is a unit of time: *minutes*."""
    return word in _TIMES


def is_said(word: str) -> bool:
    """Whether people say it when they cook."""
    return common().get(stem(word), 0.0) >= _SAID_SHARE


def base(word: str) -> str:
    """The word without the s of a plural."""
    return word.removesuffix("s")


def _is_a_length(words: Sequence[str]) -> bool:
    """Whether a unit of length stands in them after its figure: *rings of five millimetres*."""
    return any(
        unit in _LENGTHS and (word in _LARGE_NUMBERS or word in _SMALL_NUMBERS or word.isdigit())
        for word, unit in itertools.pairwise(words)
    )


def _is_a_number(word: str) -> bool:
    """*The hundred and eighty's in the bowl*."""
    return word.endswith("'s") and (word[:-2] in _LARGE_NUMBERS or word[:-2] in _SMALL_NUMBERS)


def has_a_figure(words: Sequence[str], count: int) -> bool:
    """Whether one of the first ``count`` words is a number as it was said: a large one, or one that counts (*nine mils*, *two of*)."""
    after = [*words[1:], ""]
    return any(
        word in _LARGE_NUMBERS
        or ((word in _SMALL_NUMBERS or word.isdigit()) and (unit in _UNITS or unit in _TIMES or unit == "of"))
        for word, unit in zip(words[:count], after, strict=False)
    )
