"""How much of it there is, told of what is in the pot: *that's half the cream it should be*, *nearly twice the sugar ended up in there*,
*the recipe says eight, it's ten*."""

from __future__ import annotations

import re

from scriptkit.english import clauses as c
from scriptkit.english.clause_amounts import last_number
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.effect_kinds import LESS, MORE
from scriptkit.patterns import SoughtPattern, sought

_NAME = r"(?: (?:of|the|my|that|those|these|this|our|its|your|whole|amount|as|much|many|dollop|lot))*(?: \w+)?? @\d+"
_LITTLE = r"(?:little|tiny|mean|meagre|small|scant|modest|paltry|few|couple of|single|bare|sad)"
_BIT = (
    rf"(?:(?:a|an|one|two|three|the) )?(?:{_LITTLE} )?(?:bit|pinch|sprinkle|sprinkling|scattering|splash|dribble|drizzle|drop|drops|scrap|handful|tea ?spoon\w*|table ?spoon\w*|spoon\w*|dab|"
    r"smear|smidge|knob|leaf|leaves|sprig|sprigs|slice|slices|cup|dash|grams?|mils?|millilitres?|litres?)"
)
_HALF = r"(?<!other )(?<!second )(?<!first )(?:half|a third|one third|two thirds|a quarter|three quarters|a fraction|half a|part)(?! (?:way|an? (?:hour|minute)))"
_FEWER = rf"(?:{_HALF}|(?:only|just|barely|hardly|scarcely|no more than|not even|little more than|maybe|perhaps) (?:about |around |maybe |perhaps |a |the )*(?:\w+ ){{0,4}}?{_BIT}|(?:(?:much|far|a lot|rather|slightly) )?(?:less|fewer)|too (?:little|few)|not (?:nearly |quite )?enough|(?:a third|a quarter|half) less)"
_MORES = (
    r"(?:(?:far |way |much |rather |a bit |a little |slightly )?too (?:much|many)|(?:about |nearly |almost |more like |easily |at least |roughly |probably )?(?:twice|double|triple|three times|four times|half as much again)|"
    r"(?:a whole|a full) \w+|(?:a lot|a good deal|a great deal|quite a lot|quite a bit|rather|far|way|much|loads|considerably|somewhat) more|an? extra (?:\w+ )?|\w+ extra|more)"
)
_THEN = r"(?: \w+)? (?:ended up|went|has gone|have gone|gone|got|fell|made it|found (?:its|their) way|landed|came|slipped|survived|is|are) ?(?:(?:in|into|on|onto|there|here|to)\b|$)"
_IN_HERE = r"(?: \w+)? (?:in|on) (?:(?:here|there|it|mine|them)\b|(?:this|that|these|those)(?= (?:,|\.|because|so|and|now|by|today|sorry)|$))(?! than)"
_REFERENCE = (
    r"(?: \w+)? (?:than |that |which |what |as |instead of |rather than )?(?:the (?:whole|full|usual|entire)\b|(?:i|we|it|you|the recipe|the card|there|this|that) (?:\w+ )?(?:meant|said|say|says|should|ought|need|needs|needed|want|wants|wanted|planned|promised|told|"
    r"wrote|asks|calls|intended|was meant|was supposed|was going)\b)"
)
_DEICTIC = r"(?:that|this|it|they|those|these|there|here|what went in)(?: \w+)? (?:is|was|were|are|has|had)(?: (?:about|only|just|really|probably|easily|more like|nearer|got|going to be|now|definitely|at least|a good|nearly|almost))*"
_DID = r"(?:i|we) (?:have |had |just |only |actually |also |accidentally |must have |may have |ended up )*(?:am only giving it|am only giving|am only putting|am only adding|am only using|put|added|used|gave|poured|tipped|threw|stirred|spooned|squeezed|grated|dropped|scattered|sprinkled|had|got|found)(?: \w+){0,3}?"
_SLIP = SoughtPattern(
    r"\b(?:whoops|oops|oof|ooh|blimey|oh dear|oh no|slipped|carried away|by (?:mistake|accident)|misread|miscounted|sorry|came off|fell off|got away|ran away|heavy hand\w*|splurged|overboard|my hand|jolted|greedy|generous)\b"
)
_NOT_SO = SoughtPattern(
    r"\b(?:looks?|looked|seems?|seemed|original|usually|normally|always|last time|next time|version|afraid of|rather have|better than|need|needs)\b"
)
_WHY = SoughtPattern(
    r"\b(?:ran (?:out|dry)|run out|all (?:i|we|there|that)|left|should|supposed|meant|sorry|gave (?:up|out)|split|empty|the last|recipe|card|said|told|planned|instead|stingy|barely|hardly|short|could find|survived|because|mean)\b"
)
"""What makes a remark on how much it is a correction."""
_LOOSE = SoughtPattern(r"\bjust\b|\blittle (?:tiny )?bit\b|\b(?:bit|little|some|any|no) more\b")
_TELLS = tuple(
    (
        effect,
        tuple(
            SoughtPattern(p)
            for p in (
                rf"\b{_DEICTIC} {cue}{_NAME}",
                rf"\b{cue}{_NAME}(?={_THEN}|{_IN_HERE})",
                rf"\b{cue}{_NAME}(?={_REFERENCE})",
                rf"\b{_DID} {cue}{_NAME}",
            )
        ),
    )
    for effect, cue in ((LESS, _FEWER), (MORE, _MORES))
)
_SLIPPED = SoughtPattern(rf"\b{_MORES}{_NAME}")
_HAD_TO = SoughtPattern(
    r"\b(?:had to|ended up|have been) (?:\w+ ){1,4}?(?:another|more|extra)(?: \w+){0,3}?(?: of)?(?: the)? @\d+"
)
_THAT_MUCH = SoughtPattern(
    r"\b(?:so|that is|it is|we are|i am|there is)(?: (?:at|on|about|nearly|roughly|easily|in the end))* (double|twice|triple|half|three times|a third of|more than|less than) (?:what (?:i|you|we|it|the recipe)|that at least|that amount)\b"
)
_SURVIVED = SoughtPattern(
    r"\b(?:grams?|mils?|spoon\w*|cups?|litres?|handfuls?|half|\w+ of) (?:of )?(?:the |my )?@\d+ (?:\w+ )?(?:made it|survived|were left|was left|is all that|was all that|got (?:in|on))"
)
_RAN_DRY = SoughtPattern(r"@\d+(?: \w+)? (?:ran|run|runs|gave) (?:dry|out|short|up) (?:at|after|on)\b")


