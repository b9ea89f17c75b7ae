"""What is said not to be there, without a verb of forgetting: *these bowls go out without yoghurt*, *I'd love to say there's basil in here*,
*ginger? not in this one*, *I shut the door without doing it*; and what is made up for: *I missed it, so it's going on now*."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.effect_kinds import LATER, LEFT_OUT
from scriptkit.patterns import SoughtPattern, sought

_X = r"(?:any |the |a |an |my |that |some |its |proper |single |bit of |drop of |scrap of |single scrap of |trace of |hint of )*(?:\w+ )?@\d+"
_HERE = r"(?:(?:in|on|into|onto) (?:here|there|this|it|that|these|those|mine|them|my \w+|tonight|today)|in this (?:\w+ ){0,2}\w+|today|tonight|this time|at all|here|this evening)"
_WITHOUT = SoughtPattern(
    rf"\b(?:go(?:es|ing)?|went|gone|comes?|came|serv(?:e|ed|ing)|manag(?:e|ed|ing)|mak(?:e|ing)|made|do(?:ing)?|did|done|carry(?:ing)? on|carried on|handed|is|are|was|were|having|live|cope|am|plated)(?: \w+){{0,3}} without(?: {_X}|$| (?:it|them|that)\b)"
)
_WITHOUT_DOING = SoughtPattern(
    rf"\bwithout (?:ever |even |actually |first )*(?:doing|adding|putting|using|giving|stirring|having|including|remembering|touching)(?: (?:(it|that|so|them|those|any)\b|{_X}))"
)
_NO_X = SoughtPattern(rf"\b(?:no|not any|not a|none of the|nothing of the|zero)(?: \w+)? @\d+(?: \w+)? {_HERE}")
_NO_X_SAID = SoughtPattern(
    r"\b(?:there (?:is|are|was|were)|it has|this has|has got|have got|got|getting|has|have) (?:no|not any)(?: \w+)? @\d+(?= (?:because|so|in|on|and i|,|at)|$| ,)"
)
_WHY_NOT = SoughtPattern(
    r"^(?: ,)?(?: \.)? (?:because|since|as|sorry|and) (?:i|we|the|somebody|someone|my|there|they|it) "
)
_ABSENCE_OF = SoughtPattern(
    r"\b(?:(?<!in )the absence of|the lack of|(?:is|are|was|were|it) (?:missing|lacking|short of)|no sign of|not a sign of|not a trace of)(?: \w+){0,2} @\d+"
)
_NO_SHOW = SoughtPattern(
    r"@\d+(?: (?!is\b|are\b|was\b|were\b|has\b|have\b)\w+)? (?:(?:is|are|was|were|has|have|is been) (?:a no[- ]show|not to be|nowhere|absent|relegated|benched|axed|scrapped|sidelined|shelved|banished|been (?:relegated|benched|axed|dropped(?! (?:in|on|into))|scrapped|sidelined|shelved|banished|struck off)|missing(?! (?:their|its|a|an|any|some)\b)|not happening|no more)|(?:did|have|has|had) not happen(?:ed)?|never happened|got (?:left behind|forgotten|overlooked|missed))\b"
)
_WISHED = SoughtPattern(
    r"\b(?:(?:would|had) (?:love|like|have liked|have loved|hoped)|wish(?:ed)? (?:i|we) could|was hoping|hoped|wanted|was going|were going|had planned|planned) to (?:be able to )?(?:say|tell|show|claim|pretend|give|add|put|use|have|dot|stir)\b.*?@\d+"
)
_BUT = SoughtPattern(r"\b(?:but|only|and then|however|until)\b")
_NOT_IN_THIS = SoughtPattern(
    r"^(?:, )?(?:sorry |well |no |oh )*(?:not (?:in (?:this|mine|here|there|it|today)|this time|today|tonight|on this|any ?more)|none (?:in|on|of it|left|today|tonight)|no(?: \.| ,|$))"
)
_YES_AND_NO = SoughtPattern(r"@(\d+) (?:yes|tick|check|in),? (?:, )?(?:but )?@\d+ (?:no|not)\b")
_NOT_USED = SoughtPattern(
    rf"\b(?:i|we) (?:have |had |did |could |am |are )*not (?:been able to |going to |so much as |really |even |bothered |bother(?:ing)? |bothered with |bothering with |bother with )*(?:used?|using|touch(?:ed|ing)?|open(?:ed|ing)?|look(?:ed|ing) at|bother(?:ed|ing)?(?: with)?|doing)(?: {_X}| (?:any|it|them)\b)"
)
_GAVE_UP = SoughtPattern(
    rf"\b(?:gave up|given up|giving up) (?:on |looking for |finding |hunting for )(?:{_X}|it\b|them\b)|\b(?:kept|keeping|leaving|left|leave) {_X} (?:right |well )?(?:out|off)\b(?! (?:of the|for|to|until|overnight|on|at))|"
    rf"\b(?:can not|could not) (?:face|bear|be (?:bothered|doing) with) (?:{_X}|it\b|them\b)|\b(?:decided|voted|was|am|chose) against (?:{_X}|it\b|them\b)"
)
_LAST = SoughtPattern(r"\b(?:some|half|rest|remaining|last|second)\b")
_PUTTING = SoughtPattern(
    r"\b(?:i|we) (?:am|are)(?: \w+){0,2} (?:adding|putting|squeezing|stirring|sprinkling|scattering|pouring|tipping|throwing|dropping|grating|spooning|doing|giving|popping|drizzling|dusting|whisking|sneaking|slipping)\b|"
    r"\b(?:it|they|that|those|@\d+) (?:is|are)(?: \w+)? (?:going|being|getting|coming)(?: \w+)? ?(?:in|on|over|into|onto|now|here)\b"
)
_NOW = SoughtPattern(
    r"\b(?:instead|at this late|late stage|over the|onto|into the bowls?|straight (?:in|on|into|onto|over)|at the table|in the bowls?|on top|after(?=$| [.,])|after all|afterwards|now that)\b"
)
"""Not at its step, but at another: what only goes in *now* has gone in."""
_MISSED = SoughtPattern(
    r"\b(?:missed|forgot|forgotten|skipped|overlooked|left (?:it |them |@\d+ )?out|never (?:\w+ )?(?:got|went|put|added|made|found|happened)|not (?:go|get|make|put|add|happen)|should have (?:gone|been|put|added)|ought to have|supposed to|kept|held|saved)\b"
)


def not_there(r: ClauseThemes, n: int) -> Told | None:
    """That it is not in the dish, told by what is there, by a wish or by a short answer."""
    clause = r.clauses[n]
    text = clause.text
    if clause.supposes or clause.subject in (c.YOU, c.OTHER) or clause.lead in ("when", "unless", "until", "till"):
        return None
    if clause.when not in (c.MODAL, c.MEANT) and not clause.asks and (found := _this_one(r, n, text)) is not None:
        return found
    if clause.subject == c.US and (
        wish := _WISHED.search(text + " " + " ".join(r.words[clause.last + 1 : clause.last + 7]))
    ):
        ahead = " ".join(r.words[clause.last + 1 : clause.last + 16])
        at = clause.first + wish.group().count(" ") + text[: wish.start()].count(" ")
        undone = _BUT.search(ahead) and (
            sought(r"\b(?:love|like|liked|loved|hoped|hoping|wish)\b", wish.group()) or _WITHOUT_DOING.search(ahead)
        )
        if undone and r.words[at][0] == "@":
            return LEFT_OUT, [at]
    return _short_answer(r, n) or _in_a_word(r, n) or _so_many_things(r, n) or _too_late(r, n)


_THINGS = SoughtPattern(
    r"\b(?:one|two|three|four|a few|a couple of|some|several|couple of) (?:\w+ )?(?:things?|ingredients?|items?|bits|bobs)\b(?: \S+)*? "
    r"(?:(?:never|did not|have not|has not) (?:\w+ )?(?:make|made|go|went|gone|got|get|end)|(?:i|we) (?:\w+ ){0,2}?(?:forgot|forgotten|left out|missed|skipped|never put|omitted)|(?:are|is|were|was) (?:\w+ )?missing|(?:left out|missing|forgotten))\b"
    r"(?: (?!@)[^\s.]+){0,7}? (?:,|\.|and|namely)(?: (?:and|that is|they are|it is|it was|those are|namely|the|my|our))* @\d+"
)
"""*Two things never made it in, the chives and the mustard*; *I forgot two things: …*."""
_FORGOT_THINGS = SoughtPattern(
    r"\b(?:i|we) (?:\w+ ){0,2}?(?:forgot|forgotten|left out|missed|skipped|never put in|omitted|left off) (?:one|two|three|a few|a couple of|some|several) (?:\w+ )?(?:things?|ingredients?|items?|bits)\b"
    r"(?: (?!@)[^\s.]+){0,6}?(?: ,| \.| and)(?: (?:and|that is|they are|it is|it was|namely|the|my|our))* @\d+"
)


_TOO_LATE = SoughtPattern(
    r"\btoo late (?:now |by now )?(?:to (?:go back and |be )?(?:add|adding|put|putting|stir|stirring|pour|use|sprinkle|scatter|fold|mix|whisk|squeeze|throw|chuck|get|do)\b|for (?:it|them|that|@\d+)(?= (?:now|.)|$))"
)


def _too_late(r: ClauseThemes, n: int) -> Told | None:
    """*The mustard! It's too late to stir it in now.*"""
    clause = r.clauses[n]
    if not _TOO_LATE.search(clause.text) or clause.denied or clause.when not in (c.PRESENT, c.BARE, c.PAST):
        return None
    theme = clause.names()[:1] or r.back(n, ["them"] if clause.has("them") else ["it"])[:1]
    return (LEFT_OUT, theme) if theme and clause.first - theme[0] <= _JUST_NAMED else None


