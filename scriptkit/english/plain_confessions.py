"""What is said so plainly that nothing learned from many speakers makes it doubtful: *oh, and I forgot the parsley*; and what is as plainly
no confession: *I forgot to say that the capers are drained*."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE, SpokenEffect
from scriptkit.patterns import SoughtPattern

_ADVERBS = (
    r"(?: (?:have|had|just|actually|also|completely|totally|clean|simply|somehow|stupidly|deliberately|really|even|only|sadly|"
    r"unfortunately|now|again))*"
)
_NAME = (
    r"(?: (?:to (?:add|put|use)|about|all))?"
    r"(?: (?:the|my|our|any|some|finishing|last|final|remaining|second|rest of the|last of the|chopped|fresh|dried|ground|grated|sliced|single|whole|plain))*(?: both)? @\d+(?: (?:and|or|nor)(?: the)? @\d+(?! (?:go|goes|going|come|comes|is|are|will|can)\b))*"
)
_WE = rf"(?:i|we){_ADVERBS}"
_THEY = rf"(?:i|we|they|the (?:shops?|supermarket|market|grocer|greengrocer|fishmonger|corner shop)){_ADVERBS}"
_GOT = r"(?: (?:(?:get|find|buy|have|got|see)(?: (?:get|find|buy|have|got|see))*(?: hold of)?|lay(?: (?:my|our))? hands on|track down|come by|source|locate))"
_PLAIN = {
    LEFT_OUT: SoughtPattern(
        rf"(?<![\w@])(?:{_WE} (?:forgot|forgotten|skipped|omitted|left out|missed out|left off){_NAME}(?: (?:in|out|on))?"
        rf"|^(?:(?:oh|ah|argh|sorry|whoops|and|so|right|yes|damn|quick one|,) )*(?:(?:just|clean|completely|totally) )?(?:forgot|skipped|omitted|left out|left off){_NAME}(?: (?:in|out|on))?"
        rf"|{_WE} left{_NAME} (?:out|off)"
        rf"|(?:i|we) (?:would |had |have )?(?:put|added|used|poured|stirred)(?: in)? neither(?: \S+){{0,4}} @\d+ nor(?: \S+){{0,4}} @\d+"
        rf"|{_WE} (?:did not|never|have not|had not){_ADVERBS} (?:put|put in|add|added|use|used|included?){_NAME}(?: (?:in|on|to it))?"
        rf"|(?:i|we) (?:am|are){_ADVERBS} not{_ADVERBS} (?:using|adding|putting(?: in)?|including|having){_NAME}(?: (?:in|on))?"
        rf"|(?:i|we) (?:am|are){_ADVERBS} (?:going to )?(?:skip|skipping|omit|omitting|leave out|leaving out){_NAME}"
        rf"|(?:i|we) (?:am|are){_ADVERBS} (?:going to leave|leaving){_NAME} out"
        rf"|{_THEY} (?:ran|run|was|were|am|are|is|sold)(?: (?:all|completely|clean|right))? out of{_NAME}"
        rf"|{_THEY} (?:did not|do not|could not|have not|had not|was not able to|were not able to|cannot)(?: even)?{_GOT}{_NAME}"
        rf"|{_THEY} (?:had|have|got) no{_NAME}"
        rf"|there (?:is|are|was|were){_ADVERBS} (?:no|not any){_NAME}(?: (?:left|in(?: (?:it|this|there|here))?|on it))?"
        rf"|{_WE} (?!not\b|never\b|make\b|do\b)\w+(?: (?!not\b|with\b|and\b|but\b|than\b)\S+){{0,7}} with no{_NAME}(?: (?:in|on|under|over|with) (?:it|them|this|that|there))?(?: at all)?"
        rf"|{_WE} (?!not\b|never\b|do\b)\w+(?: (?!not\b|with\b|and\b|but\b|than\b)\S+){{0,9}} no{_NAME} (?:at all|whatsoever)"
        rf"|@\d+ (?:never|did not)(?: even)? (?:left|leave) (?:the|its|their|my) (?!pan\b|pot\b|heat\b|oven\b|boil\b)\w+(?: \w+)?"
        rf"|neither(?: (?:the|my|our))? @\d+ nor(?: (?:the|my|our))? @\d+(?: (?:ever|even|actually|of them))* (?:went|made it|got|were|was|ended up|came)(?: \w+)?? (?:in|on|near|into|there|anywhere|used|added|opened)"
        rf"|@\d+ (?:never|did not)(?: (?:actually|even))? (?:went|go|made it|make it|got|get)(?: put)? in"
        rf"|@\d+ (?:was|were|got|has been|have been){_ADVERBS} (?:left out|forgotten|missed out|left off))(?! @)(?=$| )"
    ),
    LATER: SoughtPattern(
        rf"(?<![\w@])(?:i|we) (?:will|shall|am going to|are going to) (?:add|put|do|stir|pour|scatter|sprinkle){_NAME}(?: (?:in|on|over))?"
        r" (?:later|afterwards|in (?:about )?\w+ (?:minutes?|hours?)(?: time)?|at the (?:very )?(?:end|table)|just before|right before)(?=$| )"
    ),
    MORE: SoughtPattern(
        rf"\b(?:{_WE} (?:to )?(?:(?:had|have|needed) to )?(?:added|add|put|put in|used|use) (?:a (?:bit|little|lot|touch) |far |way |much |rather )*(?:more|extra|too much|too many){_NAME}"
        rf"|{_WE} doubled{_NAME})(?=$| )"
    ),
    LESS: SoughtPattern(
        rf"\b(?:{_WE} (?:used|put in|added|put) (?:only |just |about )*(?:half|less|a third|two thirds|a quarter)(?: of)?{_NAME}(?: in)?"
        rf"|{_WE} (?:did not)(?: (?:quite|actually))? (?:use|add|put in|put)(?: quite)? all(?: of)?{_NAME})(?=$| )"
    ),
}  # fmt: skip
_IN_ITS_PLACE = SoughtPattern(rf"\b(?:instead of|in place of){_NAME}$")
_USED = SoughtPattern(rf"\b(?:i|we){_ADVERBS} (?:used|put in|took|added)(?: [^ .,]+){{1,4}}$")
_SO_ANOTHER = SoughtPattern(
    r"^(?: (?:anywhere|for (?:love n?or money|some reason)|(?:in|at|from) (?:the|our|my|any) \w+))? (?:, )?(?:so (?:you are (?:looking at|seeing|having|getting|eating)|(?:i|we) (?:have |am |are )?(?:used|using|put|took|taken|went with|going with|swapped|swapping)|it is|that is|this is|these are)|(?:this|that|it) is|(?:i|we) (?:have )?used)\b"
)
_TAIL = (
    r"(?: (?:anywhere|for (?:love n?or money|some reason|the life of me)|(?:in|at|from) (?:the|our|my|any) \w+|in|out|on|it|this|there|here|at all|sorry|today|tonight|this time|this evening|this week|in the shop|again|altogether|"
    r"completely|i am afraid|in the end|by the way|though|either|on purpose|for this one|of this one|than (?:i (?:meant|wanted)|it says|the recipe(?: says)?)(?: to)?))*"
)
_ENDS = SoughtPattern(
    rf"^{_TAIL}(?:$| \.| ,(?! (?:but |and )?(?:then|luckily|so) (?:i|we) (?:went|ran|bought|found|remembered|got))"
    r"| (?:so that|so it|so this|so there|so we will|so i will|so i have|so we have|so you|so do|so just|so just imagine|and that|and it|but never|but it|but that|but i think|now the|"
    r"and in (?:go|goes)\b|and(?: (?:the|my|our|now|then))* @\d+ (?:go|goes|going|come|comes|is|are|will)\b|because|since|as|while|that is|it is|it was|i thought|never mind|which is|because i|and did not|and i did not)\b)"
)
_NOT_PLAIN = frozenset(
    """
    if unless when whenever once last times usually always often sometimes never nearly almost not did would could might
    should that think thought say says said believe before until whether lest case suppose imagine one you he she they who monday tuesday wednesday thursday friday saturday sunday yesterday
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_BEFORE, _AFTER = 9, 10
"""Tokens of the same sentence that may make it something else, or lead on from it."""
_NO_CONFESSION = SoughtPattern(
    r"\b(?:(?:forgot|forgotten|forget|meant|should have|did not) (?:to )?(?:mention|mentioned|say|said|tell you|told you|explain|explained|point out)(?: (?:that|how|about|why|to))*"
    r"|(?:did not|do not|never|have not) (?:even )?(?:measured?|weigh(?:ed)?|count(?:ed)?|rinsed?|peel(?:ed)?|wash(?:ed)?|taste[d]?|toast(?:ed)?|drain(?:ed)?)"
    r"|forgot how(?: \w+)?)(?: (?:the|my|our|any|those|these|this|that))? @\d+$"
)
_NOT_FORGOTTEN = SoughtPattern(
    r"\b(?:not|never|nor) (?:\w+ )?(?:forgotten|missed|skipped|left out)(?: (?:the|my|our))? @\d+$"
)
_HALF_THE_FUN = SoughtPattern(
    r"\b(?:half|most|part|all|the whole|a quarter) (?:of )?(?:the|its|my) (?:\w+ )?(?:secret|fun|battle|trick|job|work|charm|beauty|point|story|pleasure|joy|magic|reason|flavou?r|taste)\b"
)
_OTHER_HALF = SoughtPattern(
    r"\b(?:the )?(?:other|second|remaining|last) (?:half|third|quarter)(?: of(?: the| my| our)?)? @\d+$"
)
"""What goes in then is the rest of it."""
_MEANWHILE = re.compile(
    r"(?:(?:just|exactly|right|precisely) )?(?:when|while|as) (?:(?:all|the|my|our|that|those|of) )*@\d+ (?:(?:just|all) )?(?:goes|go|went|was|were|is|are|slid|dropped|disappeared)\b"
)
_SEEN = SoughtPattern(
    r"@\d+ (?:just |all )?(?:go|goes|went|is|are|was|were|going)(?: \w+)?(?: in| on)? (?:while|as) you (?:watched|were watching|watch|looked on|looked)\b"
    r"|\byou (?:saw|watched)(?: me)?(?: \w+)?(?: the| my)? @\d+ (?:go|going|went)\b"
    r"|@\d+ (?:went|goes|is|are|was|were|has gone|have gone)(?: \w+)? (?:in|on)(?: (?:the \w+|camera|there))? , ?(?:and )?(?:then|after that|right after that|just after(?: that)?) "
    r"(?:the|my|our) (?:battery|camera|phone|card|memory card|tripod|light)\b"
    r"|@\d+ (?:went|goes|is|are|was|were|has gone|have gone)(?: \w+)? (?:in|on)(?: (?:the \w+|camera|there))? (?:and |but )?(?:then|after that|right after that|just after(?: that)?) "
    r"(?:the|my|our) (?:battery|camera|phone|card|memory card|tripod|light)\b"
)


