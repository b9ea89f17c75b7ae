"""More or less of it than is written: *twice the mustard*, *easy on the cream*, *only a litre of the stock*, *three spoons, not two*."""

from __future__ import annotations

import functools
import re

from scriptkit.english import clauses as c
from scriptkit.english.clause_themes import ClauseThemes, Told
from scriptkit.english.clauses import Clause
from scriptkit.english.effect_kinds import LESS, MORE
from scriptkit.measure.spoken import may_count, number_at, tokens_in
from scriptkit.patterns import SoughtPattern, sought

_REFERENCE = SoughtPattern(
    r"\b(?:than|as|what|that) (?:\w+ ){0,3}?(?:said|says|say|wrote|written|planned|meant|intended|told|promised|asks?|calls?|should|ought|"
    r"recipe|card|list|page|wanted|needed|needs?|usual|number)\b|\b(?:what is|what was) written\b|\bthe (?:recipe|card) (?:says|asks|calls)\b"
)
_SLIP = SoughtPattern(
    r"\b(?:slipped|slip|glugged|carried away|by (?:mistake|accident)|accidentally|whoops|oops|oh dear|oh well|ah well|my bad|got away|ran away|not watching|was not looking|"
    r"misread|miscounted|mismeasured|heavy hand(?:ed)?|splurged|overboard|lid came off|too fast|my hand|sorry)\b"
)
_ALL_THERE_WAS = SoughtPattern(r"\b(?:all (?:that was|there was|that is|i had|we had|i got|i could)|ran out|run out)\b")
_AMOUNT_OF = r"(?: (?:of )?(?:the |my |as much |as many |amount of )*)?"
_CUES = (
    (
        MORE,
        r"(?:more|extra(?! (?:virgin|firm|large|fine|sharp|lean|thick|hot))|double|twice|twice the|three times(?: the)?|triple|too much|too many)",
    ),
    (
        LESS,
        r"(?:less|fewer|half(?! an?\b)|half the|a third|a quarter|too little|too few|not enough|nowhere near enough)",
    ),
)
_EASY = SoughtPattern(
    r"\b(?:easy|light|sparing|stingy|mean|gentle|careful|shy|tight|frugal|scrimped|skimped) (?:on|with) (?:\w+ ){0,2}@\d+"
)
_FREE = SoughtPattern(
    r"\b(?:heavy[ -]handed|heavy|free|generous|overboard|carried away|lavish|liberal|a bit much|overdid|overdone|doubled up|doubled|too far)(?: (?:on|with))? (?:\w+ ){0,2}@\d+"
)
_ONLY = SoughtPattern(r"\b(?:only|just|barely|hardly)(?: \w+){0,5}? (?:of )?(?:the |that |my )?@\d+")
_PORTION = SoughtPattern(
    r"\b(?:half|third|quarters?|litre|liter|pint|cup|grams?|spoon\w*|tablespoons?|teaspoons?|bit|little|few|mils|pinch|handful|spoonful)\b"
)
_FIGURES = SoughtPattern(r"(.*)\b(?:rather than|instead of|not|and not|than) (?:the |just )?(\w+(?: \w+)?)")
_THAN_OTHERS = SoughtPattern(
    r" (?:than |that |of what )?(?:you|people|they|most people) (?:would|might|usually|normally)\b"
)
_NEARER = SoughtPattern(
    r"\b(?:nearer|closer|more like|call (?:it|that)|make (?:it|that)|was|were|used|put|went|made|added|got|had|rather than)\b"
)
_WHOLE_THING = SoughtPattern(
    r"\b(?:that is|it is|was|in went|there goes) the whole (?:jar|pot|carton|bottle|lot|bag|bunch|packet|tub|tin)\b"
)