_JUST_NAMED = 12


_IN_A_WORD = SoughtPattern(
    r"^(?:(?:and|so|well|oh|the|my|our) )*@(\d+) (?:[,.] )?(?:omitted|forgotten|skipped|missed|overlooked|left out|absent|missing|never happened|nowhere|nope|forgot)(?= [,.]|$)"
)
_NO_X_ALONE = SoughtPattern(
    r"^(?:(?:and|so|well|oh|right|argh|quick one|yes|,) )*(?:no|zero) (?:\w+ )?@\d+(?: (?:in|on) (?:that|there|it|this|those|them|here))?(?: ,)?$"
)
_MY_FAULT = SoughtPattern(
    r"^ (?:[,.] )?(?:(?:and|so|that is|it is|all|entirely|sorry|completely) )*(?:my (?:fault|bad|mistake|error|oversight)|sorry|apologies|oops|whoops|guilty|mea culpa|i forgot|(?:i )?(?:clean )?(?:forgot|missed) (?:it|them|that)|my own fault|what an idiot|silly me)\b"
)
_HAD_NONE = SoughtPattern(
    r"\b(?:this one|that one|mine|(?:the|this|that|my|our|today) \w+|this|it|these|they) (?:had|has|have|has got|got|contains|contained) (?:none|zero)(?= [,.]|$| (?:of it|of them|as|at all|in it|today|whatsoever))"
)


