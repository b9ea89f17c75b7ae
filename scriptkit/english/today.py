"""What is told of today: not what was done on another day, and not what was missing for a moment and turned up."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.patterns import SoughtPattern

_DAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_ANOTHER_DAY = SoughtPattern(
    rf"^(?:(?:and|well|oh|now|you know|actually|but|look|funny thing) (?:, )?)?(?:last (?:{_DAY}|week|weekend|month|year|time|night|summer|winter|spring|autumn)"
    rf"|on {_DAY}|yesterday|the other (?:day|week)|(?:a|two|three|some) (?:days?|weeks?|months?|years?) ago|once)\b"
)
"""How a sentence of another day begins."""
_TODAY = SoughtPattern(r"\b(?:today|tonight|now|here|this time|this one|so|but|which is why|that is why)\b")
_OF_THAT_DAY = 26
"""Tokens after its beginning that may still be of the other day (common practice, no source)."""
_AFTER_ALL = SoughtPattern(
    r"^@\d+ (?:\S+ ){0,3}?(?:i|we|there) (?:\w+ )?(?:found|had|have|got|find|spotted|was|were|is|are)(?: (?!not\b|no\b|none\b)\w+){0,4} after all\b"
)


def is_of_another_day(texts: Sequence[str], at: int) -> bool:
    """*Last week I left the mint out, and I used walnuts*: whether the sentence about token ``at`` begins on another day, and comes to
    today nowhere before it. ``texts``: the talk's tokens."""
    lead = list(texts[max(0, at - _OF_THAT_DAY) : at + 1])
    stop = max((n for n, word in enumerate(lead) if word == "."), default=-1)
    if stop < 0 and at >= _OF_THAT_DAY:
        return False
    sentence = " ".join(lead[stop + 1 :])
    begins = _ANOTHER_DAY.search(sentence)
    return begins is not None and _TODAY.search(sentence[begins.end() :]) is None


def turned_up(texts: Sequence[str], at: int) -> bool:
    """*Two spoons of lemon juice, I found one after all*: nothing of the name at token ``at`` is missing."""
    rest = list(texts[at : at + 14])
    return _AFTER_ALL.search(" ".join(rest[: rest.index(".")] if "." in rest else rest)) is not None
