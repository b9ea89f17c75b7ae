"""What a step's words do before anything of it goes in: *tip it into the dish*, then the crumbs go over it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scriptkit.english.deeds import DETERMINERS, GEAR
from scriptkit.english.methods import HOT
from scriptkit.english.plurals import singular
from scriptkit.patterns import LazyPattern

_JOINT = LazyPattern(r"(?:[\s,;:.]|\b(?:and|then)\b)*$", re.IGNORECASE)
MEANWHILE = LazyPattern(r"\b(?:while|as|before|until|till)\W*$", re.IGNORECASE)
TAKES_TIME = LazyPattern(r"\buntil\b|\btill\b|\b(?:minutes?|mins?|seconds?|secs?)\b", re.IGNORECASE)
_ADDS = frozenset({
    "add", "drop", "dust", "empty", "go", "lay", "pile", "place", "pop", "pour", "put", "scatter", "slide", "slip", "sprinkle", "strew",
    "throw", "tip",
})  # fmt: skip
"""What is done by the food's going in alone."""
_MIXES = frozenset({"beat", "finish", "fold", "mix", "season", "stir", "swirl", "toss", "whisk"})
"""What is done to food without waiting for it."""
_PRONOUNS = frozenset({"it", "them", "everything", "this", "these"})
_DETERMINERS = DETERMINERS | {"each", "its"}
_NO_FOOD = GEAR | {"hob", "water"}
_READIES = frozenset({"check", "get", "have", "heat", "keep", "let", "line", "preheat", "switch", "warm"})
"""Of the pan or the oven, or nothing that is seen."""
_NO_ORDERS = frozenset({
    "after", "as", "at", "before", "for", "from", "if", "in", "into", "meanwhile", "off", "on", "once", "over", "to", "until", "using", "when",
    "while", "with",
})  # fmt: skip
"""Words with which a sentence begins that does not begin with what is done."""


Names = Callable[[str], bool]
"""Whether a text names a food that goes in."""
Clause = tuple[int, str, str]
"""Where it begins, its words, and its method."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """The words in two, each a sentence: what is done ``first``, and the ``rest``, with which something goes in. ``adds``: the rest tells
    of its going in and of nothing else; ``waited``: the wait of the step is of what is done first; ``once``: what is done first cannot be
    filmed again, whatever the step says."""

    first: str
    rest: str
    adds: bool
    waited: bool
    once: bool = False


def parted(words: str, clauses: Sequence[tuple[str, str]], foods: Sequence[Names], *, wait_ms: int) -> Parted | None:
    """What is done to food that is there before the first of the foods goes in; None where the words begin with
    one of them, and where they do not tell when each goes in. ``clauses``: of the words, each with its method; ``wait_ms``: how long the
    food goes on by itself.

    >>> leek = lambda text: "leek" in text
    >>> parted("Turn the fish and add the leek.", [("Turn the fish", ""), ("add the leek.", "mix")], [leek], wait_ms=0)
    Parted(first='Turn the fish.', rest='Add the leek.', adds=True, waited=False, once=False)
    """
    parts = placed(words, clauses)
    first_in = next((n for n, (_, part, _) in enumerate(parts) if any(names(part) for names in foods)), 0)
    while first_in and goes_on(parts[first_in][1], foods):
        first_in -= 1
    if not first_in or not _is_done_to_food(parts[0][1]):
        return None
    cut = parts[first_in][0]
    if MEANWHILE.search(words[:cut]) or not all(names(words[cut:]) for names in foods):
        return None
    hot = [n < first_in for n, (_, _, method) in enumerate(parts) if method in HOT]
    first, rest = words[:cut], parts[first_in:]
    waited = waited_for(first, rest, foods, wait_ms)
    if wait_ms and hot and all(hot) and not waited:
        return None  # whose the wait is, is not told
    adds = only_adds(rest, foods)
    return Parted(first=sentence_of(first), rest=sentence_of(words[cut:]), adds=adds, waited=waited)


def only_adds(rest: Sequence[Clause], foods: Sequence[Names]) -> bool:
    """Whether the clauses tell that something goes in, and of nothing else that is done: *add the garlic*."""
    adds = (
        (_verb(part) in _ADDS or goes_on(part, foods)) and method in ("", "mix") and not TAKES_TIME.search(part)
        for _, part, method in rest
    )
    return all(adds)


def waited_for(first: str, rest: Sequence[Clause], foods: Sequence[Names], wait_ms: int) -> bool:
    """Whether the wait of the step is of what is done first, and what goes in then goes in when it is over: the words say so long of
    it, or that it takes time, and of what comes then neither a time nor anything that cooks or stands."""
    then = " ".join(part for _, part, _ in rest)
    if not wait_ms or _is_said(wait_ms, then):
        return False
    if _is_said(wait_ms, first):
        return True
    done = all(_verb(part) in _ADDS | _MIXES or goes_on(part, foods) for _, part, _ in rest)
    return bool(TAKES_TIME.search(first)) and done and not TAKES_TIME.search(then)


def _is_said(wait_ms: int, words: str) -> bool:
    from scriptkit.measure.figures import MS, figures_in

    return any(one.unit == MS and one.low <= wait_ms <= one.high for one in figures_in(words))


def _verb(part: str) -> str:
    words = [word.strip(",;:.") for word in part.casefold().split()]
    return next((word for word in words if word not in {"and", "then", "now", "finally"}), "")


def placed(words: str, clauses: Sequence[tuple[str, str]]) -> list[Clause]:
    """The clauses."""
    found: list[Clause] = []
    at = 0
    for clause, method in clauses:
        part = clause.strip()
        if part and (start := words.find(part, at)) >= 0:
            found.append((start, part, method))
            at = start + len(part)
    return found


def goes_on(part: str, foods: Sequence[Names]) -> bool:
    """Whether it is no clause of its own but the end of a list: *and the cream*."""
    first = part.split(maxsplit=1)[0]
    return first.casefold() in _DETERMINERS or any(names(first) for names in foods)


def _is_done_to_food(part: str) -> bool:
    """Whether something is done to what is there: *tip it into the dish*, *turn the chicken*."""
    verb, *told = part.casefold().split()
    if verb in _READIES | _NO_ORDERS or not told:
        return False
    return told[0] in _PRONOUNS or (
        told[0] in _DETERMINERS and len(told) > 1 and singular(told[1].strip(",.;:")) not in _NO_FOOD
    )


def sentence_of(words: str) -> str:
    """The words as a sentence, without what joined them to the next.

    >>> sentence_of("fry until soft, then ")
    'Fry until soft.'
    """
    ends = words.rstrip()[-1:]
    text = f"{_JOINT.sub('', words)}{ends if ends in '!?' else ''}".strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