def _in_a_word(r: ClauseThemes, n: int) -> Told | None:
    """*Capers: omitted*; *no chives, my fault*; *the sauce had none*."""
    clause = r.clauses[n]
    wide = r.near(n, 0, 8)
    if (clause.first == 0 or r.words[clause.first - 1] == ".") and _IN_A_WORD.search(wide):
        return LEFT_OUT, [next(k for k in range(clause.first, clause.last + 2) if r.words[k][0] == "@")]
    if _NO_X_ALONE.search(clause.text) and _MY_FAULT.search(wide[len(clause.text) :]):
        return LEFT_OUT, clause.names()[:1]
    if _HAD_NONE.search(clause.text) and not clause.names() and not clause.denied:
        theme = r.back(n, [])[:1]
        return (LEFT_OUT, theme) if theme and clause.first - theme[0] <= _JUST_NAMED else None
    return None


def _so_many_things(r: ClauseThemes, n: int) -> Told | None:
    clause = r.clauses[n]
    wide = r.near(n, 0, 14)
    found = _THINGS.search(wide) or _FORGOT_THINGS.search(wide)
    if found is None or found.start() >= len(clause.text) or clause.asks:
        return None
    at = clause.first + wide[: found.end()].count(" ")
    return LEFT_OUT, r.group(at, r.home(at))


