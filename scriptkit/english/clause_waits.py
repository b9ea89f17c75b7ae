"""What is kept for later, or stands where it stood: *I'm keeping it back*, *they can wait*, *still in its jar*."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import Sense, kinds_of, set_
from scriptkit.english.clause_themes import MANY, ClauseThemes, Told
from scriptkit.english.clauses import Verb
from scriptkit.english.effect_kinds import LATER, LEFT_OUT, LESS
from scriptkit.patterns import SoughtPattern, sought

_SOON = (
    r"(?:in a (?:bit|minute|moment|second|while|sec|mo|tick|few minutes)|at the (?:very )?(?:end|finish|table|last)|right at the end|later(?: on)?|"
    r"half ?way(?: through)?(?! (?:point|mark|up|down|across|over))|afterwards?|to finish|last thing|after that|at serving|to serve|for the (?:end|table|bowls|plates))"
)
_LATER = SoughtPattern(
    rf"\b(?:{_SOON}|(?:just|right|shortly|moments|immediately) (?:before|after)\b|in (?:about |around |another )?\w+ (?:minutes?|hours?)(?: time)?\b(?! of\b)|(?:\w+ ){{1,2}}(?:minutes?|seconds?|hours?) (?:\w+ )?(?:behind|after|later)\b|(?:once|when|after) (?:[^\s.]+ ){{1,6}}?(?:and |, )not before\b|(?:when|once|until|till|after|before|as soon as)(?: (?!can\b)[^\s.]+){{0,5}} (?:serv\w+|plat(?:e|es|ed|ing)|sit|sits|sitting|"
    r"eat|eats|eating|tables?|dishe?[ds]? up|bowls?|ready|done|cool\w*|go(?:es)? out|fish|guests?|everyone|everybody))\b"
)
_NAME_THEN_LATER = SoughtPattern(
    rf"@\d+ (?:, )?(?:(?:no |well )?(?:(?:not|no) (?:now|yet|just yet|quite yet|at this point|for now)|{_SOON}(?! (?:possible )?(?:moment|minute|second)\b)|last(?: of all)?(?= [.,]|$| (?:when|once)))|"
    r"(?:when|once) (?:(?!can\b|come\b)[^\s.]+ ){0,7}(?:serve|plate|plated|table|eat)\b)(?! (?:you|i|we|it|they|he|she)\b)"
)
_FOR_NOW = SoughtPattern(
    r"\b(?:for now|for the moment|for later|until|till|a bit longer|a while longer|for a (?:bit|while|minute))\b"
)
_TILL_LATER = SoughtPattern(
    r"\b(?:for now|for the moment|for later|later|until|till|(?:for|to|at) the (?:very )?(?:end|last|table))\b"
)
_IN_HAND = set_("it this that these those them")
_A_WHILE = SoughtPattern(
    r"\bfor (?:about |another |at least |around |a |an |just )*(?:\d|few|couple|good|minutes?|hours?|seconds?|overnight|\w+ (?:more )?(?:minutes?|seconds?|hours?|days?))|"
    r"\bto (?!the\b|one\b|serve\b|last\b|finish\b|put\b|add\b|@)\w+|\bin the (?:fridge|freezer)\b"
)
"""Then it is left to itself, and not held over."""
_BEFORE_A_BASE = set_("to i we and please so or then , now but")
_PARTS = set_("stalks stems tops skins bones shells rind peel jar water fat leaves ends trimmings")
"""After a name: something of it, and not what goes in."""
_WHERE = frozenset("in on at inside into onto by beside near behind under beneath next".split())  # noqa: SIM905
_BESIDE = frozenset("by beside near behind under beneath next".split())  # noqa: SIM905
_SOME = frozenset(
    "some bit half third quarter quarters couple few little handful handfuls lot most spoon spoonful touch cup fraction part".split()  # noqa: SIM905
)


# --- where it still is ------------------------------------------------------------------------------------------------


def _store(words: Sequence[str], *, still: bool) -> bool:
    """Whether a place is named where what is not yet in the dish stands."""
    for k, word in enumerate(words):
        if word in _WHERE:
            place = [w for w in words[k + 1 : k + 7] if w not in (".", ",")]
            if any("store" in kinds_of(w) or (still and "store_if_still" in kinds_of(w)) for w in place):
                return True
            if still and word in _BESIDE and place:
                return True
    return False


_STANDING = set_(
    "over out there here up down put sitting standing lying waiting sat stood left right back behind half safe untouched unopened"
)
_UNTOUCHED = SoughtPattern(r"^(?:\S+ ){0,6}?(?:untouched|unopened|still full|lid (?:still )?on|seal (?:still )?on)\b")
_STAYED = ("still", "sat", "sitting", "stood", "standing", "lying", "waiting", "languishing", "stayed", "remained")


def stayed(r: ClauseThemes, n: int) -> Told | None:
    """*It's still in the jar*, *it went straight back in the fridge*, *I can see the chives from here, on the board*."""
    clause = r.clauses[n]
    if (
        clause.denied
        or clause.supposes
        or clause.lead in ("when", "while", "until", "till", "once", "before")
        or clause.subject in (c.OTHER, c.YOU, c.CAMERA)
    ):
        return None
    if (
        clause.subject == c.US
        and clause.has("see", "seen", "spot", "spotted", "noticed", "found")
        and clause.lead == ""
        and (names := clause.names())
    ):
        ahead = r.words[names[0] + 1 : names[0] + 12]
        return (LEFT_OUT, names[:1]) if _store(ahead, still=False) or _UNTOUCHED.search(" ".join(ahead)) else None
    if clause.when in (c.FUTURE, c.MODAL, c.MEANT, c.ORDER):
        return None
    if clause.when == c.PAST and sought(
        r"\b(?:went|put|goes) (?:straight |right )?back (?:in|into|on|onto)\b", clause.text
    ):
        theme = (clause.names() or _it(r, n)) if _store(clause.words, still=True) else []
        return (LEFT_OUT, theme[:1]) if theme else None
    return _still_there(r, n)


