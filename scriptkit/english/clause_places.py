"""Where an ingredient is, or went, that is not in the dish: *it's staying in its bottle*, *they went into the bin*, *the dog got them*."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import kinds_of
from scriptkit.english.clause_themes import MANY, ClauseThemes, Told
from scriptkit.english.effect_kinds import LATER, LEFT_OUT, LESS
from scriptkit.patterns import SoughtPattern, sought

_LIES = r"(?:is|are|was|were|sits?|sat|stood|stands?|stay(?:s|ed|ing)?|remain(?:s|ed|ing)?|lives?|lies|lay|there it lies|there they lie)"
_OWN = SoughtPattern(rf"\b{_LIES}(?: \w+){{0,2}} (?:in|on|inside|under) (?:its|their|mine|my|your)(?: \w+)? (\w+)\b")
"""*In its bottle*: what was used has left it."""
_STAYS = SoughtPattern(
    r"\b(?:stay(?:s|ed|ing)?|remain(?:s|ed|ing)?|never left|got no further than)(?: \w+){0,2}? (?:in|on|inside|at|by|under|behind)? ?(?:the|my|its|their|a) (?:\w+ ){0,2}?(\w+)\b"
)
_WHERE_IT_WENT = SoughtPattern(
    r"\bwhere (?:the |my |all the )?@\d+ (?:\w+ )?(?:went|got to|goes|is|are|was|were|gone|ended up|disappeared to)\b"
)
_FOUND_THERE = SoughtPattern(rf"\b(?:it|they) {_LIES}(?: \w+)? (?:in|on|at|by) (?:the|my) (?:\w+ )?(\w+)\b")
_GIVEN_UP = SoughtPattern(
    r"\b(?:went|gone|going|ended up|landed|is|are|was|were|fell)(?: \w+)? (?:in|into|on|onto|to|all over|down) (?:the |my |our |a )?(?:\w+ )?"
    r"(?:bin|compost|rubbish|floor|dog|dogs|cat|cats|hens|chickens|birds|drain|sink|neighbours?|neighbors?|next door)\b"
)
_THROWN = SoughtPattern(
    r"\b(?:binned|composted|(?:threw|thrown|chucked|tipped|poured) (?:away|out|down|in the bin)|(?:dropped|knocked|spilt|spilled)(?: \S+){1,4} (?:on|onto|over|all over) the (?:floor|counter|worktop|table))\b"
)
_TAKEN = SoughtPattern(
    r"^(?:and |so |but |because |, )*(?:the |my |our |all )*(?:dogs?|cats?|kids|children|boys?|girls?|son|daughter|husband|wife|birds|mice|flatmate|lodger|somebody|someone|neighbours?)(?: \w+)?"
    r" (?:has |have |had |just )*(?:got|gotten|ate|eaten|had|took|taken|stole|stolen|nicked|pinched|finished|scoffed|been at|got at|got to|helped themselves to|polished off|used up|drank|drunk)(?: (?:all )?(?:the |my |our )?(?:last of the )?)? ?(it|them|those|that|@\d+)\b"
)
_PART = SoughtPattern(
    r"\b(half|a third|a quarter|some|most|a few|two|three|four|one|two thirds|three quarters|part|a lot|a bit)(?: of)?(?: (?:the|my|that|those|these|this|our|mine|them|it))*(?: @\d+)? (?!@)"
)
_SPOILT = SoughtPattern(
    r"\b(?:rotten|mouldy|moldy|slimy|bad|brown inside|bruised|stale|rancid|burnt|burned|wilted|gone off|off|dead|broken|no good|unusable|split|wormy|soggy)\b"
)
_PLENTY = SoughtPattern(r"\b(?:plenty|enough|more where|another one|no matter|does not matter|spare|anyway)\b")
_HANDS = frozenset("hand hands pocket pockets bag car garden garage boot shed porch doorstep office head paw".split())  # noqa: SIM905
_BACK_LATER = SoughtPattern(r"\b(?:for now|until|till|for later|for the moment|yet|a bit longer|before)\b")


def _kept_there(word: str) -> bool:
    return word in _HANDS or bool(kinds_of(word) & {"store"})


def elsewhere(r: ClauseThemes, n: int) -> Told | None:
    """*The fish sauce is staying in its bottle*; *if you wonder where it went, it's in the fridge*; *they went into the bin*."""
    clause = r.clauses[n]
    if (
        clause.supposes
        or clause.asks
        or clause.subject in (c.CAMERA, c.YOU)
        or clause.when in (c.MODAL, c.MEANT, c.ORDER)
    ):
        return None
    text = clause.text
    if not clause.denied or sought(r"\bnever left\b|\bno further\b|\band not (?:in|on|into)\b", text):
        if clause.subject in (c.NAME, c.POINTER, c.NO_ONE, c.US) and _lies(r, n, text):
            theme = _who(r, n)
            return ((LATER if _BACK_LATER.search(r.to_stop(n, 5)) else LEFT_OUT), theme) if theme else None
        return _gone(r, n)
    return None