def _this_one(r: ClauseThemes, n: int, text: str) -> Told | None:
    clause = r.clauses[n]
    if not clause.denied or "without" in text:
        found = _WITHOUT.search(text)
        if found and clause.subject in (c.NAME, c.POINTER, c.NO_ONE, c.US, c.THERE) and _is_ours(r, n):
            theme = (
                [clause.first + text[: found.end()].count(" ")]
                if "@" in found.group().split("without")[1]
                else _same_breath(r, n) or r.back(n, ["it"])[:1]
            )
            return (LEFT_OUT, theme) if theme and _no_rule(r, n) else None
    if (
        (done := _WITHOUT_DOING.search(text))
        and not clause.denied
        and clause.when in (c.PAST, c.BARE, c.PRESENT)
        and clause.subject in (c.US, c.NO_ONE, c.POINTER)
    ):
        past = clause.when == c.PAST or sought(r"\b(?:i|we) (?:\w+ed|shut|went|sent|put|did|have|had)\b", r.near(n, 8))
        theme = r.named(clause, text, done.end()) if "@" in done.group() else r.back(n, [done.group(1) or "it"])[:1]
        return (LEFT_OUT, theme) if theme and past else None
    for pattern in (_NO_X, _ABSENCE_OF, _NO_SHOW):
        found = pattern.search(text)
        if found and _is_ours(r, n) and _no_rule(r, n):
            k = clause.first + text[: found.start() + found.group().index("@")].count(" ")
            return LEFT_OUT, r.group(k, clause)
    if (
        (found := _NO_X_SAID.search(text))
        and clause.subject in (c.THERE, c.POINTER, c.NO_ONE, c.US)
        and _WHY_NOT.match(text[found.end() :] + " " + " ".join(r.words[clause.last + 1 : clause.last + 6]))
    ):
        return LEFT_OUT, r.named(clause, text, found.end())
    for pattern in (_NOT_USED, _GAVE_UP):
        found = pattern.search(text)
        if (
            pattern is _NOT_USED
            and clause.when == c.PRESENT
            and not sought(rf"{_HERE}|\b(?:because|since|sorry)\b", r.to_stop(n, 6))
        ):
            continue
        if (
            found
            and clause.subject in (c.US, c.NO_ONE)
            and clause.when in (c.PAST, c.PRESENT, c.BARE)
            and (pattern is _NOT_USED or not clause.denied or "not" in found.group())
        ):
            if _LAST.search(found.group()) and "@" not in found.group():
                continue
            names = [k for k in clause.names() if k >= clause.first + text[: found.start()].count(" ")][:1]
            theme = r.group(names[0], clause) if names else r.back(n, ["it"])[:1]
            return (
                (LEFT_OUT, theme)
                if theme and not sought(r"\b(?:yet|until|till|all|enough|less|more)\b", r.to_stop(n, 2))
                else None
            )
    return None


def _same_breath(r: ClauseThemes, n: int) -> list[int]:
    """*The chives had gone slimy, so we're going without*: what the clause before is about."""
    before = r.clauses[n - 1] if n else None
    names = before.names() if before is not None and before.sentence == r.clauses[n].sentence else []
    return names[-1:]


