"""How a speaker tells the end of a dish in other words than the recipe: *a shower of green over each*, *hands off, it sits for six minutes*."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

GARNISH, SERVE, POUR, CHILL, REST, CUT = "garnish", "serve", "pour", "chill", "rest", "cut"

_ENDS = {
    GARNISH: LazyPattern(r"\b(?:garnish|top|sprinkle|scatter|dust|drizzle|swirl|strew|finish(?: it)? with|crown|shave|decorate|dress)\b", re.IGNORECASE),
    SERVE: LazyPattern(r"\b(?:serve|plate(?! with)|ladle|spoon|arrange|stack|pile|divide|dish (?:up|it)|share|portion)\b", re.IGNORECASE),
    POUR: LazyPattern(r"\b(?:pour|tip|decant|fill|spoon|ladle|bottle)\b", re.IGNORECASE),
    CHILL: LazyPattern(r"\b(?:chill|refrigerate|freeze|fridge|freezer|set)\b", re.IGNORECASE),
    REST: LazyPattern(r"\b(?:(?<!the )rest(?! of\b)|cool|stand|sit|leave|set aside)\b", re.IGNORECASE),
    CUT: LazyPattern(r"\b(?:slice|cut|carve|halve|quarter|divide|portion)\b", re.IGNORECASE),
}  # fmt: skip
"""By which words of a step it is such an end."""

_WARE = r"(?:plates?|bowls?|boards?|platters?|cups?|glass(?:es)?|mugs?|dish(?:es)?|ramekins?)"
_FEW = r"(?:a|an|the|each|every|my|your|our|warm|hot|cold|little|small|deep|one|two|three|four|six|eight|nice|wooden|serving|coffee|soup)"
_ONTO = rf"(?:on|onto|in|into|between|among) (?:{_FEW} ){{0,3}}{_WARE}"
_EACH = (
    r"(?:one|two|three|half|some|a \w+)(?: for| on| in)? each\b|\b(?:over|on|onto|in|into) (?:each|every)(?: one)?\b"
)
_TOLD = {
    GARNISH: LazyPattern(
        rf"\b(?:over (?:the top|the lot|it all|everything|each|them all)|(?:all|go|goes) over\b|on top|across the top|over each|a (?:shower|handful|fistful|"
        rf"ribbon|scatter(?:ing)?|dusting|drizzle|swirl|dollop|sprinkl\w+|splash|bit|few|spoon(?:ful)?|pinch|blob|wedge) of (?:\w+ ){{0,2}}(?:green|white|red|snow|colour|"
        rf"crunch|\w+ (?:on|over) )|through a sieve|dollop|(?:i |we |you )?(?:like to )?finish (?:it|that|this|them|each|off)\b|on everything|(?:something|little) (?:green|red|white|fresh|rich|sharp|crunchy)|(?:next to|beside|alongside|on the side)\b|{_EACH})",
        re.IGNORECASE,
    ),
    SERVE: LazyPattern(
        rf"\b(?:{_ONTO}|{_EACH}|(?:tuck|dig) in\b|(?:to|on|off to) the table|pass (?:it|them|these) (?:round|around)|filled to the brim|"
        rf"(?:four|two|six|eight|all) of these|(?:help|for) (?:yourselves|everyone)|over the top|next to it|on the side|"
        rf"a (?:slab|slice|square|piece|spoonful|scoop|bowl|plate|stack|mound|pile|heap) of|in the middle\b|"
        r"(?:everybody|everyone|each of you|you) gets?\b|(?:half|one|some) for (?:you|me|each)|(?:two|four|hot|warm|deep) (?:\w+ )?(?:plates|bowls|ladles)|spoons out|"
        r"corner piece)",
        re.IGNORECASE,
    ),
    POUR: LazyPattern(
        rf"\b(?:tip|pour|decant|fill|share it out|divide|{_ONTO}|every (?:last )?drop|over the (?:lot|top)|over (?:it|them) all|screw the top)\b",
        re.IGNORECASE,
    ),
    CHILL: LazyPattern(r"\b(?:fridge|freezer|overnight|(?:ice )?cold|somewhere cold|until tomorrow|sets?(?: up| firm)?)\b", re.IGNORECASE),
    REST: LazyPattern(
        r"\b(?:rests?|resting|sits?|sitting|stands?|standing|cools?|cooling|(?:leave|leaving|let) (?:it|them|that|this|those|these|everything|the \w+)(?: all)? "
        r"(?:alone|be|there|where|for|on|to)|hands off|don't touch|relax(?:es)?|foil|minutes|half an hour|(?:a )?quarter of an hour|settle|patience|walk away|turn (?:everything|it all) off)\b",
        re.IGNORECASE,
    ),
    CUT: LazyPattern(
        r"\b(?:slices?|slicing|cut|cuts|cutting|carve|carving|knife|blade|strips|across (?:them|it|the)|down the middle|(?:times|lengths?) across|squares|wedges|pieces|"
        r"that makes (?:two|four|six|eight|ten|twelve|sixteen)|thin as)\b",
        re.IGNORECASE,
    ),
}  # fmt: skip
_NOT_SO = LazyPattern(
    r"\b(?:never|forgot|forgotten|didn't|did not|don't have|wasn't|without|skip(?:ped)?|off camera|not (?:in|on|for|going)|no time|bye|goodbye|thank(?:s| you)|"
    r"subscribe|see you|next (?:week|time)|comment)\b",
    re.IGNORECASE,
)


def ends_by(do: str) -> frozenset[str]:
    """Which kinds of end the words of a step are.

    >>> sorted(ends_by("Ladle into bowls and garnish with the chives."))
    ['garnish', 'pour', 'serve']
    """
    return frozenset(kind for kind, pattern in _ENDS.items() if pattern.search(do))


def tells_the_end(said: str, kinds: frozenset[str]) -> bool:
    """Whether the sentence tells such an end, in whatever words.

    >>> tells_the_end("A shower of something green over each one.", frozenset({GARNISH})), tells_the_end("I never put it on top.", frozenset({GARNISH}))
    (True, False)
    """
    return not _NOT_SO.search(said) and any(_TOLD[kind].search(said) for kind in kinds)
