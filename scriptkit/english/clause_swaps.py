"""What is not there, and what stands in its place: *no lemons, so that's lime*, *without the capers*, *those aren't chives*."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.effect_kinds import INSTEAD, LEFT_OUT, LESS
from scriptkit.patterns import SoughtPattern, sought

_THIS_WITHOUT = SoughtPattern(r"(?:this|that|these) (?:is|was|are|were) (?:the|a|my) \w+ without\b")
_SO_PUT_IN = SoughtPattern(r"(?:, )?so (?:i|we) (?:have |had )?\w+ (?:it|them)\b")
_THIS_NOT_THAT = SoughtPattern(r"(?!no\b|yes\b|well\b)[a-z]+(?: [a-z]+)? , not (?:the )?@\d+(?: ,)?$")
_NOT_YET = SoughtPattern(r"\b(?:yet|until|till|before|for now|now|later)\b")
_OUT = SoughtPattern(
    r"\b(?:(?:run|ran|am|are|was|were|been|clean|all|fresh|sold)(?: \w+)? out of|(?:not|never)(?: \w+)? (?:have|find|get|buy|stock|sell|had|got)"
    r"(?: hold of| hold| any| enough)*|(?:had|have|has|got|found|there was|there were|there is|there are) (?:no|not any|not a(?= (?:single )?@))) (?:(?!a |an )\S+ ){0,3}?@\d+"
)
_OUT_IS_SOMETHING_ELSE = SoughtPattern(r"\b(?:left out|lunch|glasses|time|ideas|ways|a|an|patience|things)\b")
_GONE = SoughtPattern(
    r"@\d+ (?:\w+ )?(?:had|has|have|was|were|is|are) (?:\w+ )?(?:gone off|went off|turned|curdled|expired|split|past its|run out|ran out|"
    r"mouldy|moldy|crystallised|crystallized|gone hard|set hard|burnt|burned|off(?! (?:the|to|and))|frozen solid|died|dead|all gone|used up|finished|wilted|(?:hard|tricky|difficult|impossible|not easy) to (?:\w+ )?(?:find|get|buy|come by))\b"
)
_IN_ITS_PLACE = SoughtPattern(
    r"\b(?:so (?:it is|that is|this is|these are|those are|they are|what|i|we)|instead|in (?:its|their) place|is what|what you (?:saw|see|are)|"
    r"(?:have|has|had) to do|will do|(?:i|we)(?: have| had)? (?:used|made|made up|grabbed|went with|took|put in|substituted|reached for)|made do|used that|"
    r"this is(?! going to| a \w+ one)|these are|so \w+ it is)\b"
)
DONE_WITHOUT = SoughtPattern(
    r"\b(?:so|and) (?:(?:this|it|that) is (?:just|only) (?:the )?@\d+|there (?:is|are) (?:none|no\b|not any)|(?:it|they|this|that|these) (?:(?:has|have|is|are|goes|go)(?: got)?|will (?:go|be|have)) (?:(?:going )?(?:in |out |on )?without|none|no\b|not)|"
    r"(?:(?:i|we) (?:have |will |will have to |have to |had to |am |are )?|just |let us )?(?:left (?:it|them) out|leave (?:it|them) out|leaving (?:it|them) out|skip(?:ped|ping)? (?:it|them|that)|"
    r"(?:do|did|doing|make do|making do|go|going|went)(?: (?:it|this|that|them))? without)|none today|no \S+ today)(?: |$)"
)
"""*So there are none in here*, *so we'll do without*."""
_FETCHED = SoughtPattern(
    r"\b(?:walked|went (?!with)|nipped|popped|drove|ran|cycled|borrowed|sent|bought|got some|got a good|picked|found some|luckily|thankfully)"
)
_MISSING = SoughtPattern(
    r"@\d+ (?:(?:is|are|was|were|has|have|had|gone|been|still|completely|just|totally) )*(?:missing|absent|lacking|nowhere)\b"
    r"(?! (?:from the (?:shot|footage|video)|their|its|a|an|any)\b)"
)
_WITHOUT = SoughtPattern(
    r"\b(?:without|with (?:no|zero|absolutely no|not (?:a|any|one)(?: \w+ of)?)) (?:any |the |a |my |having )*(?:\w+ )?@\d+"
)
_MANY_TIMES = SoughtPattern(r"\b(?:before|for (?:years|ages)|times)\b")
_NONE_OF = SoughtPattern(
    r"\b(?:no(?! (?:\w+ )?(?:chunks?|lumps?|pieces|strips|slices|strings|streaks|clumps) of)|not a|not one|not a single|"
    r"none of (?:the|my|that|it)|nothing of the|zero)(?: \w+){0,3}? @\d+"
)
_WENT = SoughtPattern(
    r" (?:was|were|has been|went|got|made|ended|came|in sight|to be seen|anywhere|in (?:mine|this|here|there|it)|on (?:mine|this|these|that|here|there|it))\b"
)
_NOT_A_BIT = SoughtPattern(
    r"\b(?:a (?:single )?(?:bit|drop|scrap|leaf|speck|spoon|spoonful|grain|pinch)|any|one) of (?:it|them|that|the)\b"
)
_WOULD_BE = SoughtPattern(r"\b(?:it|that|this|they|those) would (?:be|have been)(?: (?:if|but|only|had)\b|$)")
_IGNORE = SoughtPattern(
    r"\b(?:ignore|forget|disregard|scratch)(?: what it says about| what i said about)? (?:the |that )?(?:\w+ )?@\d+(?: \w+){0,2} (?:in|on) the "
    r"(?:recipe|card|list|page)"
)
_READ = SoughtPattern(r"\b(?:for|where it says) @\d+ (?:, )?(?:read|think|see)\b")
_SAYS = SoughtPattern(
    r"\b(?:says|said|asks for|calls for) (?:\w+ )?@\d+ (?:in|on) the (?:recipe|card|list|page)|\bthe (?:recipe|card|list) (?:says|asks for|calls for) (?:\w+ )?@\d+"
)
_BUT_HERE = SoughtPattern(
    r"^ (?:, )?but (?:(?:what )?(?:i|we|this|that|these|those)\b(?! (?:would|could|can|think))|\w+ (?:was|is) (?:all|what) (?:i|we|they|there)\b)"
)
_IS_NOT = SoughtPattern(r"\b(?:that|those|these|this|they|it) (?:is|are|was|were) not (?:\w+ )?@\d+")
_IS_THIS = SoughtPattern(r"\b(?:(?:it|that|they|those|these) (?:is|are|was|were)|just|but)\b")
_NOT_WITH = SoughtPattern(
    r"\b(?:am|are|have|had) (?:\w+ed |\w+ing |put |gone )(?:(?!@|not\b)\S+ ){1,6}(?:and )?not @\d+(?! (?:yet|until))"
)
_PLACE = SoughtPattern(
    r"\b(?:instead of|in place of|in lieu of|(?:went|gone|go|goes|going|come|came|step|stepped|subbed|is|are|was|were) in for|the (?:part|role|job|place) of|(?:took|takes|taking) the place of|(?:stood|stand|stands|standing|filled|fill|filling) in for|(?:taken|taking|takes|took) over from|"
    r"(?:doing|does|doing|do) (?:the job|duty) (?:of|for)|rather than) (?:\S+ ){0,4}?@\d+"
)
_JOB = SoughtPattern(
    r"\b(?:doing|does|do|did|taking|takes|took|taken|filling) (?:the )?@\d+(?= (?:job|place|part|role|work)\b)"
)
_HERE = SoughtPattern(r"\b(?:i|we|today|tonight|here|this time|this is|that is|it is|there is|used|went|put)\b")


