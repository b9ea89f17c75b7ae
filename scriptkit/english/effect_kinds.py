"""What can be said to become of an ingredient, and the words of stories and of others, whose cooking is not this one."""

from __future__ import annotations

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
STORY = SoughtPattern(
    r"\b(?:last (?:week|time|year|month|night|summer|winter|weekend|christmas)|years? ago|i once|we once|once i|once we|used to|"
    r"(?:the|that) (?:one|first|other) (?:time|version|day)|next (?:week|time|year|month)|"
    r"(?:someone|somebody|he|she|they|you) once|in (?:some|many|most|other|those) (?:restaurants|kitchens|recipes|places|countries|houses|books|homes)|when (?:i|we) (?:was|were|lived|worked|trained|started out|grew up|moved|travelled|cooked)|the original\b(?! (?:amount|plan|figure))|in (?:my|her|his|their|our|some) (?:\w+ )?(?:version|recipe|house|kitchen|restaurant)s?(?: (?:she|he|they|we|it)|$)|in the \w+ version|in (?:my|our) (?:\w+ )?days|(?:my|our|the) (?:last|previous|other) (?:video|class|lesson|film|show|upload)|in (?:my|her|his|their|our) (?:mother|father|sister|brother|aunt|uncle|gran|neighbour|friend|husband|wife)[\w-]*|in my (?:childhood|youth)|back then|in those days|growing up|(?:hours?|days?|weeks?) ago|tomorrow|in the old days|as a (?:child|kid))\b"
)
"""Of another day, or of another kitchen."""
HABIT = SoughtPattern(r"\b(?:always|usually|sometimes|often|normally|every time|whenever)\b")
"""What is always so, and so tells nothing of today."""


class SpokenEffect(NamedTuple):
    """What tokens ``first`` to ``last`` say of the names; of none only where it is told that something was not filmed, and not what.
    ``aside``: it is only put to one side, as what has been cooked may be."""

    effect: str
    first: int
    last: int
    names: tuple[int, ...]
    aside: bool = False
