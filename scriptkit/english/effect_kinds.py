"""What can be said to become of an ingredient, and the words of stories and of others, whose cooking is not this one."""

from __future__ import annotations

import functools
from typing import NamedTuple

from scriptkit.patterns import SoughtPattern

LEFT_OUT, LATER, INSTEAD, MORE, LESS = "left out", "later", "instead", "more", "less"
UNFILMED, GOES_IN, GOES_IN_NOW = "unfilmed", "goes in", "goes in now"
OTHERS = frozenset(
    """
    you people some most many everyone everybody somebody someone anyone mother mum mom father dad grandmother gran sister brother he
    neighbour neighbours neighbor aunt uncle granny viewer viewers
    she they chef chefs cooks folks friend friends husband wife restaurants
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_STORIES = tuple(
    SoughtPattern(rf"\b(?:{of_another})\b")
    for of_another in (
        r"last (?:week|time|year|month|night|summer|winter|weekend|christmas)|years? ago|i once|we once|once i|once we|used to|"
        r"next (?:week|time|year|month)|(?:someone|somebody|he|she|they|you) once|when (?:i|we) (?:was|were|lived|worked|trained|started out|grew up|moved|travelled|cooked)|"
        r"the original\b(?! (?:amount|plan|figure))|back then|in those days|growing up|(?:hours?|days?|weeks?) ago|tomorrow|in the old days|as a (?:child|kid)",
        r"(?:the|that) (?:one|first|other) (?:time|version|day)",
        r"(?:my|our|the) (?:last|previous|other) (?:video|class|lesson|film|show|upload)",
        r"in (?:some|many|most|other|those) (?:restaurants|kitchens|recipes|places|countries|houses|books|homes)|"
        r"in (?:my|her|his|their|our|some) (?:\w+ )?(?:version|recipe|house|kitchen|restaurant)s?(?: (?:she|he|they|we|it)|$)|in the \w+ version|in (?:my|our) (?:\w+ )?days|in my (?:childhood|youth)",
        r"in (?:my|her|his|their|our) (?:mother|father|sister|brother|aunt|uncle|gran|neighbour|friend|husband|wife)[\w-]*",
    )
)
"""Of another day, or of another kitchen; in several, for each needs letters that few sentences have."""
HABIT = SoughtPattern(r"\b(?:always|usually|sometimes|often|normally|every time|whenever)\b")
"""What is always so, and so tells nothing of today."""


@functools.lru_cache(maxsize=1024)
def tells_a_story(text: str) -> bool:
    """Whether it is of another day, or of another kitchen."""
    return any(one.search(text) for one in _STORIES)


class SpokenEffect(NamedTuple):
    """What tokens ``first`` to ``last`` say of the names; of none only where it is told that something was not filmed, and not what.
    ``aside``: it is only put to one side, as what has been cooked may be."""

    effect: str
    first: int
    last: int
    names: tuple[int, ...]
    aside: bool = False