def measured(r: ClauseThemes, n: int) -> Told | None:
    """What is said of how much of it went in, or is there."""
    clause = r.clauses[n]
    text = clause.text
    if (
        clause.supposes
        or clause.asks
        or (clause.denied and not clause.has("barely", "hardly", "scarcely"))
        or clause.subject in (c.YOU, c.OTHER)
        or clause.when == c.ORDER
        or (clause.when == c.FUTURE and not clause.has("than"))
        or (clause.when == c.MODAL and not sought(r"\b(?:i|we) would (?:say|call|guess|think)\b|\bshould\b", text))
        or "@" not in text
        or _NOT_SO.search(text)
        or sought(
            r"\b(?:that|than|as|what) (?:you|people|they|most people) (?:would|might|usually|normally)\b",
            r.to_stop(n, 7),
        )
    ):
        return None
    return _told_by_measure(r, n, text) or _slipped(r, n, text)


def _told_by_measure(r: ClauseThemes, n: int, text: str) -> Told | None:
    clause = r.clauses[n]
    wide = r.to_stop(n, 10)
    for effect, patterns in _TELLS:
        for pattern in patterns:
            found = pattern.search(wide)
            if (
                found
                and found.end() <= len(text)
                and _corrects(r, n, effect, pattern, found.group())
                and not sought(
                    r"\b(?:all|not|never|too much|too many) (?:of )?@|\bthe other half\b|\bmore or less\b",
                    found.group(),
                )
            ):
                return effect, r.named(clause, text, found.end())[:1]
    return None


def _slipped(r: ClauseThemes, n: int, text: str) -> Told | None:
    clause = r.clauses[n]
    slip = _SLIPPED.search(text)
    if slip and _SLIP.search(r.near(n, 10, 8)) and clause.when in (c.PAST, c.BARE, c.PRESENT):
        return MORE, r.named(clause, text, slip.end())[:1]
    if (what := _THAT_MUCH.search(r.to_stop(n, 6))) and clause.names():
        return (LESS if what.group(1) in ("half", "a third of", "less than") else MORE), clause.names()[:1]
    for effect, pattern in ((MORE, _HAD_TO), (LESS, _SURVIVED), (LESS, _RAN_DRY)):
        if found := pattern.search(text):
            at = found.group().find("@")
            return effect, r.named(clause, text, found.start() + at + 1)[:1]
    return None


