"""Confessions so plain that nothing about them makes them doubtful: *oh, and I forgot the parsley*."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.english.effect_kinds import INSTEAD, LEFT_OUT, SpokenEffect
from scriptkit.patterns import SoughtPattern

_ADVERBS = (
    r"(?: (?:have|just|actually|also|completely|totally|clean|simply|somehow|stupidly|deliberately|really|even))*"
)
_NAME = r"(?: (?:to (?:add|put|use)|about|all))?(?: (?:the|my|our|all|of|any|in|chopped|fresh|dried))* @\d+"
_PLAIN = SoughtPattern(
    rf"^(?:(?:i|we){_ADVERBS} (?:forgot|forgotten|skipped|omitted|left out|missed out|left off){_NAME}"
    rf"|(?:i|we){_ADVERBS} left{_NAME} (?:out|off)"
    rf"|(?:i|we){_ADVERBS} (?:did not|never){_ADVERBS} (?:put|put in|add|added|use|used){_NAME}(?: in)?"
    rf"|there is{_ADVERBS} no{_NAME}(?: in(?: (?:it|this|there|here))?)?)$"
)
_INSTEAD = SoughtPattern(rf"^(?:instead of|in place of){_NAME}$")
_USED = SoughtPattern(rf"\b(?:i|we){_ADVERBS} (?:used|put in|took|added)(?: [^ .,]+){{1,4}}$")
_ENDS = SoughtPattern(
    r"^(?: (?:in|out|it|this|there|here|at all|sorry|today|this time|again|altogether|completely|i am afraid|in the end))*"
    r"(?:$| \.| (?:, )?(?:so that is|so that was|and that is|now the|but never mind|but it does not matter))"
)
_NOT_PLAIN = frozenset(
    """
    if unless when whenever once last time times usually always often sometimes never nearly almost not did have had would could might
    should that think thought say says said believe because before until whether lest case suppose imagine one you he she they who
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_BEFORE, _AFTER = 6, 8
"""Tokens of the same sentence that may make it something else, or lead on from it."""


def is_plain(texts: Sequence[str], said: SpokenEffect) -> bool:
    """Whether it is said in so many words, by whom it is of, and the sentence says nothing else of it. ``texts``: the talk's tokens."""
    words = " ".join(texts[said.first : said.last + 1])
    before = texts[max(0, said.first - _BEFORE) : said.first]
    stop = max((n for n, word in enumerate(before) if word == "."), default=-1)
    lead = before[stop + 1 :]
    if said.effect == INSTEAD:
        plain = _INSTEAD.search(words) is not None and _USED.search(" ".join(lead)) is not None
    else:
        plain = said.effect == LEFT_OUT and _PLAIN.search(words) is not None
    after = " ".join(["", *texts[said.last + 1 : said.last + 1 + _AFTER]])
    return plain and _NOT_PLAIN.isdisjoint(lead) and _ENDS.search(after) is not None