def lacking(r: ClauseThemes, n: int) -> Told | None:
    """*The parsley's missing*, *plated without the capers*, *no chives on these*, *this one's cream-free*."""
    clause = r.clauses[n]
    text = clause.text
    others = clause.supposes or clause.asks or clause.subject == c.OTHER
    if others or clause.when in (c.MODAL, c.FUTURE, c.MEANT, c.ORDER):
        return None
    if not clause.denied and (found := _MISSING.search(text)):
        return LEFT_OUT, r.named(clause, text, found.start() + 1)
    if clause.subject == c.YOU:
        return None
    if (found := sought(r"@\d+ free\b", text)) and sought(r"\b(?:this|that|it|mine|these|today)\b", text):
        return LEFT_OUT, r.named(clause, text, found.start() + 1)
    if (found := _WITHOUT.search(text)) and not clause.denied and (_THIS_WITHOUT.match(text) or _served(r, n)):
        return LEFT_OUT, r.named(clause, text, found.end())
    return _none_of_it(r, n)


def _served(r: ClauseThemes, n: int) -> bool:
    clause = r.clauses[n]
    served = any(v.sense("put") or v.sense("serve") or v.sense("go") for v in clause.verbs)
    served = served or clause.has("went", "gone", "made", "served") or any(_is_cooked(w) for w in clause.words)
    return clause.when == c.PAST and r.done(clause) and served and not _MANY_TIMES.search(r.to_stop(n, 6))


