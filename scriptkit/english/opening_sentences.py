"""How a speaker opens what comes next (*now the sauce*, *back to the soup*, *let's get the oven on*), and closes what is done (*look at that*)."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

OPENS, HALF, CLOSES = 1.0, 0.5, -1.0
"""How much the first words of a sentence speak for something's beginning there (common sense, no source)."""

_LEAD = (
    r"^(?:(?:and|but|so|well|okay|ok|right|alright|great|good|now|then|there we go|there you go|lovely)\b[\s,.!:–-]*)*?"
)
_OPENS = LazyPattern(
    _LEAD
    + r"(?:now|next|meanwhile|in the meantime|while|okay|ok|right|alright|first|second|third|last|lastly|finally|to (?:start|begin|finish|serve)|"
    r"(?:now )?(?:back|over|on) to|let's|let us|(?:it's |so it's )?time (?:for|to)|we (?:can )?(?:start|begin|move|want|need)|i (?:start|begin)|start|"
    r"for (?:the|our|my|this)\b|(?:one|two) more|quickly|which is exactly|as for|moving on|here (?:is|comes)|on with|get (?:a|the|your)|"
    r"while (?:the|that|this|those|it|we)|(?:when|once|after|as soon as) (?:the|that|this|those|it|they|everything|all))\b",
    re.IGNORECASE,
)
_HALF = LazyPattern(
    _LEAD
    + r"(?:so|then|i'm (?:going|gonna)|we're (?:going|gonna)|i'll|we'll|you'll|give me|i want|i like to|you want|take|and (?:now|then)|that's)\b",
    re.IGNORECASE,
)
_CLOSES = LazyPattern(
    r"^(?:(?:and|but|so|well|oh)\b[\s,]*)*(?:that's (?:it|what|the|how|all|exactly|lovely|perfect|beautiful|nice|done|ready)|look(?:s)? at|"
    r"looks|smells|tastes|perfect|beautiful|lovely|gorgeous|delicious|mmm+|wow|you can (?:see|hear|smell)|see (?:that|how)|listen|"
    r"thicker|until|till|if (?:you|it|your)|because|or\b|don't|do not|otherwise|even)\b",
    re.IGNORECASE,
)
_GREETS = LazyPattern(
    r"\b(?:welcome|hello|hi|hey|good (?:morning|evening|afternoon)|tonight(?:'s)?|today(?:'s)?|my name|this (?:week|time|channel|episode)|"
    r"(?:i'm|we're) (?:making|cooking)|i(?:'ll| will) (?:give|show) you)\b",
    re.IGNORECASE,
)
SPLITS = LazyPattern(
    r"(?<=\s)(?=(?:so |and |okay |right |alright )?(?:now|next|then|okay|alright|meanwhile|after that)\b(?! to\b| you know\b))",
    re.IGNORECASE,
)
"""Where in talk without stops a sentence may begin."""


def opening(text: str) -> float:
    """How much the sentence's first words open something new; less than 0 where they look back, or
    greet.

    >>> opening("Now the sauce."), opening("Then off the heat."), opening("Look at that colour."), opening("Two spoons of oil.")
    (1.0, 0.5, -1.0, 0.0)
    """
    words = text.strip()
    if _CLOSES.search(words) or _GREETS.search(words):
        return CLOSES
    if _OPENS.search(words):
        return OPENS
    return HALF if _HALF.search(words) else 0.0