def _still_there(r: ClauseThemes, n: int) -> Told | None:
    clause = r.clauses[n]
    still = clause.has(*_STAYED)
    rests = ("is", "are", "sat", "stood", "stayed", "remained", "remain", "remains", "stay", "stays")
    be = next((k for k, w in enumerate(clause.words) if w in rests), None)
    if be is None and still:
        be = next((k for k, w in enumerate(clause.words) if w in ("was", "were", "been", *_STAYED)), None)
    if be is None or not (clause.when != c.PAST or still):
        return None
    tail = clause.words[be:]
    text = " ".join(tail)
    place = next((w for w in tail[1:] if w not in c.ADVERBS | _STANDING), "")
    if place not in _WHERE:
        return None
    if not _store(tail, still=still) or sought(
        r"\b(?:in|on) (?:the |my |a )?(?:oven|pan|pot|soup|now|too|already)\b", text
    ):
        return None
    if not still and sought(r"\b(?:good|nice|lovely|best|ready|waiting for you|warm|because|so that)\b", clause.text):
        return None
    names = clause.names(None, clause.first + be + 1)
    theme = r.group(names[-1], clause) if names else []
    if not theme and clause.subject in (c.POINTER, c.NO_ONE):
        theme = _it(r, n)
    if not theme or not (still or names):
        return None
    return (LATER if _FOR_NOW.search(r.to_stop(n, 6)) else LEFT_OUT), theme


def _it(r: ClauseThemes, n: int) -> list[int]:
    """What the clause's subject goes back to."""
    at = r.clauses[n].subject_at
    return r.back(n, [r.words[at]] if at is not None else [])


# --- later ------------------------------------------------------------------------------------------------------------


def held_over(r: ClauseThemes, n: int) -> Told | None:
    """*I'm keeping it back*, *hold the capers*, *they can wait*, *I keep a spoon of it behind*."""
    clause = r.clauses[n]
    if clause.denied or clause.subject in (c.OTHER, c.YOU, c.CAMERA) or clause.supposes or clause.asks:
        return None
    for verb, kind in r.verbs(clause, "keep"):
        sense = verb.sense(kind)
        assert sense is not None
        if sense.lemma == "wait":
            told = clause.subject in (c.NAME, c.POINTER) and set(clause.words) & {
                "can",
                "will",
                "must",
                "should",
                "has",
                "have",
            }
            theme = r.theme(n, verb) if told else []
            return (LATER, theme) if theme else None
        found = _kept(r, n, verb, sense)
        if found is not None:
            return found
    return None


def _kept(r: ClauseThemes, n: int, verb: Verb, sense: Sense) -> Told | None:
    clause = r.clauses[n]
    before = r.words[verb.at - 1] if verb.at > clause.first else ","
    theme = r.object(n, verb)
    if theme and r.words[theme[0] + 1 : theme[0] + 2] and r.words[theme[0] + 1] in _PARTS:
        return None
    omitted = sense.lemma == "leave" and "out" in r.words[verb.at + 1 : verb.at + 2]
    if omitted or _worked_on(r, n, verb) or sought(r"\b(?:until|till) now\b", clause.text):
        return None
    noun = sense.form == "base" and before not in c.AUXILIARIES | c.ADVERBS | _BEFORE_A_BASE
    between = r.words[verb.at + 1 : theme[0]] if theme and theme[0] > verb.at else ()
    if (
        noun
        or not theme
        or len(between) > 7
        or clause.when == c.MODAL
        or sense.form == "s"
        or _left_alone(r, n, verb, sense, theme)
    ):
        return None
    if not clause.passive and clause.subject not in (c.US, c.NO_ONE) and theme[0] >= verb.at:
        return None
    if set(between) & _SOME:
        back = clause.when in (c.PAST, c.PRESENT) and clause.subject == c.US
        later = _LATER.search(" ".join(r.words[verb.at : clause.last + 12]))
        return (LATER if later else LESS, theme) if back else None
    long_ago = sense.form == "ed" and clause.when == c.PAST and not clause.passive and not clause.has("have", "has")
    return None if long_ago and not sought(r"\b(?:until|till|later)\b", clause.text) else (LATER, theme)


