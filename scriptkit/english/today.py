"""What is told of today: not what was done on another day or by another cook, and not what was missing for a moment and turned up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.patterns import SoughtPattern

Stretch = tuple[int, int]
"""From which token to which, both of it."""

_DAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_LEAD = r"^(?:(?:and|well|oh|ah|now|you know|actually|but|look|so|see|funny thing|true story) (?:, )?)*"
_BEFORE_TODAY = r"(?:yesterday|last night)"
_LONG_AGO = (
    rf"(?:last (?:{_DAY}|week|weekend|month|year|time|summer|winter|spring|autumn|christmas|easter)|(?:the )?(?:other|previous) (?:day|week|night|evening)"
    rf"|(?:a|two|three|four|some|a few|many|\w+) (?:days?|weeks?|months?|years?) ago|back (?:then|when|in (?:the day|\w+))"
    r"|(?:in|over) (?:the )?(?:early |late )?(?:spring|summer|autumn|winter)|in (?:january|february|april|june|july|august|september|october|november|december)|(?:at|for) (?:christmas|easter))"
)
_KIN = (
    r"(?:mother|mum|mom|mam|father|dad|da|grandmother|gran|granny|nan|grandma|grandfather|grandad|aunt|auntie|aunty|uncle|sister|brother|cousin|husband|wife|"
    r"son|daughter|neighbour|neighbor|friend|mate|flatmate|teacher|boss)(?: in law)?"
)
_ANOTHER_DAY = SoughtPattern(
    rf"{_LEAD}(?:{_LONG_AGO}|{_BEFORE_TODAY}|on {_DAY}|once(?! (?:the|it|they|that|this|those|these|you|we|i|everything|all|@))|once (?:i|we) (?:was|were|had|did|made|put|used|forgot|left)|one (?:day|time|night|summer|winter|christmas)"
    r"|(?:when|while) (?:i|we) (?:was|were) (?:little|small|young|a|at|in|kids|children|growing)|when (?:i|we) (?:lived|worked|trained|grew|started)|the (?:first|last) time (?:i|we)|growing up|as a (?:child|kid|girl|boy)|in (?:my|our) (?:first|last|old) \w+)\b"
)
"""How a sentence of another day begins."""
_ANOTHER_DAY_AT_ALL = SoughtPattern(
    rf"\b(?:i|we|he|she|they|@\d+) (?:had |\w+ly )?(?:was|were|had|did|put|took|made|gave|went|left|forgot|ate|bought|\w+ed) (?:\S+ ){{0,9}}?{_LONG_AGO}\b"
)
_ANOTHER_COOK = SoughtPattern(
    rf"{_LEAD}(?:my|our) (?:\w+ )?{_KIN}(?: , )?(?: (?:always|never|only|usually|often|\w+ly))?(?: (?:used to|would|will|does|did))?(?: not)?(?: (?:always|never|only))?"
    r" (?:uses?|used(?! (?:up|all|it|them|every\w*|the (?:last|rest|whole|only|remaining))\b)|puts|makes?|made|adds?|added|likes?|swears?|swore|cooks?|cooked|bakes?|baked|boils?|boiled|fry|fries|fried)\b"
)
"""*My aunt used six cloves*; not *my son used up the cream*, which is of this dish."""
_GOES_ON = SoughtPattern(
    rf"{_LEAD}(?:then )?(?:(?:she|he|they|everyone|everybody|nobody|people|(?:my|our) {_KIN})(?: \w+ly| just| even| always| never)? (?:was|were|had|did|could|would|used|put|took|went|came|made|got|gave|ate|said|threw|thought|kept|left|swore|has|makes|puts|uses|adds|takes|\w+ed)"
    r"|(?:it|that|there) (?:was|were|had)|(?:we|i) (?:all )?(?:ate|came|went home|thought|laughed))\b"
)
"""How the next sentence of the same story begins."""
_TODAY = SoughtPattern(
    r"\b(?:today|tonight|now|here|this time|this one|this evening|this morning|so|but|which is why|that is why|(?:i|we) (?:am|are)|(?:i|we) will|let us)\b"
)
_OF_THAT_DAY = 26
"""Tokens of a sentence that may still be of the other day (common practice, no source)."""
_AFTER_ALL = SoughtPattern(
    r"^@\d+ (?:\S+ ){0,3}?(?:i|we|there) (?:\w+ )?(?:found|had|have|got|find|spotted|was|were|is|are)(?: (?!not\b|no\b|none\b)\w+){0,4} after all\b"
)


def as_of_today(texts: Sequence[str]) -> list[str]:
    """The tokens of a talk about a dish that is begun the day before, where *yesterday* and *last night* are of it."""
    found = ["today" if word == "yesterday" else word for word in texts]
    for n in range(len(found) - 1):
        if found[n] == "last" and found[n + 1] == "night":
            found[n] = "this"
    return found


def other_days(texts: Sequence[str]) -> list[Stretch]:
    """What a talk tells of another day or of another cook, as far as it comes to today: *last week I left the mint out*, *my aunt used six
    cloves. She had it on for an hour*. ``texts``: its tokens, where need be :func:`as_of_today`."""
    found: list[Stretch] = []
    goes_on = False
    for first, last in _sentences(texts):
        sentence = " ".join(texts[first : last + 1])
        begins = _ANOTHER_DAY.search(sentence) or _ANOTHER_COOK.search(sentence)
        short = last - first < _OF_THAT_DAY
        of_old = (
            begins is None
            and short
            and _ANOTHER_DAY_AT_ALL.search(sentence) is not None
            and _TODAY.search(sentence) is None
        )
        going_on = begins or of_old or (_GOES_ON.search(sentence) if goes_on else None)
        goes_on = False
        if going_on:
            after = 0 if begins is None else begins.end()
            today = _TODAY.search(sentence[after:])
            until = last if today is None else first + sentence[: after + today.start()].count(" ") - 1
            goes_on = today is None and short
            found.append((first, min(until, first + _OF_THAT_DAY - 1)))
    return found


def _sentences(texts: Sequence[str]) -> Iterator[Stretch]:
    """From where to where each sentence stands, without its stop; of one too long, its beginning."""
    first = 0
    for n, word in enumerate([*texts, "."]):
        if word == ".":
            if n > first:
                yield first, n - 1
            first = n + 1


def turned_up(texts: Sequence[str], at: int) -> bool:
    """*Two spoons of lemon juice, I found one after all*: nothing of the name at token ``at`` is missing."""
    rest = list(texts[at : at + 14])
    return _AFTER_ALL.search(" ".join(rest[: rest.index(".")] if "." in rest else rest)) is not None