def _is_cooked(word: str) -> bool:
    """Whether it tells that something was cooked: *sweated*, *fried*."""
    return any(s.kind == "cook" and s.form == "ed" for s in lexicon().get(word, ()))


def _none_of_it(r: ClauseThemes, n: int) -> Told | None:
    clause = r.clauses[n]
    text = clause.text
    lacks = clause.lead in ("because", "as", "since") and n > 0 and not r.clauses[n - 1].names()
    if not lacks and (found := _NONE_OF.search(text)) and not sought(r"\b(?:means|meant|no dinner)\b", text):
        tail = text[found.end() :]
        if (clause.passive or _WENT.match(tail)) and not _NOT_YET.search(tail):
            return LEFT_OUT, r.named(clause, text, found.end())
    if clause.denied and clause.when == c.PAST and clause.subject == c.US and _NOT_A_BIT.search(text):
        theme = clause.names() or r.back(n, ["it"])
        return (LEFT_OUT, theme[:1]) if theme else None
    return None


_OUT_SO = SoughtPattern(
    r"^(?:(?:so|and|well|right|oh|,|completely|clean|fresh|all) )*(?:no|out of|ran out of|run out of) (?:the |any )?(?:\w+ )?@\d+(?: (?:left|today|here|in))?(?: ,| \.)? "
    r"(?:so |and )?(?:(?:that|this|it) (?:is|was)(?! (?:the )?(?:fine|it|all|why|how|what|ok|okay|that|no|not|just|going)\b) |(?:these|those) (?:are|were) |(?:i |we )?(?:have |had )?(?:grabbed|used|using|took|went (?:for|with)|going with|swapped in|reached for|opened|substituted) )"
)


def out_so(r: ClauseThemes, n: int) -> Told | None:
    """*No fish stock, grabbed veg stock*; *out of lemons so that was lime juice*."""
    clause = r.ours(n, c.PAST, c.PRESENT, c.BARE)
    short = _OUT_SO.search(r.to_stop(n, 8)) if clause is not None else None
    if clause is None or short is None or DONE_WITHOUT.search(r.to_stop(n, 16)):
        return None
    return INSTEAD, [clause.first + short.group().partition("@")[0].count(" ")]


def run_out(r: ClauseThemes, n: int) -> Told | None:
    """*I had no lemons, so that's lime*, *the stock had gone off*, *capers are hard to find, I've made do*."""
    clause = r.ours(n, c.PAST, c.PRESENT, c.BARE)
    if clause is None:
        return None
    text = clause.text
    out, gone = _OUT.search(text), _GONE.search(text)
    theme = r.named(clause, text, out.end())[:1] if out else clause.names()[:1] if gone else []
    sized = sought(r"\bout of (?:the )?(?:big|bigger|large|small|medium|jumbo) @", text)
    ahead = " ".join(r.words[clause.last + 1 : clause.last + 22])
    without = DONE_WITHOUT.search(ahead)
    put_in = not without and _SO_PUT_IN.match(ahead)
    elsewhere = out and not gone and _OUT_IS_SOMETHING_ELSE.search(text)
    if not theme or sized or elsewhere or put_in or _FETCHED.search(ahead):
        return None
    if "enough" in text or sought(r"\b(?:half|part) ?way\b", r.to_stop(n, 3)):
        return LESS, theme
    before = r.clauses[n - 1] if n else None
    if (
        clause.lead in ("because", "as", "since")
        and before is not None
        and not before.names()
        and before.when in (c.PAST, c.PRESENT)
    ):
        return INSTEAD, theme  # that was vinegar, because there was no lemon
    if without:
        return LEFT_OUT, theme
    placed = _IN_ITS_PLACE.search(ahead) or _IN_ITS_PLACE.search(text[out.end() if out else 0 :])
    return (INSTEAD, theme) if placed else None


