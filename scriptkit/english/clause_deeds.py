"""What was done, or not done, with an ingredient, clause by clause: *never put in*, *forgotten*, *kept back*, *still in its jar*."""

from __future__ import annotations

import re

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import set_
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.clauses import Clause, Verb
from scriptkit.english.effect_kinds import LATER, LEFT_OUT, LESS, UNFILMED
from scriptkit.patterns import SoughtPattern, sought

_NOT_YET = SoughtPattern(
    r"\b(?:yet|until|till|before|for now|at this (?:point|stage)|right now|straight away|now|later|too (?:soon|early))\b"
)
_STAYS_OUT = SoughtPattern(r"\b(?:yet|until|till|now|later)\b")
_BETWEEN = (
    c.AUXILIARIES | c.ADVERBS | set_("manage managed get going got round around remember think bother quite even")
)
"""What may stand between *not* and the verb that it denies."""
_WHOLE = SoughtPattern(
    r"\bnot (?:\w+ ){0,4}?(?:all|quite all|the whole|the full|every|as much|as many|enough|everything|that much)\b"
)
_OF_A_NAME = frozenset(
    """
    the a an my our that this those these its their any all of some rest last remaining second first half whole lot bit about on out off
    in up to over knob spoon spoonful teaspoon tablespoon glug splash drop handful pinch bunch sprinkle sprinkling scattering other final
    chopped fresh ground grated melted single little entire amount hold with more enough it back aside and or nor no as by past right
    straight finishing
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
"""What may stand between a verb and the name that it is about."""
_TOLD_OF = SoughtPattern(r"\b(?:say|said|tell|told|mention\w*|film\w*|record\w*|buy|bought|show\w*|video\w*)\b")
_ENDED = SoughtPattern(
    r"\b(?:did not|have not|has not|had not|was not|were not)(?: (?:do|get|manage|happen|remember|make)(?: \w+){0,2})?(?: i| did i| we)?$"
)
_SO_FAR = SoughtPattern(
    r"\b(?:never|not) (?:quite )?(?:get|got|gotten) (?:that far|round to (?:it|that|them)|around to (?:it|that|them)|to (?:it|that|them))\b"
)
_REGRETS = SoughtPattern(
    r"\b(?:where (?:my|your) (?:head|mind|brain) (?:was|is|went)|what i was thinking|how i (?:missed|forgot) (?:it|them|that))\b"
)
_UNDONE = frozenset("managed contrived decided chose chosen opted had".split())  # noqa: SIM905


# --- not put ----------------------------------------------------------------------------------------------------------


def not_put(r: ClauseThemes, n: int) -> Told | None:
    """*I never put it in*, *it didn't go in yet*, *not all of it went in*, *I'm not doing the mustard today*."""
    clause = r.clauses[n]
    bare = clause.words[0] == "not" and not c.AUXILIARIES & set(clause.words)  # cold from the fridge, not stirred in
    if not clause.denied or clause.subject in (c.OTHER, c.CAMERA) or clause.supposes or bare:
        return None
    for verb, kind in r.verbs(clause, "put", "go"):
        lead = clause.words[: verb.at - clause.first]
        last = max((k for k, w in enumerate(lead) if w in c.NEGATIONS), default=None)
        if (
            last is None
            or set(lead[:last]) & {"people", "folks", "cooks"}
            or not set(
                re.sub(
                    r"\b(manage|managed|get|got|around|round|remember|think|bother|able) to\b",
                    r"\1",
                    " ".join(lead[last + 1 :]),
                ).split()
            )
            <= _BETWEEN
        ):
            continue
        if sought(
            r"\b(?:too (?:much|many)|did not need|(?:add|added|use|used|put|putting|using|adding)(?: in)? (?:any |the )?(?:less|fewer|more|extra|only))\b",
            clause.text,
        ):
            continue
        theme = r.theme(n, verb) if kind == "go" else r.object(n, verb)
        effect = _effect_of_not(r, n, verb, kind)
        if theme and effect is not None:
            return effect, theme
    unneeded = sought(r"\bnot need (it|them|those|@\d+) (?:until|till|yet)\b", r.to_stop(n, 3))
    if unneeded and (theme := clause.names() or r.back(n, [unneeded.group(1)])):
        return LATER, theme
    return _not_today(r, clause)


def _effect_of_not(r: ClauseThemes, n: int, verb: Verb, kind: str) -> str | None:
    clause = r.clauses[n]
    following = r.words[clause.last + 1 : clause.last + 5]
    joined = bool(following) and following[0] in ("yet", "until", "till", "before")
    ahead = " ".join(r.words[verb.at : clause.last + (5 if joined else 1)])
    waits = _NOT_YET if clause.when != c.PAST else _STAYS_OUT
    if waits.search(ahead):
        early = clause.subject == c.NO_ONE and sought(r"\btoo (?:soon|early)\b", ahead)
        return None if clause.subject == c.YOU or early else LATER
    sense = verb.sense(kind)
    assert sense is not None
    own = sense.lemma == "put" and sense.form == "base" and clause.subject == c.US and clause.when != c.FUTURE
    if clause.subject == c.YOU or clause.asks or not ((clause.when == c.PAST and r.happened(clause)) or own):
        return None
    after = " ".join(r.words[verb.at + 1 : clause.last + 1])
    if sought(r"@\d+ (?:\w+ )?(?:going|being|as) ", after + " "):
        return UNFILMED  # we haven't got it going in
    return LESS if _WHOLE.search(clause.text) else LEFT_OUT


_WHICH_IT_IS = SoughtPattern(r" (?:[.,] )?(?:and |so )?(?:it|that|they|those) (?:is|are) (?:the )?@")


def none_of_them(r: ClauseThemes, n: int) -> Told | None:
    """*Not one of them ended up on the soup*, *there's something missing, and it's the chives*."""
    clause = r.clauses[n]
    found = sought(r"\b(?:not one|none|not a (?:bit|drop|scrap|leaf)|nothing) of (it|them|that|those)\b", clause.text)
    if found and clause.when == c.PAST and any(v.sense("go") or v.sense("put") for v in clause.verbs):
        theme = r.back(n, [found.group(1)])
        return (LEFT_OUT, theme[:1]) if theme else None
    if (found := _NOT_IN.search(clause.text)) and _is_not_in(r, n):
        theme = clause.names() or r.back(n, [found.group(1)])
        return (LEFT_OUT, theme[:1]) if theme else None
    missing = sought(r"\b(?:something|thing) (?:is |that is )?missing\b", clause.text)
    after = missing and _WHICH_IT_IS.match(r.near(n, 0, 8)[len(clause.text) :])
    if missing and after and clause.subject not in (c.OTHER, c.YOU) and clause.lead not in ("if", "when"):
        return LEFT_OUT, [k for k in range(clause.last + 1, len(r.words)) if r.words[k][0] == "@"][:1]
    return None


_NOT_IN = SoughtPattern(
    r"(\bit|\bthat|\bthey|\bthose|@\d+) (?:is|are) not (?:actually |even )?(?:in|on) (?:there|here|this|it|the (?!@)\w+)(?: at all)?$"
)
"""*That is not in the cake.*"""
_ELSEWHERE = SoughtPattern(r"\b(?:fridge|freezer|oven|recipe|list|way|mood|shop|shops|mix yet|top)\b")


def _is_not_in(r: ClauseThemes, n: int) -> bool:
    clause = r.clauses[n]
    told = clause.when == c.PRESENT and clause.denied and not clause.supposes and not clause.asks
    return told and not _ELSEWHERE.search(clause.text) and not _NOT_YET.search(r.to_stop(n, 3))


def _not_today(r: ClauseThemes, clause: Clause) -> Told | None:
    found = sought(
        r"\bnot (?:(?:doing|using|having|bothering with|adding|putting|including)|going to (?:do|use|have|bother with|add|put|include))(?: in)? (?:\w+ ){0,3}?@\d+",
        clause.text,
    )
    if (
        found
        and clause.subject == c.US
        and sought(r"\b(?:today|this time|tonight|here|in this)\b(?! (?:yet|until|till))", clause.text)
    ):
        return LEFT_OUT, r.named(clause, clause.text, found.end())
    return None


# --- passed over ------------------------------------------------------------------------------------------------------


def passed_over(r: ClauseThemes, n: int) -> Told | None:
    """*I skipped it*, *they got forgotten*, *I forgot to add it*; not *I forgot to say*, and not *don't skip it*."""
    clause = r.clauses[n]
    elided = clause.first == 0 or r.words[clause.first - 1] == "."
    if clause.denied or not (r.done(clause) or (elided and clause.when == c.PAST and clause.subject == c.NO_ONE)):
        return None
    for verb, _ in r.verbs(clause, "omit"):
        lead = clause.words[: verb.at - clause.first]
        if (
            clause.subject in (c.CAMERA, c.THERE)
            or ("who" in lead and not {"me", "idiot", "muggins"} & set(lead))
            or "you" in lead[-3:]
            or (lead[-1:] == ("to",) and not _UNDONE & set(lead))
        ):
            continue
        found = _omitted(r, n, verb)
        if found is not None and found[1]:
            return _with_others(r, n, verb, found)
    return None


def _with_others(r: ClauseThemes, n: int, verb: Verb, told: Told) -> Told:
    """*Forgot the parsley, forgot the capers*: with what the same verb is said of again in the clause."""
    again = [v for v in r.clauses[n].verbs if v.at > verb.at and v.senses[0].lemma == verb.senses[0].lemma]
    found = list(told[1])
    for other in again:
        more = _omitted(r, n, other)
        found += more[1] if more is not None and more[0] == told[0] else []
    return told[0], list(dict.fromkeys(found))


def _omitted(r: ClauseThemes, n: int, verb: Verb) -> Told | None:
    clause = r.clauses[n]
    lemma = verb.senses[0].lemma
    tail = r.words[verb.at + 1 : clause.last + 1]
    only_says = lemma == "forget" and set(tail[:3]) & {"how", "what", "why", "where", "that", "who", "when"}
    only_lies = lemma == "leave" and sought(r"\bout (?:overnight|of (?:the|my)|on|to|for|so|at|all)\b", " ".join(tail))
    kept_long = sought(
        r"\bfor (?:a|an|ages|years|months|weeks|days|the (?:last|past))\b", " ".join(r.words[verb.at : clause.last + 4])
    )
    if only_says or only_lies or (clause.passive and kept_long):
        return None
    following = next((v for v in clause.verbs if v.at > verb.at and v.after_to), None)
    if following is not None or "to" in tail[:2]:
        return _forgot_to(r, n, verb, following)
    passes = lemma in ("slip", "go", "escape")
    if passes and not clause.names() and n and _TOLD_OF.search(r.clauses[n - 1].text):
        return None  # what I was going to say of it has gone out of my head
    if clause.passive or (clause.subject in (c.NAME, c.POINTER) and passes):
        return LEFT_OUT, r.theme(n, verb)
    gap = next((k for k, w in enumerate(tail) if w[0] == "@"), None)
    far = gap is not None and (gap > 6 or not set(tail[:gap]) <= _OF_A_NAME)
    talks = (
        gap is None
        and n > 0
        and r.clauses[n - 1].sentence == clause.sentence
        and _TOLD_OF.search(r.clauses[n - 1].text)
    )
    if far or talks or clause.subject in (c.NAME, c.POINTER):
        return None
    part = gap is not None and set(tail[:gap]) & {"some", "most", "bit", "few", "little", "quarter", "third"}
    return (LESS if part else LEFT_OUT), r.object(n, verb)


def _forgot_to(r: ClauseThemes, n: int, verb: Verb, following: Verb | None) -> Told | None:
    """*Forgot to add it*, *forgot to film it*, *neglected to salt the soup*; not *forgot to say*."""
    if following is None:
        at = verb.at + 2 + list(r.words[verb.at + 1 : verb.at + 3]).index("to")
        return (LEFT_OUT, [at]) if at <= r.clauses[n].last and r.words[at][0] == "@" else None
    if following.sense("film"):
        return UNFILMED, r.object(n, following)
    return (LEFT_OUT, r.object(n, following)) if following.sense("put") or following.sense("go") else None


def if_only(r: ClauseThemes, n: int) -> Told | None:
    """*It would be sharper if I'd remembered the lemon juice.*"""
    clause = r.clauses[n]
    found = sought(
        r"\bi (?:had|would) (?:remembered|added|put in|used|had|thought of|bothered with) (?:the |any |some |my )?(?:\w+ )?@\d+",
        clause.text,
    )
    if found and clause.lead == "if" and sought(r"\bwould\b", r.near(n, 10, 10).replace(clause.text, "")):
        return LEFT_OUT, r.named(clause, clause.text, found.end())
    return None


def left_somewhere(r: ClauseThemes, n: int) -> Told | None:
    """*I left them in the garden*: it is not here."""
    clause = r.clauses[n]
    found = sought(
        r"\b(?:left|leaving) (it|them|those|that|@\d+) (?:\w+ )?(?:in|on|at|by|behind) (?:the|my|its|their)\b(?! (?:pan|pot|oven|heat|soup))",
        clause.text,
    )
    if (
        found is None
        or clause.when != c.PAST
        or clause.subject not in (c.US, c.NO_ONE)
        or clause.lead in ("where", "if", "so", "because", "which")
    ):
        return None
    theme = r.named(clause, clause.text, found.end(1)) if found.group(1)[0] == "@" else r.back(n, [found.group(1)])
    return (
        (LEFT_OUT, theme)
        if theme and not sought(r"\b(?:overnight|to soften|to warm|to dry|to rest|for)\b", clause.text)
        else None
    )


# --- ought to have been -----------------------------------------------------------------------------------------------


def meant(r: ClauseThemes, n: int) -> Told | None:
    """*I should have stirred it in*, *there was supposed to be cream in that*, *there should be more of it*."""
    clause = r.clauses[n]
    if clause.denied or clause.subject in (c.YOU, c.OTHER) or clause.asks or clause.supposes or clause.lead == "or":
        return None
    more = sought(r"\b(?:should|ought to|supposed to|meant to) be (?:\w+ )?(more|another) (?:\w+ )?@\d+", clause.text)
    if more:
        return LESS, r.named(clause, clause.text, more.end())
    if clause.when != c.MEANT or _TOLD_OF.search(clause.text) or _SO_MUCH.search(clause.text) or not _undone(r, n):
        return None
    ought = max((k for k, w in enumerate(clause.words) if w in _OUGHT), default=0)
    verbs = [(v, kind) for v, kind in r.verbs(clause, "put", "go") if v.at - clause.first - ought <= 6]
    if verbs:
        verb, kind = verbs[-1]
        theme = r.theme(n, verb) if kind == "go" else r.object(n, verb)
        return (LEFT_OUT, theme) if theme else None
    if clause.subject == c.US and not sought(r"\b(?:should|ought|meant|supposed)\b", clause.text):
        return None
    at = next((k for k, w in enumerate(clause.words) if w in ("be", "have", "had", "been", "finish", "with")), None)
    near = [k for k in clause.names() if at is not None and 0 < k - (clause.first + at) <= 6]
    return (LEFT_OUT, r.group(near[0], clause)) if near else None


_BELONGS = SoughtPattern(
    r"^(?:and |but |which )?(it|that|they|those) (?:is|are|was|were) (?:\w+ )?(?:meant|supposed) to (?:be|have (?:been|gone)) (?:in|on|into|onto) (?:the|that|this|there|here|it|my)\b"
    r"(?!(?: \S+)* (?:for|until|till)\b)(?! (?:fridge|oven|freezer|list|recipe))"
)
_JUST_NAMED = 5


def belongs(r: ClauseThemes, n: int) -> Told | None:
    """*That's the cream. It's meant to be in the pot*: and is not."""
    clause = r.clauses[n]
    where = _BELONGS.search(clause.text)
    if where is None or clause.subject != c.POINTER or clause.names():
        return None
    theme = r.back(n, [where.group(1)])[:1]
    return (LEFT_OUT, theme) if theme and clause.first - theme[0] <= _JUST_NAMED else None


_SO_MUCH = SoughtPattern(r"\b(?:be|been) (?:only |just )?(?:\w+ ){0,2}(?:a|an|one|two|three|four|five|six|half|\d+)\b")
"""Of how much it was meant to be."""
_OUGHT = ("should", "ought", "supposed", "meant", "intended", "planned", "wanted", "going", "were", "was", "are", "is")


def _undone(r: ClauseThemes, n: int) -> bool:
    """Whether what was only wished for (*I wanted to add it*) is said not to have been done."""
    clause = r.clauses[n]
    if clause.subject != c.US or not sought(r"\b(?:wanted|going|planned)\b", clause.text):
        return True
    return sought(r"\b(?:but|not)\b", r.near(n, 0, 10)[len(clause.text) :]) is not None


# --- short answers ----------------------------------------------------------------------------------------------------


def answered(r: ClauseThemes, n: int) -> Told | None:
    """*Did the capers go in? They did not*; *that should have had salt, it didn't*; *I never got that far*."""
    clause = r.clauses[n]
    text = clause.text.rstrip(" ,")
    theme: list[int] = []
    if clause.subject in (c.YOU, c.OTHER) or n == 0:
        return None
    if clause.subject == c.US and not clause.names() and _REGRETS.search(r.near(n, 0, 8)):
        theme = [k for k in range(max(0, clause.first - 6), clause.first) if r.words[k][0] == "@"][-1:]
    elif _SO_FAR.search(text) and (clause.subject == c.US or (not clause.names() and clause.when == c.PAST)):
        theme = r.back(n, [])
    elif clause.words[0] == "what" and clause.asks and any(v.sense("omit") for v in clause.verbs):
        theme = _named_at_once(r, n)
    elif (
        clause.last - clause.first <= 6
        and not clause.names()
        and clause.denied
        and _ENDED.search(text)
        and _asked(r, n)
        and not any(meant(r, m) for m in range(max(0, n - 2), n))  # told by it already
    ):
        theme = r.back(n, ["they"] if clause.words[0] == "they" else [])
    return (LEFT_OUT, theme[:1]) if theme else None


def _named_at_once(r: ClauseThemes, n: int) -> list[int]:
    """*What did I forget? The mustard*; not *Nothing: the mustard's in*."""
    last = r.clauses[n].last
    ahead = [k for k in range(last + 1, min(len(r.words), last + 6)) if r.words[k][0] == "@"]
    return ahead[:1] if ahead and "nothing" not in r.words[last + 1 : ahead[0]] else []


_I_WOULD = SoughtPattern(
    r"\b(?:normally|usually|ordinarily|always|by rights|at this point) (?:\w+ )?(?:i|we) would\b|\b(?:i|we) would (?:normally|usually|ordinarily|always)\b"
)
"""*Normally I'd salt it here, but I haven't.*"""


def _asked(r: ClauseThemes, n: int) -> bool:
    """Whether something was asked, or ought to have been, just before the short answer."""
    clause = r.clauses[n]
    if clause.text.startswith("did not"):
        return not clause.asks or clause.text.startswith(("did not do", "did not get"))
    window = [k for k in r.clauses[max(0, n - 5) : n] if clause.first - k.last < 22]
    would = any(k.subject == c.US and _I_WOULD.search(k.text) for k in window) and "but" in r.near(n, 14)
    return not clause.asks and (would or any(k.asks or k.when == c.MEANT for k in window))
