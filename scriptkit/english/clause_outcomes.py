"""What came of an ingredient, told by its mishap or by the end of the sentence: *it fell on the floor, so nobody gets any*, *I burnt the
peanuts*, *the basil would have gone in if the rabbit hadn't eaten it*."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_themes import ALMOST, ClauseThemes, Told
from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE
from scriptkit.patterns import SoughtPattern

_X = r"(?:(?:the|my|our|all|that|those|of|last|rest) )*(?:(?!of|the|in|to|with|and|not|for)\w+ )?@\d+"
_NONE_GOES = SoughtPattern(
    r"\b(?:there is|there are|there was|there were|this has|this one has|it has|we have|i have|has got|have got|you get|we get|ours has|mine has|leaves|that leaves) (?:none|nothing on top)(?: (?:at all|in|on|of|here|there|today|tonight|to)\b.*)?$|"
    r"\b(?:nobody|no one|none of (?:us|you)) (?:gets|get|is getting|has|have|will have|will get) (?:any|some|it|them)\b|\b(?:so|and|but) (?:none|nothing) (?:for (?:us|you|me)|from me|today|tonight|this time|went in|goes in)\b|"
    r"\b(?:you will|you have|we will|we have) (?:\w+ )?(?:to )?(?:imagine|picture|dream up|do without) (?:it|them|that|those)\b"
)
"""The end of a sentence whose beginning names it."""
_MISHAP = SoughtPattern(
    r"@\d+(?: \w+)?? (?:has |have |had |all |just |is |are |was |were )*(?:fell|fallen|landed|ended up|went|gone|rolled|slid|dropped) (?:\w+ )?(?:on|onto|over|in|into|down|under|behind|off) (?:the |my |our )?(?:\w+ )?(?:floor|sink|drain|bin|cooker|sofa|table|counter|ground|harbour|water|sea|dog|cat)\b|"
    r"@\d+(?: \w+)?? (?:has |have |had |all |just |got |was |were )*(?:caught fire|burnt|burned|exploded|(?:vanished|disappeared)(?! in)|turned to (?:mush|charcoal|ash|slime)|went up in (?:smoke|flames)|perished|boiled over|by the (?:board|wayside)|went (?:by the (?:board|wayside)|astray|missing|walkabout)|fell by the wayside)\b"
)
_WE_LOST = SoughtPattern(
    rf"\b(?:i|we|somebody|someone) (?:have |has |had |just |must have |already |went and |managed to )*(?:burnt|burned|burn|lost|lose|ruined|ruin|ate|eaten|eat|incinerated|cremated|scorched|finished off|gave away|given away|binned|wasted|mislaid|fed) (?:all )?{_X}(?=$| [.,]| (?:so|and|but|because|in|on|under|yesterday|this|last|to|before|earlier)\b)"
)
_UNOPENED = SoughtPattern(
    r"@\d+(?: \w+)?? (?:is|are|was|were|sits|stands|lies|stayed)(?: (?:still|just|all|there|here|completely|sitting|standing|lying|left))* (?:unopened|untouched|unused|sealed|unpeeled|uncut|ungrated|unsqueezed|unpoured|shut|in one piece)\b"
)
_NO_FROM_ME = SoughtPattern(
    r"\b(?:so|well|then|sorry|and|therefore) (?:there is |it is |it will be )?no(?: \w+)? @\d+ (?:from me|for (?:me|us|you|this|him|her|them|anyone)|then|i am afraid|on (?:mine|ours)|going in|went in)\b"
)
_WOULD_HAVE = SoughtPattern(
    rf"{_X} would (?:have )?(?:gone|go|been|be|come|followed)(?: \w+){{0,3}}(?: (?:in|on|over|here|now|next))+\b|\b(?:i|we) would (?:have )?(?:put|added|stirred|grated|poured|scattered|used)(?: in)? {_X}"
)
_IF_NOT = SoughtPattern(r"\b(?:if|had|but|only)\b.*\b(?:not|had|could|was|were|eaten|forgotten|left)\b")
_HALF_ONLY = SoughtPattern(
    rf"\b(?:i|we) (?:have |had )?(?:stopped|gave up|ran out|ran dry|drew the line|called it a day) (?:at|after|with) (?:about |around |only |just )?(?:half|a third|a quarter|two thirds|one|a|the first|twenty|thirty|forty|fifty)(?: \w+){{0,3}}?(?: of)? {_X}"
)
_AGAIN = SoughtPattern(
    rf"\bhalf (?:as (?:much|many) )?{_X} again\b|\bas (?:much|many) {_X} again\b|\b(?:i|we) (?:have |had |just )?(?:tipped|put|poured|emptied|used|threw|thrown|added|squeezed|scraped|shook)(?: in)? the (?:whole|entire|full) (?!of )\w+ of {_X}|\bmore {_X}(?: \w+){{0,3}} than (?:a|an|one|two|three|four|half)\b"
)
_REST_OF_THE_BAG = SoughtPattern(
    r"\b(?:thrown|threw|tipped|put|poured|emptied|added|chucked)(?: in| over)? the (?:rest|remainder|remains|last|whole) of the (?:bag|packet|jar|tin|tub|bottle|box|carton|bunch|pot|lot)\b"
)
_FIRST_SO_MUCH = SoughtPattern(r"\b(?:weighed|measured|said|planned|meant|wrote|counted|written)\b")
_AND_NOT = SoughtPattern(
    rf"\b(?:i|we) (?:have |had )?(?:had|used|got|picked|took|put|grabbed|poured|opened)(?: (?!not\b)\w+){{1,7}} (?:and|,) ?not {_X}"
)
_WHAT_IS_NOT = SoughtPattern(
    rf"\b(?:what|the (?:stuff|thing|one)) (?:that )?(?:i|we|you|went|goes)(?: \w+){{1,4}}? (?:is|was|are|were) not {_X}"
)
_AT_THE_TABLE = SoughtPattern(
    r"@\d+ (?:, )?(?:i|we) (?:only |always )?(?:\w+)(?: \w+){0,2} (?:at the (?:table|end)|on the plates?|in the bowls?|over the bowls|last|afterwards)\b"
)
_NOT_NOW = SoughtPattern(
    rf"\b(?:i am|we are|i will|we will) not (?:\w+ing|do|add|put|use|have) {_X} (?:now|yet|just yet|at this point|for now)\b|{_X} (?:can|must|should|will|may) (?:stay|remain|wait|sit|stop)(?: \w+)? ?(?:where (?:it is|they are)|put|there|here|on the side|in (?:its|their))(?! (?:all|cold|frozen))"
)
_CHANGED = SoughtPattern(r"\b(?:changed my mind|change of plan|second thoughts|thought better|on reflection)\b")
_THEN_LATER = SoughtPattern(
    r"\b(?:go|goes|come|comes|put|add|going|have)\b.*\b(?:once|after|when|later|at the end|last|at the table)\b"
)
_PLENTY = SoughtPattern(r"\b(?:plenty|enough|spare|another|more where|luckily|anyway|rescued|does not matter)\b")
_BAD = SoughtPattern(
    r"\b(?:nearly|almost|if|would|could|might|usually|always|sometimes|people|you (?:can|could|may|might))\b"
)


def outcome(r: ClauseThemes, n: int) -> Told | None:
    """What a mishap, an end with none, or a plan undone tells of the name."""
    clause = r.clauses[n]
    text = clause.text
    if clause.supposes or clause.subject == c.OTHER or (clause.asks and not clause.has("is", "are")):
        return None
    wide = r.to_stop(n, 9)
    if found := _none_went_in(r, n, text, wide):
        return LEFT_OUT, found
    if ALMOST.search(text) or _BAD.search(text):
        return None
    return _put_off(r, n, text, wide) or _amount(r, n, text, wide)


def _none_went_in(r: ClauseThemes, n: int, text: str, wide: str) -> list[int]:
    clause = r.clauses[n]
    found = _at(r, n, _WOULD_HAVE, text)
    if found and _IF_NOT.search(r.to_stop(n, 12)[len(text) :]):
        return found
    if ALMOST.search(text) or _BAD.search(text):
        return []
    if not clause.denied and clause.when in (c.PAST, c.PRESENT, c.BARE):
        if _PLENTY.search(r.to_stop(n, 12)):
            return []
        for pattern in (_MISHAP, _WE_LOST, _UNOPENED):
            if found := _at(r, n, pattern, text):
                return found
    return _at(r, n, _NO_FROM_ME, wide) or (_before(r, n) if _NONE_GOES.search(text) else [])


def _put_off(r: ClauseThemes, n: int, text: str, wide: str) -> Told | None:
    clause = r.clauses[n]
    if clause.subject == c.YOU:
        return None
    if found := _at(r, n, _AND_NOT, text) or _at(r, n, _WHAT_IS_NOT, text):
        return INSTEAD, found
    if found := _at(r, n, _NOT_NOW, wide) or (_at(r, n, _AT_THE_TABLE, wide) if not clause.denied else []):
        return LATER, found
    if (
        (hit := _CHANGED.search(text))
        and (names := clause.names())
        and _THEN_LATER.search(r.to_stop(n, 12)[hit.end() :])
    ):
        return LATER, names[:1]
    return None


def _amount(r: ClauseThemes, n: int, text: str, wide: str) -> Told | None:
    clause = r.clauses[n]
    if clause.denied or clause.subject == c.YOU or clause.when in (c.MODAL, c.ORDER, c.FUTURE):
        return None
    if found := _at(r, n, _HALF_ONLY, text):
        return LESS, found[:1]
    if found := _at(r, n, _AGAIN, wide):
        return MORE, found[:1]
    if (
        _REST_OF_THE_BAG.search(text)
        and _FIRST_SO_MUCH.search(r.near(n, 14)[: -len(text)])
        and (found := _before(r, n))
    ):
        return MORE, found[:1]
    return None


def _at(r: ClauseThemes, n: int, pattern: SoughtPattern, text: str) -> list[int]:
    """The first name of what fits from within the clause, with those beside it."""
    clause = r.clauses[n]
    found = pattern.search(text)
    if found is None or found.start() > len(clause.text):
        return []
    at = clause.first + text[: found.start() + found.group().index("@")].count(" ")
    return r.group(at, r.home(at))


def _before(r: ClauseThemes, n: int) -> list[int]:
    """What the sentence is about so far, or the one before it: the last name in the three clauses before."""
    clause = r.clauses[n]
    if names := clause.names():
        return names[:1]
    for m in range(n - 1, max(-1, n - 4), -1):
        before = r.clauses[m]
        if clause.first - before.last > 18 or before.supposes:
            break
        if names := before.names():
            return names[-1:]
    return []
