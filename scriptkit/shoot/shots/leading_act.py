"""What a step does before anything of it goes in: *tip it into the dish*, then the crumbs go over it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scriptkit.english.methods import HOT
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.shoot.shots.waits import has_wait

_JOINT = re.compile(r"(?:[\s,;:.]|\b(?:and|then)\b)*$", re.IGNORECASE)
_MEANWHILE = re.compile(r"\b(?:while|as|before|until|till)\W*$", re.IGNORECASE)
_DETERMINERS = frozenset({"the", "a", "an", "both", "all", "half", "each", "its", "some", "more"})
_PRONOUNS = frozenset({"it", "them", "everything", "this", "these"})
_NO_FOOD = frozenset({
    "bowl", "dish", "grill", "heat", "hob", "lid", "oven", "pan", "pot", "rack", "saucepan", "skillet", "steamer", "tin", "tray", "water", "wok",
})  # fmt: skip
_READIES = frozenset({"check", "get", "have", "heat", "keep", "let", "line", "preheat", "switch", "warm"})
"""Of the pan or the oven, or nothing that is seen."""
_NO_ORDERS = frozenset({
    "after", "as", "at", "before", "for", "from", "if", "in", "into", "meanwhile", "off", "on", "once", "over", "to", "until", "using", "when",
    "while", "with",
})  # fmt: skip
"""Words with which a sentence begins that does not begin with what is done."""
_LEAST_OF_A_NAME = 4
"""Letters by which a part of a compound names it: *the crumbs* are the breadcrumbs."""


@dataclass(frozen=True, slots=True)
class Leading:
    """The sentence in two: what is done ``first``, and the ``rest``, with which the additions go in."""

    first: str
    rest: str


def is_named(ingredient: Ingredient, text: str) -> bool:
    """Whether the text names it, by a word of its name or the end of one."""
    written = (ingredient.key, ingredient.name, ingredient.short_name, ingredient.food.name.partition(",")[0])
    names = {word for name in written for word in words_of(name.replace("_", " "))}
    return any(w in names or (len(w) >= _LEAST_OF_A_NAME and any(n.endswith(w) for n in names)) for w in words_of(text))


def leading_act(step: Step) -> Leading | None:
    """What the words do to food that is there before the first addition goes in; None where they begin with an addition, and where
    they do not tell when each goes in."""
    foods = [a.ingredient for a in step.additions]
    parts = _parts(step)
    first_in = next((n for n, (_, part, _) in enumerate(parts) if any(is_named(f, part) for f in foods)), 0)
    while first_in and _goes_on(parts[first_in][1], foods):
        first_in -= 1
    if not first_in or not _is_done_to_food(parts[0][1]):
        return None
    cut = parts[first_in][0]
    after = step.do[cut:]
    if _MEANWHILE.search(step.do[:cut]) or not all(is_named(f, after) for f in foods):
        return None
    hot = [n < first_in for n, (_, _, method) in enumerate(parts) if method in HOT]
    if has_wait(step) and hot and all(hot):
        return None  # the wait is of what comes first, and what goes in is not
    return Leading(_sentence(_JOINT.sub("", step.do[:cut])), _sentence(after))


def _parts(step: Step) -> list[tuple[int, str, str]]:
    """The clauses of the sentence: where each begins, its words, and its method."""
    found: list[tuple[int, str, str]] = []
    at = 0
    for clause, method in step.reading.clauses:
        words = clause.strip()
        if words and (start := step.do.find(words, at)) >= 0:
            found.append((start, words, method))
            at = start + len(words)
    return found


def _goes_on(part: str, foods: list[Ingredient]) -> bool:
    """Whether it is no clause of its own but the end of a list: *and the cream*."""
    first = part.split(maxsplit=1)[0]
    return first.casefold() in _DETERMINERS or any(is_named(f, first) for f in foods)


def _is_done_to_food(part: str) -> bool:
    """Whether something is done to what is there: *tip it into the dish*, *turn the chicken*."""
    verb, *told = part.casefold().split()
    if verb in _READIES | _NO_ORDERS or not told:
        return False
    return told[0] in _PRONOUNS or (told[0] in _DETERMINERS and len(told) > 1 and not set(words_of(told[1])) & _NO_FOOD)


def _sentence(words: str) -> str:
    text = words.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
