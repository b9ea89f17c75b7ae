"""Talk cut into clauses, punctuated or not: who does what, when, denied or not, to which names."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from typing import NamedTuple

from scriptkit.english.clause_lexicon import SELDOM, Sense, kinds_of, lexicon, set_
from scriptkit.english.effect_kinds import OTHERS
from scriptkit.patterns import SoughtPattern

PAST, PRESENT, FUTURE, MEANT, MODAL, ORDER, BARE = "past", "present", "future", "meant", "modal", "order", "bare"
"""When: it was done; it is; it will be; it ought to have been; it may be; *do it*; no verb tells."""
US, YOU, OTHER, NAME, POINTER, THERE, CAMERA, NOBODY, NO_ONE = (
    "us", "you", "other", "name", "pointer", "there", "camera", "somebody", "",
)  # fmt: skip
"""Who a clause is about."""


_SUBJECTS = set_(
    "i we you he she they it that this those these there everything nobody somebody someone who what which nothing"
)
_POINTERS = set_("it they that this those these which one everything")
_BE, _HAVE, _DO = set_("am is are was were be been being"), set_("have has had having"), set_("do does did")
_WILL, _MODALS = set_("will shall"), set_("would could should might may can must ought need")
AUXILIARIES = _BE | _HAVE | _DO | _WILL | _MODALS
_NOT_ALONE = set_("being having been be")
NEGATIONS = set_("not never neither nor hardly barely scarcely nobody")
_JOINS = set_(
    "because so but when while whilst if unless although though since whereas whether lest cos except once however"
)
_MAYBE_JOINS = set_("and then before after until till as where that which who or than only just")
"""They begin a clause where a verb follows."""
_LEADS = (_JOINS | _MAYBE_JOINS) - set_("that which who")
_QUESTIONS = set_("what why how")
_SUPPOSING = set_("if unless whether lest")
_PREPOSITIONS = set_("of in on at to into onto with from by for over under without about like up down off out than as")
ADVERBS = set_(
    """
    just really actually even quite completely clean totally only also still simply already ever somehow then ended up too all both
    almost nearly sadly unfortunately accidentally deliberately purposely basically honestly stupidly now ended went and gone gonna
    """
)
_DETERMINERS = set_("the a an my our your their his her its some any no all this that these those")
_BEFORE_A_NOUN = _DETERMINERS - set_("that this all these those")


_BESIDE_A_VERB = AUXILIARIES | ADVERBS | NEGATIONS

_VERBS = frozenset({"put", "go", "omit", "keep", "stay", "replace", "film", "fit", "serve", "say"})


@functools.lru_cache(maxsize=8192)
def _is_verb(word: str) -> bool:
    return any(s.kind in _VERBS for s in lexicon().get(word, ()))


def _finite(words: Sequence[str], at: int) -> bool:
    """Whether a verb that can carry a clause stands there."""
    word = words[at]
    return _carries(word) or (at > 0 and words[at - 1] in _PERSONS and word.isalpha())


@functools.lru_cache(maxsize=8192)
def _carries(word: str) -> bool:
    """Whether the form alone can carry a clause: *was*, *poured*."""
    own = any(s.kind in _VERBS and s.form in ("ed", "s") for s in lexicon().get(word, ()))
    return own or word in AUXILIARIES - _NOT_ALONE


_PERSONS = _SUBJECTS - {"that", "this", "those", "these"}
_WHO_ACTS = _PERSONS - {"everything", "who", "what", "which"}


# --- clauses ----------------------------------------------------------------------------------------------------------


class Verb(NamedTuple):
    """A verb of a clause: the token that it is, and what it can mean there."""

    at: int
    senses: tuple[Sense, ...]
    after_to: bool
    """It stands after *to*: *meant to add*."""

    def sense(self, kind: str) -> Sense | None:
        """It as a verb of the kind, where it is one."""
        return next((s for s in self.senses if s.kind == kind), None)


class Clause(NamedTuple):
    """Tokens ``first`` to ``last``. ``lead`` joins it to the one before (*because*), ``subject`` is who it is about, ``when`` one of
    ``PAST`` … ``BARE``; ``passive``: what is done is done to the subject."""

    first: int
    last: int
    sentence: int
    words: tuple[str, ...]
    text: str
    lead: str
    subject: str
    subject_at: int | None
    when: str
    denied: bool
    passive: bool
    asks: bool
    verbs: tuple[Verb, ...]

    @property
    def supposes(self) -> bool:
        """Whether it only tells what may be: *if*, *unless*, *whether*, *lest*."""
        return self.lead in _SUPPOSING

    def has(self, *words: str) -> bool:
        """Whether one of the words stands in it."""
        return any(w in self.words for w in words)

    def names(self, lo: int | None = None, hi: int | None = None) -> list[int]:
        """Places of the names in it, from token ``lo`` to before ``hi``."""
        lo, hi = self.first if lo is None else lo, self.last + 1 if hi is None else hi
        return [n for n in range(max(lo, self.first), min(hi, self.last + 1)) if self.words[n - self.first][0] == "@"]


def clauses_of(words: Sequence[str]) -> list[Clause]:
    """The clauses of a talk, in order; what is left out of one (*and poured it in*) is taken from the one before."""
    found: list[Clause] = []
    sentence = 0
    start = 0
    for at in range(len(words) + 1):
        stop = at == len(words) or words[at] == "."
        if at > start and (stop or _begins(words, start, at)):
            clause = _clause(words, start, at - 1, sentence)
            found.append(_with_subject(clause, found))
            start = at
        if stop:
            start = at + 1
            sentence += 1
    return found


def _verb_ahead(words: Sequence[str], at: int, reach: int) -> bool:
    """Whether a verb follows before the sentence or the noun phrase ends."""
    for n in range(at, min(len(words), at + reach)):
        if words[n] in (".", ","):
            return False
        if n > at and words[n] in _JOINS:
            return False
        if _finite(words, n):
            return True
    return False


def _begins(words: Sequence[str], start: int, at: int) -> bool:
    """Whether a clause begins there."""
    word, before = words[at], words[at - 1]
    if word == ",":
        return False
    if word in _JOINS:
        if word == "so" and words[at + 1 : at + 3] == ["much", "as"]:
            return False
        return before not in ("even", "not", "or", "just", "as") or word in ("because", "but", "so")
    if word in _MAYBE_JOINS:
        nouns = word in ("and", "or") and not any(_finite(words, n) or _is_verb(words[n]) for n in range(start, at))
        return not nouns and not (word == "then" and before in ("and", "but")) and _joins(words, at)
    return _begins_unjoined(words, start, at)


def _begins_unjoined(words: Sequence[str], start: int, at: int) -> bool:
    word, before = words[at], words[at - 1]
    if before == ",":
        return _begins_after_comma(words, at, done=_done(words, start, at))
    none = word not in _MAY_BEGIN or before in _PREPOSITIONS or at + 2 >= len(words) + (word in _SUBJECTS)
    if none or not _done(words, start, at):
        return False
    if word == "do":
        return words[at + 1] == "not" and before not in _SUBJECTS | _QUESTIONS | _JOINS | {"you", "please", "just"}
    if word in _SUBJECTS and before not in ("that", "and", "not") and before not in AUXILIARIES:
        after = words[at + 1]
        person = word in _WHO_ACTS
        return (
            after in AUXILIARIES
            or after in NEGATIONS
            or (person and (_is_verb(after) or (after in ADVERBS and word != "there") or word in ("i", "we")))
        )
    ends = (
        before.isalpha()
        and not _is_verb(before)
        and before not in _BESIDE_A_VERB
        and before not in _DETERMINERS
        and before not in ("and", "or")
    )
    return ends and word in ("the", "my", "our") and _noun_begins(words, at, before)


def _noun_begins(words: Sequence[str], at: int, before: str) -> bool:
    after, then = words[at + 1], words[at + 2]
    if after[0] == "@":  # the cream had turned
        return then in _STATED and before not in _JOINS | _QUESTIONS | {"sure", "where", "that"}
    if kinds_of(after) & {"camera", "footage"} and "mishap" in kinds_of(then):
        return True  # the frame cuts off
    return after.isalpha() and _finite(words, at + 2) and kinds_of(then) != frozenset()  # the spoon slipped


_MAY_BEGIN = _SUBJECTS | {"the", "my", "our", "do"}
_STATED = set_("was were had has have is are never")


def _done(words: Sequence[str], start: int, at: int) -> bool:
    """Whether a verb has been."""
    return any(_finite(words, n) for n in range(start, at))


def _joins(words: Sequence[str], at: int) -> bool:
    """Whether *and*, *as*, *that* … begin a clause, and join no nouns."""
    word, before = words[at], words[at - 1]
    if word == "that" and before in ("so", "like", ",", "and"):
        return before == "," and _verb_ahead(words, at + 1, 4)
    if word in ("only", "just", "than", "as") and before != ",":
        return (
            word == "as"
            and _verb_ahead(words, at + 1, 5)
            and before not in ("as", "such", "same", "twice", "times", "not", "half")
        )
    verb = word in ("and", "then", "or") and at + 1 < len(words) and _is_verb(words[at + 1])
    return verb or _verb_ahead(words, at + 1, 6)


def _begins_after_comma(words: Sequence[str], at: int, *, done: bool) -> bool:
    word = words[at]
    if not done and (word in _SUBJECTS or word in ("no", "oh", "well")):
        return _verb_ahead(words, at, 6)
    if word in _SUBJECTS or word in ("no", "not") or _finite(words, at) or _is_verb(word):
        return True
    return (word in _DETERMINERS or word[0] == "@") and _verb_ahead(words, at, 3)


def _clause(words: Sequence[str], first: int, last: int, sentence: int) -> Clause:
    own = tuple(words[first : last + 1])
    lead = own[0] if own[0] in _LEADS else ""
    lead = "if" if own[:2] == ("as", "if") else lead
    verbs = []
    forms = lexicon()
    for n, word in enumerate(own):
        if word not in forms:
            continue
        senses = tuple(
            s for s in forms[word]
            if not s.after or s.after & set(own[n + 1 : n + 9]) or (first + n and s.after & set(own[max(0, n - 2) : n]) and s.kind == "go")
        )  # fmt: skip
        if any(s.kind in _VERBS for s in senses) and (n == 0 or own[n - 1] not in _BEFORE_A_NOUN):
            verbs.append(Verb(first + n, senses, n > 0 and "to" in own[max(0, n - 2) : n]))
    head = next((n for n, w in enumerate(own) if w in AUXILIARIES and w not in _NOT_ALONE), None)
    main = next((v.at - first for v in verbs), None)
    verb_at = min((n for n in (head, main) if n is not None), default=None)
    subject, at = _subject(own, verb_at)
    denied = _denied(own)
    when, passive = _when(own, subject, verbs, first)
    asks = (
        head is not None
        and (head == 0 or (head == 1 and (lead != "" or own[0] in _QUESTIONS)))
        and subject != NO_ONE
        and at is not None
        and at > head
    )
    return Clause(
        first,
        last,
        sentence,
        own,
        " ".join(own),
        lead,
        subject,
        None if at is None else first + at,
        when,
        denied,
        passive,
        asks,
        tuple(verbs),
    )


def _subject(own: Sequence[str], verb_at: int | None) -> tuple[str, int | None]:
    """Who the clause is about, and at which of its words."""
    until = len(own) if verb_at is None else verb_at
    if verb_at is not None and verb_at <= 1 and own[verb_at] in AUXILIARIES:  # did I put it in
        ahead = next(
            (n for n in range(verb_at + 1, min(len(own), verb_at + 4)) if own[n] in _SUBJECTS or own[n][0] == "@"), None
        )
        if ahead is not None and until <= (own[0] in _MAYBE_JOINS | _JOINS | _QUESTIONS):
            until = ahead + 1
    found: tuple[str, int | None] = (NO_ONE, None)
    for n in range(until):
        word = own[n]
        kind = _who(word)
        if kind is None or (n and own[n - 1] in _PREPOSITIONS and own[n - 1] != "as" and kind not in (US, OTHER)):
            continue
        if kind == POINTER and n + 1 < len(own) and own[n + 1] not in _BESIDE_A_VERB and not _is_verb(own[n + 1]):
            continue  # that clip, this one
        if kind == CAMERA and _cuts_it(own, n):
            continue
        if found[0] in (US, YOU) and kind in (POINTER, THERE):
            continue
        found = (kind, n)
    return found


def _cuts_it(own: Sequence[str], at: int) -> bool:
    """*Cut them into chunks*, *film it*: a verb, which *the cut* is not."""
    if "footage" not in kinds_of(own[at]) or (at and own[at - 1] in _DETERMINERS):
        return False
    after = own[at + 1] if at + 1 < len(own) else ""
    return after in _DETERMINERS | {"it", "them"} or after[:1] == "@"


def _who(word: str) -> str | None:
    if word in _WHO:
        return _WHO[word]
    if word[0] == "@":
        return NAME
    kinds = kinds_of(word)
    return CAMERA if kinds & {"camera", "footage"} and not kinds & {"put"} else None


_WHO = (
    dict.fromkeys(_POINTERS, POINTER)
    | dict.fromkeys(OTHERS - {"they", "some", "most", "many"}, OTHER)
    | dict.fromkeys(("nobody", "somebody", "someone", "anyone", "anybody"), NOBODY)
    | {"i": US, "we": US, "us": US, "muggins": US, "you": YOU, "there": THERE}
)


def _denied(own: Sequence[str]) -> bool:
    """An odd number of negations; *not only*, *not just* deny nothing."""
    count = 0
    for n, word in enumerate(own):
        if word in NEGATIONS and not (n + 1 < len(own) and own[n + 1] in ("only", "just", "quite", "sure")):
            count += 1
    return count % 2 == 1


_OUGHT = SoughtPattern(
    r" should have (?!the |a |an |my |some |@)| ought to have | (?:was|were) (?:\w+ )?(?:supposed|meant) to | (?:is|are) supposed to (?:be|have) "
)
_WISHED = SoughtPattern(
    r" (?:i|we) (?:had |have |\w+ly )?(?:meant|intended|planned|wanted|was \w*going|were going|was|were) to | (?:i|we) (?:was|were) going to "
)


def _when(own: Sequence[str], subject: str, verbs: Sequence[Verb], first: int) -> tuple[str, bool]:
    """When it is, and whether the verb is in the passive."""
    text = f" {' '.join(own)} "
    passive = False
    for v in verbs:
        lead = own[max(0, v.at - first - 5) : v.at - first]
        participle = any(s.form == "ed" for s in v.senses)
        passive |= participle and bool(set(lead) & (_BE | {"got", "get", "gets"})) and not set(lead) & {"i", "we"}
    if _OUGHT.search(text) or (subject == US and _WISHED.search(text)):
        return MEANT, passive
    words = set(own)
    for when, auxiliaries in _TIMES:
        if words & auxiliaries or (when == FUTURE and " going to " in text):
            could = when == MODAL and (" could not " in text or " could only " in text)
            return (PAST if could else when), passive
    return _when_of_verb(subject, verbs), passive


_TIMES = (
    (FUTURE, _WILL),
    (MODAL, _MODALS - {"need"}),
    (PAST, set_("did was were had have has")),
    (PRESENT, set_("am is are do does")),
)


def _when_of_verb(subject: str, verbs: Sequence[Verb]) -> str:
    """By the first verb's form, where no auxiliary tells."""
    if not verbs:
        return BARE if subject == NO_ONE else PRESENT
    forms = {s.form for s in verbs[0].senses}
    if "ed" in forms and (verbs[0].senses[0].lemma not in SELDOM or subject == US):
        return PAST
    return ORDER if "base" in forms and subject == NO_ONE and not verbs[0].after_to else PRESENT


def _with_subject(clause: Clause, before: Sequence[Clause]) -> Clause:
    """With the subject of the clause before, where it has none of its own and is joined to it."""
    if (
        clause.subject != NO_ONE
        or not before
        or before[-1].sentence != clause.sentence
        or clause.lead not in ("and", "then", "but", "or", "")
    ):
        return clause
    last = before[-1]
    if clause.when == ORDER and last.subject != US:
        return clause
    seldom = bool(clause.verbs) and clause.verbs[0].senses[0].lemma in SELDOM and clause.when == PRESENT
    when = last.when if clause.when == ORDER or seldom else clause.when
    return clause._replace(subject=last.subject, subject_at=last.subject_at, when=when)
