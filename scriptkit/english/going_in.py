"""Whether the words around a name say that the thing goes in now, or look back at it: *now the parsley from before looks nice*."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.english.stems import stem
from scriptkit.patterns import LazyPattern

GOES_IN, NAMED, LOOKED_AT, WENT_IN = 0, 1, 2, 3
"""What is said, the likeliest to be its going in first; the last says outright that it is in already."""
BEFORE, AFTER = 10, 8
"""Words of the sentence on each side that are looked at."""
_PUTS = frozenset(
    stem(word)
    for word in """
    add put pour throw drop tip sprinkle stir whisk fold splash drizzle scatter dot crack mix toss beat rub melt squeeze grate tear pop
    slide bring season plus incorporate combine dump place blend spoon scrape cover lay
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_ITS = r"(?:the|that|this|those|these|your|my|our)"
_INTO = LazyPattern(
    r"\b(?:in (?:go|goes|went|with|come|comes)|back (?:in|into)|into|"
    rf"(?:then|next|now|first)(?: all| half| most| some| a)?(?: of)?(?: {_ITS})?)\b"
)
_AMOUNT = LazyPattern(
    r"\b(?:gram|grams|kilo|kilos|mils|millilitres|litres?|cups?|tablespoons?|teaspoons?|spoons?|spoonfuls?|pinch|handfuls?|knob|splash|"
    rf"cloves?|\d+) (?:of |or so of |worth of )?(?:{_ITS} |single |double )?$"
)
_GOES = LazyPattern(
    r"^(?:(?:go|goes|going|is going|are going|in|on|into|onto|next)\b(?! there| here| the | this | that | my | an? | \w+days?\b)|"
    r"straight|all at once|to finish|(?:\w+ ){0,2}?(?:is|are)(?: \w+)? (?:going|coming) (?:in|on)\b|(?:is|are) next\b)"
)
_PAST = LazyPattern(
    r"\bfrom (?:before|earlier|a (?:moment|minute) ago|just now|the start)\b|\b(?:earlier|a (?:moment|minute) ago|already)\b|"
    r"(?:\b(?:that|which)(?: i| we)?|^(?:i|we))(?:'ve| have)?(?: just)? (?:went|put|added|stirred|poured|threw|dropped|mixed)\b|"
    r"\b(?:i|we)(?: just| have)? (?:put|added|stirred|poured) in\b"
)
_STILL = LazyPattern(r"\b(?:already|still)\b")
_LOOK_AT = LazyPattern(rf"\b(?:look(?:s|ing)? at|see|smell|notice|watch) (?:how )?(?:all )?{_ITS}(?: \w+)?$")
_TOLD_OF = LazyPattern(
    r"\b(?:look(?:s|ing)? (?:at|how)|see|smell|hear|taste|notice|watch|feel|love|like|remember)(?: \S+){0,4}$|"
    r"\b(?:that|those|this|these|how|where|until|till|once|when|if|because|so)(?: \w+)?$"
)
_HABIT = LazyPattern(
    r"\b(?:always|never|usually|normally|often|mother|mum|gran|grandmother|people|don't|do not|didn't|doesn't|want|wants|wanted|need)\b"
    r"(?: \S+){0,5}$|\b(?:that is|that's|it is|it's|this is)(?: \S+){0,3}$"
)
"""*I always buy my butter here*, *do not let the butter burn*, *you want the butter to foam*, *that is the butter talking*."""
_HANDLED = LazyPattern(
    r"\b(?:push|pull|nudge|move|shake|shift|poke|prod|press|flip|lift|touch|check|watch|baste|scrape down)(?:ing)? (?:\S+ ){0,2}$|"
    r"\bgive (?:the |that |your |my |all the )?$"
)
"""What is there already is pushed about."""
_IS = LazyPattern(
    r"^(?:(?:in there|there|here|now|really|just|all|still) )?(?:is|are|'s|has|have|looks?|smells?|tastes?|gives?|makes?|does|was|were|"
    r"will|starts?|should|can|gets?|goes (?:soft|brown|golden|sweet|clear|limp|cold))\b"
)


def said_of(before: Sequence[str], after: Sequence[str]) -> int:
    """GOES_IN, NAMED, LOOKED_AT or WENT_IN, by the words of the name's sentence before and after it.

    >>> said_of("and now the".split(), "from before looks nice".split()) == WENT_IN
    True
    >>> said_of("right in goes the".split(), "two tablespoons".split()) == GOES_IN
    True
    """
    lead, rest = " ".join(before[-BEFORE:]), " ".join(after[:AFTER])
    if _PAST.search(rest) or _STILL.search(lead):
        return WENT_IN
    if _LOOK_AT.search(lead):
        return LOOKED_AT
    if _GOES.search(rest):
        return GOES_IN
    if _TOLD_OF.search(lead) or _IS.search(rest):
        return LOOKED_AT
    if _HANDLED.search(f"{lead} ") or (_HABIT.search(lead) and not _AMOUNT.search(f"{lead} ")):
        return LOOKED_AT
    goes_in = _INTO.search(lead) or _AMOUNT.search(f"{lead} ") or any(stem(w) in _PUTS for w in before[-BEFORE:])
    return GOES_IN if goes_in else NAMED