def quantity(r: ClauseThemes, n: int) -> Told | None:
    """What the clause says of how much it was, in words or in two figures."""
    clause = r.ours(n, c.PAST, c.PRESENT, c.BARE)
    if clause is None:
        return None
    text = clause.text
    past = clause.subject == c.US and clause.when == c.PAST and not clause.denied
    for effect, pattern in ((LESS, _EASY), (MORE, _FREE)):
        if past and (found := pattern.search(text)):
            return effect, r.named(clause, text, found.end())[:1]
    short = sought(r"\b(?<!too )short (?:of|on) (?:\w+ ){0,2}@\d+", text)
    if short and clause.subject in (c.US, c.POINTER):
        return LESS, r.named(clause, text, short.end())[:1]
    double = sought(r"\b(?:double|twice|triple|three times) the @\d+$", text)
    if double and clause.subject == c.POINTER and clause.has("is", "was"):
        return MORE, r.named(clause, text, double.end())[:1]
    only = _ONLY.search(text)
    here = clause.subject == c.THERE and (
        clause.lead == "so" or (clause.has("there", "here", "left") and text.count("there") > 1)
    )
    if only and ((past and _was_put(clause)) or here) and _PORTION.search(only.group()):
        return LESS, r.named(clause, text, only.end())[:1]
    return _one_short(r, n) or _more_like(r, n) or _compared(r, n) or _whole_thing(r, n) or _all_there_was(r, n)


_SHORT_OF = SoughtPattern(
    r"\b(?:am|are|was|were) (?:one|two|three|a few|a couple) short\b|\bonly (?:had|have|got|had got|used|put in) (?:the )?(?:one|two|three)(?: of them| left)?$"
)
_MORE_LIKE = SoughtPattern(
    r"\b(?:it|that|this|which|what went in) (?:was|is|were) (?:more like|nearer|closer to|easily|at least) (?:to )?(half|a third|a quarter|less|two thirds|three quarters)?"
)
_MEANT_TO_BE = SoughtPattern(r"\b(?:meant|supposed|should|ought) (?:to )?(?:have )?(?:be|been)\b")


def _one_short(r: ClauseThemes, n: int) -> Told | None:
    """*I'm one short*, *I only had the one*."""
    clause = r.clauses[n]
    if clause.subject != c.US or not _SHORT_OF.search(clause.text):
        return None
    theme = clause.names() or r.back(n, [])
    return (LESS, theme[:1]) if theme else None


def _more_like(r: ClauseThemes, n: int) -> Told | None:
    """*It was meant to be a teaspoon, and it was more like a tablespoon*."""
    found = _MORE_LIKE.search(r.clauses[n].text)
    before = r.near(n, 24)[: -len(r.clauses[n].text)]
    if found is None or not (_MEANT_TO_BE.search(before) or _SLIP.search(before)):
        return None
    theme = r.clauses[n].names() or r.back(n, ["it"])
    return (LESS if found.group(1) else MORE, theme[:1]) if theme else None


def _compared(r: ClauseThemes, n: int) -> Told | None:
    """*A lot more mustard than I said*, *about half the cream went in*, *that was double what the card says*."""
    clause = r.clauses[n]
    if not r.happened(clause):
        return None
    short = sought(r"\bnot (?:quite |nearly |half )?(?:as|so) (?:much|many) (?:\w+ )?@\d+", clause.text)
    if short and _REFERENCE.search(r.to_stop(n, 12)):
        return LESS, r.named(clause, clause.text, short.end())[:1]
    if clause.denied:
        return None
    text, wide = clause.text, r.near(n, 0, 12)
    refers = _REFERENCE.search(r.to_stop(n, 12)) is not None
    slip = _SLIP.search(r.near(n, 12, 12)) is not None
    done = clause.when == c.PAST and _was_put(clause)
    is_here = clause.subject in (c.POINTER, c.THERE) and clause.has("is", "was", "are", "were")
    told = (
        done
        or (is_here and (refers or slip))
        or (refers and clause.when == c.PAST)
        or (
            slip
            and (clause.when == c.BARE or not clause.verbs)
            and sought(r"\b(?:too|lot|way|double|far)\b", text) is not None
        )
    )
    for effect, cue in _CUES:
        found = sought(rf"\b{cue}{_AMOUNT_OF}(?: ?(?:\w+ )?)@\d+", text)
        why = is_here and effect == LESS and _ALL_THERE_WAS.search(wide[len(text) :])
        bit = found and effect == MORE and sought(r"\b(?:little|bit|some|any) more\b", text) and not (refers or slip)
        if (
            found
            and not bit
            and (told or why)
            and not sought(r"\b(?:all|the other half|less than)\b", found.group())
            and not _THAN_OTHERS.match(wide[found.end() :])
        ):
            return effect, r.named(clause, text, found.end())[:1]
        said = sought(
            rf"\b(?:that|it|this|they|there|which)(?: \w+){{0,3}} (?:was|were|is|are)(?: \w+){{0,5}} {cue}", text
        )
        if said and is_here and not clause.names() and refers:
            theme = r.back(n, ["that"])
            return (effect, theme) if theme else None
    return None