def _is_ours(r: ClauseThemes, n: int) -> bool:
    """Whether it is said of what stands here: of today, and not of a rule, a version or another's pot."""
    return (
        sought(
            r"\b(?:you|your|people|version|would|could|usually|always|so be|looking|restaurants?|shops?|supermarket|recipes?|rule)\b",
            r.clauses[n].text,
        )
        is None
    )


def _no_rule(r: ClauseThemes, n: int) -> bool:
    """Not *no cumin, no lentils*; not *it would be dull without it*."""
    text = r.to_stop(n, 4)
    return not sought(r"\bno (?:\w+ )?@\d+ (?:, )?no\b|\b(?:would|could|never|nothing|without \w+ing)\b", text)


_BECAUSE_NOT = SoughtPattern(r"(?:and )?(?:that is )?because (?:it|they) (?:did|has|have|was|were) not(?: ,)?$")


def _short_answer(r: ClauseThemes, n: int) -> Told | None:
    """*Ginger? Not in this one*; *black pepper yes, paprika no*."""
    clause = r.clauses[n]
    near = r.near(n, 0, 6)
    if _BECAUSE_NOT.match(clause.text):
        theme = r.back(n, [])[:1]
        return (LEFT_OUT, theme) if theme else None
    if found := _YES_AND_NO.search(near):
        return LEFT_OUT, [clause.first + near[: found.start() + found.group().rindex("@")].count(" ")]
    if n and len(clause.words) <= 9 and not clause.names() and _NOT_IN_THIS.match(clause.text + " "):
        before = r.clauses[n - 1]
        named = before.names() and len(before.words) <= 4 and clause.first - before.last <= 2
        if named and before.words[-1] in (before.words[before.names()[-1] - before.first], ","):
            return LEFT_OUT, r.group(before.names()[-1], before)
    return None


def made_up_for(r: ClauseThemes, n: int) -> Told | None:
    """*The lemon I missed at the time, so I'm squeezing it over the bowls now.*"""
    clause = r.clauses[n]
    if (
        clause.supposes
        or clause.asks
        or clause.denied
        or not _PUTTING.search(clause.text)
        or not _NOW.search(r.to_stop(n, 5))
    ):
        return None
    unnamed = None
    for m in range(n - 1, max(-1, n - 4), -1):
        before = r.clauses[m]
        if clause.first - before.last > 14 or before.subject in (c.YOU, c.OTHER) or before.supposes:
            break
        if _MISSED.search(before.text) and not sought(r"\b(?:nearly|almost|not forgotten|not forget)\b", before.text):
            if theme := clause.names()[:1] or before.names()[:1]:
                return LATER, theme
            unnamed = m
    theme = r.back(unnamed, ["it"])[:1] if unnamed is not None else []
    return (LATER, theme) if theme else None


_FRONTED = SoughtPattern(
    r"@(\d+) (?:,? ?)(?:i|we) (?:will|am going to|are going to) \w+(?: \w+){0,4} (?:separately|afterwards?|later|at the table|on the side|at the end)\b"
)
_ELSEWHERE_LATER = SoughtPattern(
    r"@\d+ (?:goes|go|will go|is going|are going|comes|come) (?:on|onto|over)(?: to)? (?:the |each |my )?(?:plates?|bowls?|table|slices?|portions?) .*\bnot (?:in|into|now)\b|\b(?:i|we) (?:want|am adding|put|prefer|add) (?:the )?@\d+ .*\bnot now\b"
)


def fronted(r: ClauseThemes, n: int) -> Told | None:
    """*The yoghurt I'll pass round separately*; *the basil goes on the plates and not in the wok*."""
    clause = r.clauses[n]
    if clause.supposes or clause.asks or clause.subject in (c.YOU, c.OTHER):
        return None
    wide = r.to_stop(n, 8)
    found = _FRONTED.search(wide) or _ELSEWHERE_LATER.search(wide)
    names = [k for k in clause.names() if found is not None and k >= clause.first + wide[: found.start()].count(" ")]
    return (LATER, names[:1]) if names else None