def _lies(r: ClauseThemes, n: int, text: str) -> bool:
    own, stays = _OWN.search(text), _STAYS.search(text)
    if own and _kept_there(own.group(1)) and r.clauses[n].subject != c.US:
        return True
    if stays and _kept_there(stays.group(1)) and r.clauses[n].subject != c.US:
        return not sought(r"\b(?:overnight|for|to|hours?|minutes?|warm|while)\b", text)
    found = _FOUND_THERE.search(text)
    return bool(found and _kept_there(found.group(1)) and _WHERE_IT_WENT.search(r.near(n, 12)))


def _who(r: ClauseThemes, n: int) -> list[int]:
    """Whom the clause is about: a name in it, else what its pronoun goes back to."""
    clause = r.clauses[n]
    if names := clause.names():
        return r.group(names[0], clause)
    pointer = next((w for w in clause.words[:4] if w in MANY | {"it", "that", "this"}), None)
    return r.back(n, [pointer] if pointer else [])[:1]


def _gone(r: ClauseThemes, n: int) -> Told | None:
    """*They went into the bin*, *the dog got them*; of a part of it: less."""
    clause = r.clauses[n]
    text = clause.text
    if clause.when not in (c.PAST, c.PRESENT, c.BARE) or _PLENTY.search(r.to_stop(n, 10)):
        return None
    part = _PART.search(text)
    if (
        part
        and (_GIVEN_UP.search(text[part.start() :]) or _SPOILT.search(text[part.start() :]))
        and clause.when == c.PAST
    ):
        names = [k for k in clause.names() if k >= clause.first + text[: part.start()].count(" ")]
        theme = names[:1] or (_who(r, n) if sought(r"\b(?:of (?:it|them|mine|those))\b", text) else [])
        consequence = sought(
            r"\b(?:so|less|fewer|call|only|short|smaller|meagre|that is|leaves|left)\b", r.to_stop(n, 16)[len(text) :]
        )
        return (LESS, theme) if theme and consequence else None
    if clause.when != c.PAST or text.startswith(("one ", "some ", "a bit ", "a few ")):
        return None
    taken = _TAKEN.search(text)
    if taken:
        theme = clause.names()[:1] or r.back(n, [taken.group(1)])[:1]
        return (LEFT_OUT, theme) if theme and _near_absence(r, n) else None
    thrown = _THROWN.search(text) and clause.subject == c.US
    if not thrown and not (_GIVEN_UP.search(text) and clause.subject in (c.NAME, c.POINTER)):
        return None
    theme = _who(r, n)
    told = _near_absence(r, n) or sought(r"\b(?:not (?:in|on)|bin|compost)\b", text)
    return (LEFT_OUT, theme) if theme and told else None


_ABSENCE = SoughtPattern(r"\b(?:no|not|none|never|without|missing|gone|so|sorry|ought|should|supposed|absent|lost)\b")


def _near_absence(r: ClauseThemes, n: int) -> bool:
    """Whether something around says that it is not there."""
    one = r.clauses[n]
    around = [*r.words[max(0, one.first - 14) : one.first], *r.words[one.last + 1 : one.last + 10]]
    return _ABSENCE.search(" ".join(around)) is not None