def _was_put(clause: Clause) -> bool:
    put = any(v.sense("put") or v.sense("go") for v in clause.verbs) or clause.has("used", "had", "got", "have")
    return put and (clause.passive or clause.subject in (c.US, c.NAME, c.POINTER, c.NO_ONE))


def _whole_thing(r: ClauseThemes, n: int) -> Told | None:
    """*I know I said thirty grams, that's the whole jar.*"""
    clause = r.clauses[n]
    if not _WHOLE_THING.search(clause.text) or not sought(
        r"\b(?:said|sorry|meant|supposed|oops|more than)\b", r.near(n, 14, 12)
    ):
        return None
    theme = clause.names(None, clause.first + 6) or r.back(n, [])
    return (MORE, theme[:1]) if theme else None


def _all_there_was(r: ClauseThemes, n: int) -> Told | None:
    """*One spoon of lemon juice was all I got.*"""
    clause = r.clauses[n]
    if not sought(r"@\d+ (?:was|is) all (?:that )?(?:i|we|there|they) ", clause.text + " ") and not (
        clause.text.endswith("is all") or clause.text.endswith("was all")
    ):
        return None
    names = clause.names()
    return (
        (LESS, names[:1])
        if names and sought(r"\b(?:i|we|there) (?:had|got|was|could|found|have)\b", r.to_stop(n, 6))
        else None
    )


def two_figures(r: ClauseThemes, n: int) -> Told | None:
    """*Ten grams rather than twenty*, *three tablespoons of oil, not two*; which of them is more."""
    clause = r.clauses[n]
    if clause.subject in (c.YOU, c.OTHER) or clause.when in (c.MODAL, c.MEANT) or clause.supposes:
        return None
    match = _FIGURES.search(re.sub(r"\bnot one of\b", "none of", r.to_stop(n, 12)))
    if (
        match is None
        or last_number(clause.text) is None
        or not (_NEARER.search(match.group()) or (clause.when == c.PAST and clause.subject == c.US))
    ):
        return None
    one, other = last_number(re.sub(r"@\d+", "", match.group(1))), last_number(match.group(2))
    if one is None or other is None or one == other:
        return None
    names = clause.names() or _of_the_figure(r, clause, match.group()) or r.back(n, [])
    return (MORE if one > other else LESS, names[:1]) if names else None


def _of_the_figure(r: ClauseThemes, clause: Clause, words: str) -> list[int]:
    """The names among the words after the clause in which the second figure stands, or right behind it: *not two of @*."""
    last = min(len(r.words), clause.first + words.count(" ") + 4)
    return [k for k in range(clause.last + 1, last) if r.words[k][0] == "@"]


@functools.lru_cache(maxsize=4096)
def last_number(text: str) -> float | None:
    """The last figure of a text, in digits or words; None where it has none."""
    if not may_count(text):
        return None
    tokens = tokens_in(text)
    found, at = None, 0
    while at < len(tokens):
        number = number_at(tokens, at)
        if number is not None:
            found = float(number[0])
        at = max(at + 1, number[1] if number is not None else 0)
    return found