def is_plain(texts: Sequence[str], said: SpokenEffect) -> bool:
    """Whether it is said in so many words, by whom it is of, and the sentence says nothing else of it. ``texts``: the talk's tokens."""
    begins, ends = max(0, said.first - _BEFORE), said.last + 1 + _AFTER
    before = texts[begins : said.first]
    stop = max((n for n, word in enumerate(before) if word == "."), default=-1)
    lead = before[stop + 1 :]
    if said.effect == INSTEAD and _IN_ITS_PLACE.search(" ".join(texts[said.first : said.last + 1])):
        after = " ".join(["", *texts[said.last + 1 : ends]])
        used = _USED.search(" ".join(lead)) is not None
        return used and _NOT_PLAIN.isdisjoint(lead) and _ENDS.search(after) is not None
    window = [*lead, *texts[said.first : ends]]
    text = " ".join(window[: window.index(".")] if "." in window else window)
    pattern = _PLAIN.get(LEFT_OUT if said.effect == INSTEAD else said.effect)
    found = pattern.search(text) if pattern is not None else None
    if found is None or (said.effect == INSTEAD and not _SO_ANOTHER.search(text[found.end() :])):
        return False
    if not any(f"@{n}" in found.group().split() for n in said.names):
        return False
    return _NOT_PLAIN.isdisjoint(text[: found.start()].split()) and _ENDS.search(text[found.end() :]) is not None