def _corrects(r: ClauseThemes, n: int, effect: str, pattern: SoughtPattern, words: str) -> bool:
    """Whether it is more than a remark: *that was only a spoon*, *half of it, it's all I had*; not *just a little bit of oil on it*."""
    near = r.near(n, 10, 10)
    if _LOOSE.search(words) and not (_SLIP.search(near) or sought(_REFERENCE, near)):
        return False
    if pattern is _TELLS[effect == MORE][1][2]:
        return True
    if effect == MORE:
        strong = sought(r"\b(?:too|twice|double|triple|times|lot|deal|far|way|much|loads|considerably)\b", words)
        compared = sought(
            r"^ (?:in this \w+ )?as |^ than (?!i|we|it|the recipe|the card|planned|meant)",
            r.to_stop(n, 8).partition(words)[2],
        )
        return bool((strong and not compared) or _SLIP.search(near))
    past = sought(r"\b(?:was|were|went|ended|got|made it|came|survived)\b", r.to_stop(n, 4))
    return bool(
        past
        and sought(
            r"\b(?:only|barely|hardly|scarcely|no more|not even|third|quarter|half|perhaps|maybe|less|fewer)\b", words
        )
    ) or bool(_WHY.search(near))


# --- what was planned, and what it is ---------------------------------------------------------------------------------

_PLANNED = SoughtPattern(
    r"\b(?:(?:i|we) (?:said|say|wrote|told|promised|planned|meant|wanted|intended|asked)|it says|(?:recipe|card|list|book|page) (?:says|said|wants|asks|calls|has|needs)|(?:the|my) plan|in mind|(?:was|were) (?:meant|supposed)|written|should (?:be|have been)|supposed to be|ought to be)\b"
)
_OTHER_UNITS = SoughtPattern(
    r"\b(?:minutes?|hours?|seconds?|degrees|percent|people|servings?|plates?|bowls|centimetres?|millimetres?|inch(?:es)?|days?|weeks?|years?|oclock|times)\b"
)
_IS_SO = SoughtPattern(
    r"\b(?:it|that|this|there|they|those|these) (?:is|are|was|were)|\b(?:i|we) (?:have |had )?(?:put|used|got|had|made|added|ended|gave|poured|grated|went)|\bcall (?:it|that)\b|\b(?:went|gone) in\b|\b(?:in|left in) the \w+|\bcoughed\b|\bmade it\b|\bcame to\b|\b(?:more like|nearer|closer)\b"
)


def planned_and_done(r: ClauseThemes, n: int) -> Told | None:
    """*The recipe says eight, it's ten*: the figure that was planned, then that which it is; or the other way about."""
    clause = r.clauses[n]
    if (
        n == 0
        or clause.supposes
        or clause.asks
        or clause.subject in (c.YOU, c.OTHER)
        or clause.when in (c.MODAL, c.FUTURE)
    ):
        return None
    now = last_number(re.sub(r"@\d+", "", clause.text))
    if now is None or _OTHER_UNITS.search(clause.text):
        return None
    for m in range(n - 1, max(-1, n - 4), -1):
        before = r.clauses[m]
        if (
            clause.first - before.last > 14
            or before.supposes
            or before.subject == c.OTHER
            or _OTHER_UNITS.search(before.text)
        ):
            return None
        then = last_number(re.sub(r"@\d+", "", before.text))
        if then is None or then == now:
            continue
        planned_first = bool(_PLANNED.search(before.text)) and not _PLANNED.search(clause.text)
        planned_last = bool(_PLANNED.search(clause.text)) and not _PLANNED.search(before.text)
        if not ((planned_first and _IS_SO.search(clause.text)) or (planned_last and _IS_SO.search(before.text))):
            return None
        names = before.names() or clause.names() or r.back(m, ["they"] if "them" in r.to_stop(n, 8) else ["it"])
        more = now > then if planned_first else then > now
        return ((MORE if more else LESS), names[-1:]) if names else None
    return None
