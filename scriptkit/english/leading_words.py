"""What a step's words do before anything of it goes in: *tip it into the dish*, then the crumbs go over it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from scriptkit.english.deeds import DETERMINERS, GEAR
from scriptkit.english.methods import HOT
from scriptkit.english.plurals import singular
from scriptkit.patterns import LazyPattern

_JOINT = LazyPattern(r"(?:[\s,;:.]|\b(?:and|then)\b)*$", re.IGNORECASE)
MEANWHILE = LazyPattern(r"\b(?:while|as|before|until|till)\W*$", re.IGNORECASE)
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


def parted(words: str, clauses: Sequence[tuple[str, str]], foods: Sequence[Names], *, waits: bool) -> int | None:
    """Where in the words that ends what is done to food that is there before the first of the foods goes in; None where they begin with
    one of them, and where they do not tell when each goes in. ``clauses``: of the words, each with its method; ``waits``: the food
    goes on by itself afterwards.

    >>> leek = lambda text: "leek" in text
    >>> parted("Turn the fish and add the leek.", [("Turn the fish", ""), ("add the leek.", "mix")], [leek], waits=False)
    18
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
    return None if waits and hot and all(hot) else cut  # else the wait is of what comes first, and what goes in is not


def as_sentences(words: str, cut: int) -> tuple[str, str]:
    """The words before and after the place, each as a sentence, without what joined them."""
    return sentence_of(words[:cut]), sentence_of(words[cut:])


def placed(words: str, clauses: Sequence[tuple[str, str]]) -> list[tuple[int, str, str]]:
    """The clauses: where each begins, its words, and its method."""
    found: list[tuple[int, str, str]] = []
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
