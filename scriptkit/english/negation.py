"""What a sentence says is *not* done: *do not brown*, *without colour*, *no baking*, *rather than frying*."""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.patterns import LazyPattern

_NT = r"n['’]?t"
_NEGATOR = re.compile(
    rf"\b(?:(?P<let>(?:(?:do|does|must|should|can|will)(?: not|{_NT})|cannot|never|not to|without|avoid|no need to)"
    r" (?:let|letting|allow|allowing|have|having))"
    r"|(?P<phrase>(?:(?<=, )|(?<=; )|(?<=\()|(?<=\band )|(?<=\bbut ))not (?=(?:a|an|the|in|on|at|with|from|into|by|under|over)\b))"
    rf"|(?:do|does|did|must|should|may|can|will|need)(?: not|{_NT})|cannot|never|no need (?:to|for|of)|no[- ]need to"
    r"|(?P<noun>without)|instead of|rather than|avoid|not to|(?P<weak>not|no|nor|neither))\b",
    re.IGNORECASE,
)
"""Words that deny what follows. After ``weak`` ones only kitchen work is denied: *no more than*, *not too hot* deny nothing."""
_NOT_COOKED = re.compile(
    r"\b(?:no[- ](?:bake|cook)\b|(?:un|non)-?(?:baked|cooked)\b|zero (?:cooking|baking|heat)\b|nothing (?:here )?(?:is|gets|needs to be) (?:cooked|baked|heated)\b"
    r"|without (?:being |any |the need for )?(?:cooked|baked|heated|cooking|baking|heat|an oven)\b"
    r"|(?:leave|keep|with) the (?:oven|hob|stove|heat) (?:switched |turned )?off\b|the (?:oven|hob|stove) (?:stays|remains) (?:switched )?off\b"
    r"|(?:never|not|nothing|none of (?:it|them|this)|doesn['’]t|does not) (?:sees?|goes? (?:in|into|near)|touch(?:es)?|needs?) (?:an? |the )?(?:oven|heat|hob|pan|stove)\b"
    r"|no (?:oven|hob|stove|heat|cooking|baking|frying)(?=\s*(?:[,.;:!)]|$))"
    r"|no (?:pan|oven|hob|stove|heat|cooking|baking) (?:is |are )?(?:needed|required|necessary|involved|here|in sight)\b|as for (?:an? |the )?(?:baked|cooked|boiled) \w+)",
    re.IGNORECASE,
)
"""Whole phrases that say that nothing is cooked, or that name what is cooked elsewhere."""
_PROHIBITION = re.compile(rf"\b(?:(?:do|must)(?: not|{_NT})|never|cannot)\b[^.;:]*$", re.IGNORECASE)
_TOKEN = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*|[^\w\s]")
_PASSED_OVER = frozenset(
    "bother be been get it them this that the a an any your its their his her over under even ever yet quite fully completely to of by with".split()  # noqa: SIM905
)
_EXCEPTIONS = frozenset("only just longer more less later matter doubt fewer".split())  # noqa: SIM905
_STATES = frozenset(
    [
        "colour",
        "color",
        "colouring",
        "coloring",
        "heat",
        "baking",
        "cooking",
        "browning",
        "frying",
        "boiling",
        "brown",
        "browned",
        "boil",
        "burn",
        "burning",
        "catch",
        "catching",
        "stick",
        "sticking",
        "curdle",
        "curdling",
        "split",
        "splitting",
        "scorch",
        "scorching",
        "overcook",
        "overcooking",
        "overmix",
        "crowd",
        "crowding",
        "stirring",
        "peeling",
        "rinsing",
        "soaking",
        "straining",
        "draining",
        "blending",
    ]
)
_LONGEST_NAME = 5
"""Words between *let* and what it is not let do: *do not let the butter and sugar brown*."""


@dataclass(frozen=True, slots=True)
class Negation:
    """What is denied, from ``start`` to before ``end`` in the text, the denying word included; ``words`` as written."""

    start: int
    end: int
    words: str


@functools.lru_cache(maxsize=4096)
def negations(text: str) -> tuple[Negation, ...]:
    """Everything that the text says is not done, in order. Linear in the text.

    >>> [n.words for n in negations("Fry without colour; do not let it boil or stick, and never cover.")]
    ['without colour', 'do not let it boil or stick', 'never cover']
    >>> negations("No more than 5 minutes, until no longer pink.")
    ()
    """
    phrases = [(m.start(), m.end()) for m in _NOT_COOKED.finditer(text)]
    spans = [(n.start(), _end_of(text, n)) for n in _NEGATOR.finditer(text)]
    found: list[Negation] = []
    for start, end in sorted([*phrases, *((a, b) for a, b in spans if b is not None)], key=lambda s: (s[0], -s[1])):
        if not found or start >= found[-1].end:
            found.append(Negation(start, end, text[start:end]))
    return tuple(found)


@functools.lru_cache(maxsize=4096)
def affirmed(text: str) -> str:
    """The text with blanks where something is not done, so that every other word keeps its place.

    >>> affirmed("Fry without colour.")
    'Fry               .'
    """
    for negation in negations(text):
        text = text[: negation.start] + " " * (negation.end - negation.start) + text[negation.end :]
    return text


