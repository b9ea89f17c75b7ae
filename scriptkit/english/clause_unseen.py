"""What was not filmed, clause by clause: the camera that failed, what stood before it, what nobody could see."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import kinds_of
from scriptkit.english.clause_themes import ALMOST, ClauseThemes, Told
from scriptkit.english.clauses import Clause
from scriptkit.english.effect_kinds import UNFILMED
from scriptkit.patterns import SoughtPattern, sought

_LENS = r"(?:camera|cameras|lens|tripod|phone|viewfinder)"
_RECORD = r"(?:film|camera|tape|video|the (?:recording|footage|card|film|tape|video))"
_BLOCKED = SoughtPattern(
    rf"\b(?:(?:in front of|in the way of|blocking|covering|between you and)(?: \w+){{0,3}} (?:{_LENS}|shot|view|picture|you)|in the way|"
    r"(?:back|hand|arm|elbow|head|shoulder|sleeve|thumb|finger)s? (?:(?:was |were |is |are )?(?:turned |over |to |in front |all over |right |covering |hiding |blocking )+)"
    r"(?:\w+ ){0,3}(?:you|camera|lens|shot|way|it|view)|off[ -](?:camera|screen)|(?:turned|turning|facing|looking|face) away(?: from (?:you|the camera))?|back to (?:you|the camera)|outside (?:of )?(?:the )?(?:frame|shot|picture)|out of (?:the )?(?:shot|frame|focus|picture)|between (?:takes|shots))\b"
)
_KNOCKED = SoughtPattern(
    rf"\blooking at (?:a |the |my )?(?:black|blank|frozen|empty|dark) (?:screen|picture)|\b(?:hand|arm|elbow|sleeve|head|shoulder|back|hair|body|apron|thumb|steam)s? (?:hid|covered|blocked|obscured|was (?:covering|hiding|blocking)|were (?:covering|hiding|blocking))\b|"
    rf"\b(?:kicked|knocked|bumped|nudged|jogged|caught|dropped|tripped over) (?:the |my |our ){_LENS}\b|\blens cap (?:was )?on\b"
)
_NOT_RUNNING = SoughtPattern(
    r"\bbefore (?:\w+ ){0,3}(?:pressed|hit|started|pushed|began|switched on|turned on|(?:remembered|thought|managed|bothered|got round|got) to (?:press|hit|start|push|switch on|turn on)) (?:record|recording|rolling|filming|the camera)|\bbefore (?:\w+ ){0,3}(?:switched|turned|got|put|had) (?:the |my )?camera (?:on|going|rolling|running)\b|"
    r"\bwhile (?:i|we|they) (?:was|were|am|are)(?: still)? (?:reloading|resetting|changing|moving the|charging|swapping|setting up)|"
    rf"\b(?:time|when|before) the {_LENS} (?:was|came|went)(?: back| finally)? on\b|\bbefore the {_LENS} (?:had |was )?(?:started|rolling|running)\b|\bnot (?:\w+ )?on {_RECORD}\b|"
    r"\bafter (?:\w+ ){0,3}(?:stopped|finished|cut|switched off|turned off) (?:filming|recording|rolling|the camera|camera)"
)
_GONE = SoughtPattern(
    r"\b(?:no|not (?:have |got |get )*(?:a|any|the)|without|lost the|lost that|lost our|missed the|missing the|missing)(?: (?:any|the|a|actual|real|decent|proper|usable|good|close|only|whole))* "
    r"(?:footage|shot|clip|recording|picture|film|video)s?\b(?: (?:of|with|where|when|for)\b)?|"
    r"\b(?:vanished|disappeared|missing|deleted|wiped|lost|corrupted) (?:from|off|on) (?:the |my |our )?(?:\w+ )?(?:card|edit|footage|tape|film|video|recording)\b"
)
_NONE_FILMED = SoughtPattern(
    r"\bnone of (?:that|it|this|them) (?:was|is|were|are|got) (?:recorded|filmed|caught|captured|on (?:camera|film|tape))\b"
)
_SHOT_OF = SoughtPattern(
    r"\b(?:shot|clip|footage|picture|take) of (?:the |me )?(?:\w+ ){0,3}?(?:@\d+ )?(?:\w+ ){0,3}?(?:is|was|are|were|has|had|went|got|came out) (?:\w+ )?(?:out of focus|blurred|blurry|no good|useless|corrupted|gone|missing|lost|black|dark)\b"
)
_ASTRAY = SoughtPattern(
    rf"\b{_LENS} (?:was |were |is |had been |has been )?(?:looking|staring|gazing|aimed|pointed|pointing|facing|angled|turned|filming|tilted)(?: \w+)? (?:at|to|towards?|up|down|away|into)(?: (?:at|to))? (?:the |my |a )?(?:\w+ )?(?:ceiling|floor|wall|sky|sink|door|window|worktop|feet|shoes|cat|dog|nothing|fridge|ground|apron|bin|you|me|wrong)\b|"
    r"\b(?:red light|recording light|light on the camera|tally(?: light)?) (?:was|had|is) (?:\w+ )?(?:off|out|gone|dark|not on)\b"
)
_STOPPED = SoughtPattern(r"\b(?:stopped|finished|not) (?:filming|recording|rolling)\b|\bcamera\b.*\b(?:off|back)\b")
_TRUST = SoughtPattern(
    r"\b(?:take my word|trust me|believe me|have to imagine|just imagine|so imagine|my word for it)\b"
)
_IS_IN = SoughtPattern(r"\b(?:in there|is in|are in|went in|did|has gone in|have gone in|being|going in|gone in)\b")
_NO_EVENT = SoughtPattern(rf"{ALMOST.pattern}|\b(?:once|one day)\b")
_SEEN_IN = SoughtPattern(r"@\d+ (?:is|are) (?:already )?(?:in|there|on)\b.*\bnot (?:\w+ )?see (?:it|that|them|this)\b")
NOTHING_GOES_IN = SoughtPattern(
    r"\b(?:while|as|when|because) (?:the |my |our )?(?:@\d+|it|that|this|they|everything|nothing) (?:is |are |was |were )?(?:rest|cook|simmer|bak|roast|chill|cool|boil|ris|prov|happen)\w*\b"
)
"""What the camera misses then is no addition."""
_ALREADY = SoughtPattern(r"@\d+ (?:was|were|is|are) already (?:in|on)\b")
_GOING = SoughtPattern(r"@\d+ (?:\w+ )?(?:go|going|went|being|added|poured|as it|get|getting)\b|@\d+ in$")


_YOU_MISSED = SoughtPattern(
    r"\byou (?:have |just |will have )*missed (?:it|that|them|this|me|us|(?:there|here) (?:was|is))\b"
)
_MISSED_IT = SoughtPattern(r"@\d+ you (?:have |will have |may have )*missed\b")


def not_seen(r: ClauseThemes, n: int) -> Told | None:
    """*You won't have seen it go in*, *the camera died*, *what the edit doesn't show*, *I had my back to you*."""
    clause = r.clauses[n]
    text = clause.text
    if (
        clause.supposes
        or clause.subject == c.OTHER
        or _NO_EVENT.search(text)
        or NOTHING_GOES_IN.search(r.near(n, 0, 10))
    ):
        return None
    found = _nobody_saw(r, n) if clause.denied else _already_in(r, n)
    if found is not None:
        return found
    if _YOU_MISSED.search(text) or (_MISSED_IT.search(text) and clause.when != c.MODAL):
        return UNFILMED, clause.names()[:1] or r.beside(n)
    ordered = clause.when == c.ORDER and not clause.denied and not _TRUST.search(text)
    if ordered or (clause.when == c.MODAL and "could not" not in text):
        return None
    gone = _GONE.search(text) or _SHOT_OF.search(text) or (clause.has("none") and _NONE_FILMED.search(r.near(n, 0, 5)))
    away = clause.when in (c.PAST, c.BARE, c.PRESENT, c.ORDER) and (
        _KNOCKED.search(text) or _ASTRAY.search(text) or _NOT_RUNNING.search(text)
    )
    trust = _TRUST.search(text) and _IS_IN.search(r.near(n, 10, 12))
    if not (gone or away or trust or _failed(clause) or (_BLOCKED.search(text) and _is_told(clause))):
        return None
    names = clause.names()
    if gone and names:
        names = [k for k in names if k - clause.first >= text[: gone.end()].count(" ")] or names
    if not names:
        names = r.beside(n)
    together = r.group(names[0], r.home(names[0])) if names else []
    joined = bool(together) and "and" in r.words[together[0] : together[-1]]
    return UNFILMED, together if joined else names[:1]


def _already_in(r: ClauseThemes, n: int) -> Told | None:
    """*We stopped filming, and when we came back the stock was already in.*"""
    clause = r.clauses[n]
    stopped = _ALREADY.search(clause.text) and _STOPPED.search(r.near(n, 16))
    return (UNFILMED, clause.names()[:1]) if stopped else None


def _is_told(clause: Clause) -> bool:
    covering = clause.when == c.PRESENT and clause.has("covering", "hiding", "blocking")
    long = len(clause.words) > 14 or (clause.has("way") and not clause.has("my"))
    return (clause.when in (c.PAST, c.BARE) and not long) or covering


def _nobody_saw(r: ClauseThemes, n: int) -> Told | None:
    """*You can't see it go in*, *the camera never caught it*, *it didn't get filmed*."""
    clause = r.clauses[n]
    seen = next((v for v, _ in r.verbs(clause, "film")), None)
    if seen is None or clause.subject not in (c.YOU, c.US, c.CAMERA, c.NOBODY, c.NAME, c.POINTER):
        return None
    if sought(r"\b(?:never|not) (?:see|watch|want to \w+) (?:many|much|a|other)\b", clause.text):
        return None
    theme = r.after(clause, seen.at) or (r.before(clause, seen.at) if clause.passive else [])
    going = _GOING.search(r.near(n, 0, 8))
    taped = sought(rf"\bon {_RECORD}\b", clause.text)
    that = clause.subject == c.YOU and clause.lead == "so" and clause.words[-1] in ("it", "that", "them", "this")
    passive = clause.passive and seen.senses[0].lemma not in ("catch", "see", "watch")
    filmed = (
        clause.subject == c.NOBODY
        and seen.senses[0].lemma in ("film", "record", "capture", "catch", "shoot")
        and clause.when == c.PAST
    )
    that |= clause.subject == c.YOU and _SEEN_IN.search(r.near(n, 8, 3)) is not None
    if not (clause.subject == c.CAMERA or filmed or passive or going or taped or that):
        return None
    if not theme:
        theme = (
            [k for k in range(clause.last + 1, min(len(r.words), clause.last + 10)) if r.words[k][0] == "@"][:1]
            if not that
            else []
        )
    if clause.subject == c.CAMERA and not (going or (theme and clause.when == c.PAST)):
        return None
    return UNFILMED, theme or r.beside(n)


_SHOWN = SoughtPattern(
    r"\b(?:cuts? (?:off|out|away)|freezes|goes (?:black|dark|blurry|white)|jumps|shakes|wobbles|(?:all |completely |totally |just |a bit |too |rather )(?:blurred|blurry|black|dark|white|wobbly|shaky|out of focus)|"
    r"is (?:\w+ )?(?:ruined|useless|blurred|blurry|black|out of focus|unusable|corrupted|gone|missing|overexposed|upside down))\b"
)
"""The film as it is now, which shows nothing."""
_WORKING = ("rolling", "running", "recording", "working")


def _failed(clause: Clause) -> bool:
    """Whether a camera, a card, a lens or the light failed."""
    lit = sought(r"\bthe light (?:had |has )?(?:gone|went|failed)\b", clause.text)
    if (
        clause.subject == c.CAMERA
        and clause.when in (c.PRESENT, c.BARE)
        and _SHOWN.search(clause.text)
        and not clause.denied
    ):
        return True
    if clause.when != c.PAST or (clause.subject != c.CAMERA and not lit) or clause.has("see"):
        return False
    if sought(r"\b(?:back on|again|steady)\b", clause.text) and not clause.has("died", "off"):
        return False
    if clause.has(*_WORKING):
        return clause.denied
    broken = sought(r"\b(?:gave|given|packed|conked) (?:out|up|in)\b", clause.text) is not None
    broken = (
        broken
        or clause.has("wandered")
        or any(
            "mishap" in kinds_of(w) and clause.words[k - 1 : k] not in (("the",), ("a",), ("my",))
            for k, w in enumerate(clause.words)
        )
    )
    return lit is not None or (broken and not clause.denied) or clause.has("pointing")
