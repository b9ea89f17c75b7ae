"""Another food that stands where an ingredient should: *the oats were past it, so those are cornflakes*, *I say stock, but it's water*."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.clauses import Clause
from scriptkit.english.effect_kinds import INSTEAD
from scriptkit.patterns import SoughtPattern, sought

_THIS_IS = SoughtPattern(
    r"\b(?:(?:that|this|those|these|it|they|what) (?:\w+ ){0,4}?(?:is|are|was|were)\b(?! not\b)|(?:there|here) (?:is|are|was|were)\b|you (?:are|were) (?:looking at|seeing|getting|having|eating|tasting|watching)\b)"
)
_IF_YOU_WONDER = SoughtPattern(
    r"\bif you (?:are |were )?(?:think|thought|thinking|wonder|wondered|wondering|notice|noticed|spot|spotted|see|saw|feel|believe)\b"
)
_YOU_SEE = SoughtPattern(r"\byou (?:are|were) (?:looking at|seeing|getting|having|eating|tasting|watching)\b")
_TOOK = SoughtPattern(
    r"\b(?:i|we) (?:\w+ ){0,4}?(?:used|using|took|taking|taken|grab|grabbed|grabbing|got|gotten|put|poured|added|adding|opened|chose|chosen|picked|fetched|found|had|"
    r"(?:went|gone|going|go|reached|settled|opted|plumped) (?:for|with)|(?:make|making|made) do with|(?:fell|fallen|falling) back on|"
    r"(?:turned|switched|resorted) to|scatter(?:ed|ing)?|sprinkl(?:e|ed|ing)|stirr?(?:ed|ing)?|tipped|threw|spooned|crumbled|serving|served)\b"
)
_DOES = SoughtPattern(
    r"^ (?:\w+ )?(?:(?:it is|it was|it has to be|it will have to be|that was|that is|this is|this was)\b|(?:will|has|have|had) to do\b|will do(?: (?:instead|today|tonight|fine))?\b|(?:has|have|had to|is|are)?(?: \w+)? ?(?:taken|taking|took|take|stood|stand|standing|stepped|stepping|filled|filling) (?:over|in)\b|"
    r"(?:is|are|was|were) (?:what|all)\b|(?:went|gone|going|goes) (?:in|on|over)\b|(?:is|are) (?:going )?in (?:there|here|it|this)\b|in (?:its|their) place\b|instead\b)"
)
_LACK = SoughtPattern(
    r"\b(?:run|ran|runs|sold|clean|fresh|right|all|was|were|is|are|am|been)(?: \w+)? out(?: of (?:the |any )?(?:\w+ )?(?:@\d+|them|it|those)|\b)|"
    r"\b(?:not|never|could not|did not)(?: \w+)? (?:find|get|buy|have|had|got|see|locate|source|track down|come by|(?:lay|get|put)(?: (?:my|our))? hands on)(?: hold of| hold)?(?: (?:any|the|a|enough|no))*(?: \w+)? (?:@\d+|any|one|it|them)|"
    r"\b(?:had|have|has|got|found|was|were|is|are) no(?: \w+)? @\d+|\b(?:no|not any|not a) (?:\w+ )?@\d+ (?:left|in the|anywhere|to be had|at the|at home|here)|\bno @\d+\b|"
    r"\bempty\b|\b(?:the last|the end) of (?:the |my )?@\d+ (?:went|was|is|had)|\bin the absence of\b|\b(?:a pound|too (?:dear|expensive)|cost (?:a|too))\b|"
    r"\b(?:gone (?:off|mouldy|moldy|hard|soft|bad|green|stale|rancid)|went off|past (?:it|its|their)|mouldy|moldy|rotten|stale|rancid|curdled|turned|weevils|slimy|wilted|died|dead|frozen solid|rock hard|solid|burnt|expired|broken|smashed|finished|used up|all gone)\b|"
    r"\b(?:wrong (?:tin|jar|bottle|packet|bag|tub|carton|box)|mixed up|mix up|mistook|by mistake|my mistake|allerg\w+|can not (?:eat|have|stand)|does not (?:eat|do|like)|out of season)\b"
)
_SAID_TO_BE = SoughtPattern(
    r"\b(?:say|said|saying|promised|thought|wrote|written|called|calls?|asks?|says|looks? like|looked like|supposed to be|meant to be|should (?:be|have been)|ought to be|(?:was|were) going to be|reached for|"
    r"wanted|planned|planning)\b(?! about)"
)
_FORM = frozenset("ground dried frozen tinned canned powdered bottled jarred granulated instant".split())  # noqa: SIM905
"""*That's ground ginger*: another form of the same."""
_NOT_THE = SoughtPattern(r"\bnot (?:the |any |real |proper |my |actually )*(?:\w+ )?@\d+")
_GENERIC = SoughtPattern(
    r"\b(?:if|would|could|can|might|may|should you|you (?:can|could|may)|your|people|version|sometimes|always|usually|original|at home|next time)\b"
)
_THEN_IN = SoughtPattern(r"\b(?:@\d+ (?:as well|too)|both|and then the @|along with|together with|besides)\b")


def foods_in(clause: Clause) -> Iterator[int]:
    """Places of foods in the clause that are no ingredient of the recipe."""
    for k, word in enumerate(clause.words):
        if any(s.kind == "food" and s.form in ("base", "s") for s in lexicon().get(word, ())):
            if (
                clause.words[k - 1 : k]
                and clause.words[k - 1] in ("the", "my")
                and k + 1 < len(clause.words)
                and clause.words[k + 1] in ("bag", "tin", "jar", "bottle", "box", "packet", "knife", "pan", "pot")
            ):
                continue
            yield clause.first + k


