"""What is said of one that was made before the film: *here is one that I baked this morning*. What it tells is not done here."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scriptkit.english.stems import numbered_words, plain
from scriptkit.patterns import LazyPattern

_SHOWN = (
    r"(?:here(?:'s| is| are| we have| i have)|(?:this|that|it) (?:is|was)|these (?:are|were)|those (?:are|were)|this one|"
    r"(?:i|we) have|(?:i|we)'ve|i got|there(?:'s| is| are))"
)
_DOER = r"(?:i|we|he|she|they|my \w+|our \w+)(?:'ve|'d| have| had)?(?: already| just)?"
_PAST = r"(?:[a-z]+ed|made|did|done|had|put|cut|left|got|took|began|set|kept|ground|froze|built|rolled|beat|bought|hung|spun)"
_BEFORE = (
    r"(?:earlier(?: on| today| this \w+)?(?! than)|yesterday|last (?:night|week)|this (?:morning|afternoon)|the (?:night|day|week) before|"
    r"the other day|before (?:you|we|the (?:show|film|camera|class))\b|ahead of time|in advance|beforehand)"
)
_LONG_BEFORE = (
    r"(?:yesterday|last (?:night|week)|this morning|the (?:night|day) before|the other day|earlier (?:today|this \w+)|"
    r"before (?:you (?:came|arrived|got here)|the (?:show|film|camera|class))|ahead of time|in advance|beforehand)"
)
_THING = r"(?:one|mine|this|these|some|(?:a|an|some|my|two|three|four)(?: [a-z]+){1,3}?)"
_TWIN = LazyPattern(
    rf"\b(?:{_SHOWN}(?: [^ .!?]+){{0,10}}? {_DOER} {_PAST}(?: [^ .!?]+){{0,8}}? {_BEFORE}"  # here is a loaf that I baked this morning
    rf"|one (?:that )?{_DOER} {_PAST} {_BEFORE}"  # one I made earlier
    rf"|(?:this|these|those)(?: [a-z]+){{1,2}} {_DOER} {_PAST}(?: [^ .!?]+){{0,3}}? {_BEFORE}"  # these mussels I scrubbed earlier
    rf"|{_DOER} {_PAST} {_THING}(?: [^ .!?]+){{0,3}}? {_BEFORE}"  # I baked one yesterday
    rf"|{_DOER} {_PAST}(?: [^ .!?]+){{1,10}}? {_LONG_BEFORE}"  # we whisked the flour and the salt last night
    rf"|[a-z]+ from (?:yesterday|last night|this morning|earlier|the (?:night|day) before))\b"  # the one from yesterday
)
_MAY_BE = re.compile(r"earlier|yesterday|last |this morning|this afternoon|before|the other day|ahead of|in advance")
_AFTER = 60
"""So many characters after it are said of the same one, where no sentence ends (common sense, no source)."""
_END = re.compile(r"[.!?](?=\s|$)")


def made_earlier(lines: Sequence[str]) -> dict[int, frozenset[int]]:
    """Which words of a talk are said of something that was made before the film, to the end of the sentence: number of the line, from
    0, → numbers of its words, as :func:`stems.words_in` gives them. A line may break off anywhere.

    >>> made_earlier(["Look, here is a loaf that I baked", "this morning. Slice it."])
    {0: frozenset({1, 2, 3, 4, 5}), 1: frozenset({0, 1})}
    """
    if not any(_MAY_BE.search(plain(line)) for line in lines):
        return {}
    talk, starts = [], []
    now = 0
    for line in lines:
        text = re.sub(r"[,;:\s]+", " ", plain(line)).strip()
        talk.append(text)
        starts.append(now)
        now += len(text) + 1
    spans = [(m.start(), _ends(" ".join(talk), m.end())) for m in _TWIN.finditer(" ".join(talk))]
    found: dict[int, frozenset[int]] = {}
    for n, (text, start) in enumerate(zip(talk, starts, strict=True)):
        inside = {k for k, (at, _) in enumerate(numbered_words(text)) if any(a <= start + at < b for a, b in spans)}
        if inside:
            found[n] = frozenset(inside)
    return found


def _ends(talk: str, at: int) -> int:
    end = _END.search(talk, at)
    return min(end.start() if end else len(talk), at + _AFTER)