_UNUSED = LazyPattern(
    r"\bno (?:[\w-]+ ){1,2}(?:is |are |was |were )?(?:needed|required|necessary|involved|about it|for this(?: one)?|here)\b|"
    r"\b(?:do not|don['’]t|have not|haven['’]t|never) (?:own|have|need|want|possess|use|got|bother with) (?:a |an |the |any )?[\w-]+|"
    r"\b(?:leave|keep|left|put) (?:the|your|that) [\w-]+ (?:back )?in (?:the|its|your) (?:shed|drawer|cupboard|garage|box|case|shop)\b|"
    r"\b(?:if|where|when) (?:the|a|your) [\w-]+ (?:scares|frightens|worries|terrifies|unnerves|daunts) (?:you|anyone|anybody)\b|"
    r"\bthe [\w-]+ (?:never comes into it|stays in (?:the|its) (?:shed|drawer|cupboard|garage|box|case)|is not needed|isn['’]t needed)\b",
    re.IGNORECASE,
)


def less_unused(sentence: str) -> str:
    """The sentence less the tools and foods that it says are not used, which are no work that is not done (:func:`affirmed`).

    >>> less_unused("Bake them. No lye about it."), less_unused("Leave the blowtorch in the shed.")
    ('Bake them. .', '.')
    """
    return _UNUSED.sub("", sentence)


def is_forbidden(text: str, at: int) -> bool:
    """Whether what stands at ``at`` belongs to a prohibition: *do not open it until …*."""
    return _PROHIBITION.search(text[max(0, at - 200) : at]) is not None


def _end_of(text: str, negator: re.Match[str]) -> int | None:
    """Where the denial ends; None where nothing is denied."""
    if negator["phrase"] is not None:
        return _end_of_phrase(text, negator.end())
    words = [t for _, t in zip(range(24), _TOKEN.finditer(text, negator.end()), strict=False)]
    if negator["weak"] is None:
        at = _after_let(words) if negator["let"] else _after_noun(words) if negator["noun"] else _first(words)
        if at is None:
            return negator.end()
    else:
        at = _first(words)
        if at is None or not is_kitchen_work(words[at].group()):
            return None
        if negator["weak"].casefold() == "no" and [w.group().casefold() for w in words[at + 1 : at + 2]] == ["of"]:
            return None  # *no thread of pink*: a thing, and no work
    at = _alternatives(words, at)
    return words[at].end()


def _end_of_phrase(text: str, start: int) -> int:
    """*…, not on the counter*: what is denied goes to the end of the clause, eight words at most."""
    end = start
    for token in itertools.islice(_TOKEN.finditer(text, start), 8):
        word = token.group().casefold()
        if not word[0].isalnum() or word in ("and", "but", "then"):
            break
        end = token.end()
    return end


def _first(words: Sequence[re.Match[str]]) -> int | None:
    """The first word that tells something; None where there is none in the clause, or it makes the denial none."""
    for n, token in enumerate(words):
        word = token.group().casefold()
        if not word[0].isalnum() or (word in _EXCEPTIONS and n == 0):
            return None
        if word not in _PASSED_OVER and not (word.endswith("ly") and n < 2):
            return n
    return None


def _after_let(words: Sequence[re.Match[str]]) -> int | None:
    return next(_work_within(words, _LONGEST_NAME + 1), None) if words else None


def _after_noun(words: Sequence[re.Match[str]]) -> int | None:
    """*Without the milk boiling*: what is done, else the noun itself."""
    doing = (n for n in _work_within(words, 4) if words[n].group().casefold().endswith("ing"))
    return next(doing, _first(words))


def _work_within(words: Sequence[re.Match[str]], most: int) -> Iterator[int]:
    for n, token in enumerate(words[:most]):
        if not token.group()[0].isalnum():
            return
        if token.group().casefold() not in _PASSED_OVER and is_kitchen_work(token.group()):
            yield n


def _alternatives(words: Sequence[re.Match[str]], at: int) -> int:
    """*Do not stir the rice or lift the lid*: what *or* and *nor* add is denied too."""
    while True:
        for n in range(at + 1, min(at + 5, len(words))):
            word = words[n].group().casefold()
            if not (word[0].isalnum() or (word == "," and n == at + 1)):
                return at
            if word in ("or", "nor"):
                after = next(_work_within(words[n + 1 :], 3), None)
                if after is None:
                    plain_word = n + 1 < len(words) and words[n + 1].group()[0].isalpha()
                    if not plain_word or words[n + 1].group().casefold() in _PASSED_OVER:
                        return at
                    after = 0
                at = n + 1 + after
                break
        else:
            return at


@functools.lru_cache(maxsize=4096)
def is_kitchen_work(word: str) -> bool:
    """Whether the word is of what is done to food, or of what must not become of it.

    >>> is_kitchen_work("boiling"), is_kitchen_work("colour"), is_kitchen_work("minutes")
    (True, True, False)
    """
    from scriptkit.english.kitchen_words import verbs
    from scriptkit.english.stems import plain, stem

    folded = plain(word)
    return folded in _STATES or stem(folded) in verbs()