def stood_in(r: ClauseThemes, n: int) -> Told | None:
    """*I couldn't find the cumin, so that's caraway*; *limes were a pound each, so I used lemon*; *that's ground ginger, the root was mouldy*."""
    clause = r.clauses[n]
    if (
        clause.supposes
        or clause.asks
        or (clause.subject in (c.YOU, c.OTHER) and not _YOU_SEE.search(clause.text))
        or clause.when in (c.MODAL, c.ORDER)
        or _GENERIC.search(clause.text)
    ):
        return None
    other = next((f for f in foods_in(clause) if _is_used(r, n, f)), None)
    form = _other_form(clause) if other is None else None
    if other is None and form is None:
        return None
    lo, hi = max(0, clause.first - 22), min(len(r.words), clause.last + 20)
    around = " ".join(r.words[lo:hi])
    before = r.clauses[n - 1] if n else None
    generic = (
        before is not None
        and clause.first - before.last <= 2
        and (before.supposes or before.subject in (c.YOU, c.OTHER))
    )
    if before is not None and _IF_YOU_WONDER.search(before.text):
        generic = False
    if (generic and before is not None and _GENERIC.search(before.text)) or _THEN_IN.search(clause.text):
        return None
    if form is not None:
        return (INSTEAD, [form]) if _LACK.search(r.to_stop(n, 20)) or _LACK.search(around) else None
    assert other is not None
    theme = _whose_place(r, n, other)
    return (INSTEAD, theme) if theme else None


def _is_used(r: ClauseThemes, n: int, at: int) -> bool:
    """Whether the food is said to be what is there, or what was taken."""
    clause = r.clauses[n]
    lead = " ".join(clause.words[: at - clause.first])
    tail = " ".join(["", *r.words[at + 1 : clause.last + 7]])
    if sought(r"\b(?:not|no|without|like|of|with|from|than|as|for)(?: (?:the|a|any|my))?$", lead) and not sought(
        r"\b(?:(?:went|gone|go|going|reached|settled|opted|making do|make do|made do|gone with|went) (?:for|with)|(?:tin|jar|spoon\w*|tea\w+|table\w+|splash|lump|bit|handful|knob|cube|glass|squeeze|bag|packet) of)(?: (?:the|a|any|some|my))?$",
        lead,
    ):
        return False
    said = [m.end() for m in _THIS_IS.finditer(lead)]
    took = [m.end() for m in _TOOK.finditer(lead)]
    if re.match(r" (?:rather than|instead of|not|in place of) (?:the )?@\d+ (?:today|tonight|this time|here)\b", tail):
        return True
    following = r.clauses[n + 1] if n + 1 < len(r.clauses) else None
    if (
        len(clause.words) <= 4
        and following is not None
        and following.lead in ("because", "since", "as")
        and _LACK.search(following.text)
    ):
        return True
    absent = sought(r"\b(?:in the absence|for want|for lack) of (?:the |any )?@\d+", clause.text)
    if absent:
        return True
    near = any(lead.count(" ", end) <= 6 for end in took) or any(lead.count(" ", end) <= 4 for end in said)
    return near or bool(_DOES.match(tail))


def _other_form(clause: Clause) -> int | None:
    """*That's ground ginger*: the place of its name."""
    if not _THIS_IS.search(clause.text):
        return None
    for k in clause.names():
        before = clause.words[k - clause.first - 1] if k > clause.first else ""
        if before in _FORM and _THIS_IS.search(" ".join(clause.words[: k - clause.first])):
            return k
    return None


def _said_of_it(r: ClauseThemes, m: int, n: int) -> bool:
    """*I say stock, but it's water*: a name right after what was said or planned, and then what it is."""
    said = sought(_SAID_TO_BE.pattern + r" (?:\w+ ){0,3}?@\d+", r.clauses[m].text)
    if said is None or r.clauses[m].subject in (c.YOU, c.OTHER):
        return False
    if m == n:
        return bool(sought(r"\b(?:but|and|it is|that is)\b", r.clauses[n].text))
    return r.clauses[n].lead in ("but", "and", "so", "") and r.clauses[n].first - r.clauses[m].last <= 2


def _whose_place(r: ClauseThemes, n: int, other: int) -> list[int]:
    """Of which ingredient it is said, in the clauses around, that it is not there, or that this is not it."""
    best: tuple[int, list[int]] | None = None
    one = r.clauses[n]
    for m in range(max(0, n - 3), min(len(r.clauses), n + 3)):
        near = r.clauses[m]
        if near.supposes or near.subject == c.OTHER or max(one.first - near.last, near.first - one.last) > 12:
            continue
        lacks = bool(_LACK.search(near.text))
        says = m in (n, n - 1) and _said_of_it(r, m, n)
        isnt = _NOT_THE.search(near.text)
        names = near.names()
        if m == n and (held := sought(r"\b(?:rather than|instead of|in place of) (?:the )?@\d+", near.text)):
            return [near.first + near.text[: held.end()].count(" ")]
        if m == n:
            names = [k for k in names if abs(k - other) > 1]
        if isnt and not lacks:
            k = near.first + near.text[: isnt.end()].count(" ")
            names = [k]
        if not (lacks or says or isnt):
            continue
        if not names and lacks and sought(r"\b(?:it|them|any|one|those|they)\b", near.text):
            names = [k for k in range(max(0, near.first - 10), near.first) if r.words[k][0] == "@"][-1:]
        if names:
            cost = min(abs(k - other) for k in names)
            pick = min(names, key=lambda k: abs(k - other))
            if best is None or cost < best[0]:
                best = (cost, [pick])
    return best[1] if best is not None and best[0] <= 24 else []