def _worked_on(r: ClauseThemes, n: int, verb: Verb) -> bool:
    """*Set this aside*, *save it*: of what is in hand, where neither a name nor a time is told."""
    clause = r.clauses[n]
    after = clause.words[verb.at - clause.first + 1 :][:1]
    pointed = not clause.names() or bool(set(after) & _IN_HAND)
    stands = clause.has("aside", "side") or clause.when == c.ORDER
    return pointed and stands and _TILL_LATER.search(r.to_stop(n, 3)) is None


def _left_alone(r: ClauseThemes, n: int, verb: Verb, sense: Sense, theme: list[int]) -> bool:
    """*Leave it for ten minutes*, *keep it in the fridge*, *hold it back with the spoon*: nothing is held over."""
    clause = r.clauses[n]
    if sought(r"\bwith (?:the|a|your) (?!@)\w+", " ".join(r.words[verb.at : clause.last + 1])):
        return True
    if sense.lemma not in ("leave", "keep", "hold", "hang"):
        return False
    tail = " ".join(r.words[verb.at + 1 : clause.last + 6])
    named = clause.first <= theme[0] <= clause.last
    return _A_WHILE.search(tail) is not None or not (named or sought(r"\bback\b", tail))


def comes_later(r: ClauseThemes, n: int) -> Told | None:
    """*I'll add it at the table*, *the parsley goes on when we serve*, *parsley last*, *lemon juice: not now*."""
    clause = r.clauses[n]
    if (
        clause.supposes
        or clause.asks
        or clause.subject in (c.OTHER, c.YOU, c.CAMERA)
        or sought(r"\b(?:in|on) (?:right )?now\b", clause.text)
    ):
        return None
    following = r.clauses[n + 1] if n + 1 < len(r.clauses) else None
    wide = r.to_stop(n, 8) if following is not None and following.lead in _GOES_ON else clause.text
    you = following is not None and following.subject == c.YOU
    bare = not you and not clause.verbs and clause.when in (c.BARE, c.PRESENT)
    if bare and clause.names() and _NAME_THEN_LATER.search(wide):
        return LATER, clause.names()[-1:]
    return None if clause.denied and clause.words[0] != "no" else _put_later(r, n, wide)


_GOES_ON = frozenset({"", "when", "once", "until", "till", "after", "before", "as", "and"})
"""A clause that begins so may tell when."""


def _put_later(r: ClauseThemes, n: int, wide: str) -> Told | None:
    clause = r.clauses[n]
    for verb, theme in _coming(r, n):
        start = len(" ".join(clause.words[: verb.at - clause.first]))
        fronted = theme and clause.when == c.FUTURE and theme[0] < verb.at and verb.at - theme[0] <= 4
        fronted = fronted and bool({"i", "we"} & set(r.words[theme[0] : verb.at]))
        when = fronted and sought(r"\b(?:once|when|after|until|till|later|before)\b", wide[start:])
        if theme and (when or _LATER.search(wide[start:])):
            return LATER, theme
    plain = clause.when == c.FUTURE and clause.subject == c.US and clause.has("do", "add", "come", "get")
    if plain and _LATER.search(wide) and (clause.names() or set(clause.words) & {"that", "it", "those", "them"}):
        theme = clause.names()[:1] or r.back(n, ["them"] if set(clause.words) & MANY else ["it"])
        return (LATER, theme) if theme else None
    return None


def _coming(r: ClauseThemes, n: int) -> Iterator[tuple[Verb, list[int]]]:
    """The verbs that say that something will be put in, or goes in some time."""
    clause = r.clauses[n]
    for verb, kind in r.verbs(clause, "put", "go"):
        sense = verb.sense(kind)
        assert sense is not None
        comes = clause.subject in (c.NAME, c.POINTER) and clause.when in (c.PRESENT, c.ORDER)
        if (clause.when == c.FUTURE or comes) and (sense.form != "ed" or clause.passive or clause.when == c.FUTURE):
            yield verb, r.theme(n, verb) if kind == "go" else r.object(n, verb)