def replaced(r: ClauseThemes, n: int) -> Told | None:
    """*I swapped it for Dijon*, *olives instead of capers*, *those aren't chives*, *mustard, or it would be if I had any*."""
    clause = r.clauses[n]
    text, names = clause.text, clause.names()
    if clause.subject in (c.OTHER, c.YOU) or clause.supposes or clause.asks:
        return None
    if not names:
        theme = r.back(n, ["it"]) if _WOULD_BE.search(text) else []
        return (INSTEAD, theme) if theme and theme[0] > clause.first - 8 else None
    says = _SAYS.search(text) and _BUT_HERE.search(r.near(n, 0, 8)[len(text) :])
    if says or _IGNORE.search(text) or _READ.search(text):
        return INSTEAD, names[:1]
    if clause.when in (c.MODAL, c.ORDER, c.MEANT):
        return None
    return _is_another(r, n) or _swapped(r, n) or _in_place_of(r, n, r.near(n, 6, 14))


def _is_another(r: ClauseThemes, n: int) -> Told | None:
    """*Those aren't chives, they're spring onions*, *I'm frying in ghee, not olive oil*."""
    clause = r.clauses[n]
    text = clause.text
    then = r.near(n, 0, 14)[len(text) :]
    if (
        _IS_NOT.search(text)
        and _IS_THIS.search(then)
        and not sought(r"\b(?:that|believe|which|who|it is not the)\b", text[4:])
        and not sought(r"\bbelieve(?: that)?$", r.near(n, 2)[: -len(text) - 1])
    ):
        return INSTEAD, clause.names()[:1]
    was = sought(
        r"\b(?:that|those|this|these|it) (?:is|are|was|were) (?!@|not\b|about\b|for\b|to\b)(?:\w+ ){1,5}?(?:and )?not (?:the )?@\d+",
        text,
    )
    if was and clause.subject != c.YOU and not sought(r"\b(?:enough|why|that is because)\b", was.group()):
        return INSTEAD, r.named(clause, text, was.end())
    starts = clause.first == 0 or r.words[clause.first - 1] == "."
    if starts and _THIS_NOT_THAT.match(text):
        return INSTEAD, clause.names()[:1]  # lime juice, not lemon juice
    found = _NOT_WITH.search(text)
    return (INSTEAD, r.named(clause, text, found.end())) if found and clause.subject == c.US else None


def _swapped(r: ClauseThemes, n: int) -> Told | None:
    clause = r.clauses[n]
    verb = next((v for v, _ in r.verbs(clause, "replace")), None)
    if verb is None or clause.denied or clause.when not in (c.PAST, c.PRESENT):
        return None
    theme: list[int] = []
    if clause.passive and clause.when == c.PAST:
        theme = r.before(clause, verb.at)
    elif clause.subject == c.US and verb.senses[0].lemma == "substitute" and clause.has("for"):
        theme = r.after(clause, max(k for k, w in enumerate(clause.words) if w == "for") + clause.first)
    elif clause.subject == c.US:
        theme = r.after(clause, verb.at)
        if theme and {"with", "by", "for"} & set(r.words[verb.at + 1 : theme[0]]):
            theme = []
    return (INSTEAD, theme) if theme else None


def _in_place_of(r: ClauseThemes, n: int, wide: str) -> Told | None:
    clause = r.clauses[n]
    job = _JOB.search(clause.text)
    found = job or _PLACE.search(clause.text)
    ours = clause.subject in (c.US, c.POINTER, c.THERE) or clause.when == c.PAST
    if found and (ours or job) and not clause.denied and _HERE.search(wide):
        return INSTEAD, [clause.first + clause.text[: found.end()].count(" ")]
    return None