def is_no_confession(texts: Sequence[str], at: int) -> bool:
    """*I forgot to mention that the capers are drained*, *I didn't measure the salt*: what is not done there is no adding; *half the secret
    is the mustard* is no amount, and *the other half of the ginger* no less of it."""
    words = " ".join(_sentence(texts, at, 8, 0))
    return (
        _NO_CONFESSION.search(words) is not None
        or _NOT_FORGOTTEN.search(words) is not None
        or _HALF_THE_FUN.search(words) is not None
        or _OTHER_HALF.search(words) is not None
    )


def went_in_before_you(texts: Sequence[str], at: int) -> bool:
    """*The garlic went in while you watched, and then the battery died*: what failed after that has nothing to do with it."""
    return any(
        f" {texts[at]} " in f" {found.group()} " for found in _SEEN.finditer(" ".join(_sentence(texts, at, 6, 14)))
    )


def goes_in_meanwhile(texts: Sequence[str], last: int, at: int) -> bool:
    """*The camera was off when the mustard went in*, of the phrase that ends at ``last``: the name is what went in meanwhile."""
    return _MEANWHILE.match(" ".join(texts[last + 1 : at + 3])) is not None


def _sentence(texts: Sequence[str], at: int, before: int, after: int) -> list[str]:
    """The words about a place, of the same sentence."""
    lead = list(texts[max(0, at - before) : at])
    stop = max((n for n, word in enumerate(lead) if word == "."), default=-1)
    rest = list(texts[at : at + 1 + after])
    return [*lead[stop + 1 :], *(rest[: rest.index(".")] if "." in rest else rest)]
