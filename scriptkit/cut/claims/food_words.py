"""Which ingredient the words beside a figure mean."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from scriptkit.english.of_each import is_of_each
from scriptkit.measure.figures import Figure
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Dish, Ingredient

_CLAUSE_END = re.compile(r"[.,;:!?…–—]")
_ELSEWHERE = frozenset(
    [
        "into",
        "in",
        "onto",
        "on",
        "to",
        "with",
        "and",
        "for",
        "over",
        "from",
        "at",
        "then",
        "until",
        "till",
        "plus",
        "that",
        "which",
        "so",
        "than",
        "but",
        "or",
        "as",
        "if",
        "when",
        "while",
        "goes",
        "go",
        "going",
        "after",
        "before",
        "because",
        "since",
        "minus",
        "make",
        "makes",
        "gives",
        "each",
        "times",
    ]
)
"""After these words another thing is spoken of."""
LINKING = frozenset(
    [
        "is",
        "was",
        "are",
        "about",
        "around",
        "roughly",
        "nearly",
        "it's",
        "that's",
        "there's",
        "only",
        "just",
        "some",
        "i'm",
        "using",
        "of",
        "which",
        "that",
    ]
)
_PER_PIECE = LazyPattern(
    r"\s*(?:each|apiece|a piece|per|every|at a time|an? (?:head|person|serving|portion|bowl|plate))\b", re.I
)
_OF_IT = LazyPattern(r"\s*of\s+(?:it|that|this|them|those|these)\b", re.IGNORECASE)
_A_SHARE = LazyPattern(r"\s*(?:of\s+)?(?:the|that|this|your|my|our|it)\b", re.I)


Meant = tuple[tuple[Dish, Ingredient], ...]
"""What a word means: every dish's ingredient of that name; of none, empty."""


class FoodNames(NamedTuple):
    """Telling word → every dish's ingredient that it tells from the others of its dish."""

    meaning: Mapping[str, Meant]

    def first_in(self, words: Sequence[str]) -> Meant:
        """What the first telling word means."""
        return next((found for word in words for w in _folded(word) if (found := self.meaning.get(w))), ())


@functools.lru_cache(maxsize=4096)
def _folded(word: str) -> tuple[str, ...]:
    return tuple(words_of(word))


def names_of(dishes: Sequence[Dish]) -> FoodNames:
    """Words of the ingredients' names, and of their foods', that no other ingredient of the same dish has."""
    meaning: dict[str, Meant] = {}
    for dish in dishes:
        words = [set(words_of(i.name)) for i in dish.ingredients]
        shared = {w for n, one in enumerate(words) for other in words[:n] if one != other for w in one & other}
        of_food = [set(words_of(i.food.name.split(",")[0])) for i in dish.ingredients]
        for n, ingredient in enumerate(dish.ingredients):
            others = set().union(*(w | f for m, (w, f) in enumerate(zip(words, of_food, strict=True)) if m != n))
            for word in (words[n] - shared or words[n]) | (of_food[n] - others):
                meaning[word] = (*meaning.get(word, ()), (dish, ingredient))
    return FoodNames(meaning)


def named_by(figure: Figure, text: str, until: int, since: int, names: FoodNames) -> Meant:
    """What the figure is an amount of: *two tablespoons of the butter*, *two fennel bulbs*; else *the butter, two
    tablespoons*. ``since`` and ``until``: where the figures before and after it stand in the text."""
    after = text[figure.end : until]
    if per_piece(figure, text):
        return ()
    words = _CLAUSE_END.split(after, maxsplit=1)[0].split()
    counted = not figure.unit
    if counted and words[:1] and words[0].casefold() in ("of", "in", "to", "at", "on", "more", "or"):
        return ()
    following = _until(words[: 3 if counted else 7], _ELSEWHERE)
    if found := names.first_in(following):
        return found
    before = re.split(r"[.;!?…]", text[since : figure.start])[-1]
    if _OF_IT.match(after):  # the mustard, and you want thirty grams of it
        return names.first_in(list(reversed(_words(before)))[:10])
    if counted or (following[:1] and following[0].casefold() in ("of", "a", "an")):
        return ()
    return names.first_in(_just_before(before))


def per_piece(figure: Figure, text: str) -> bool:
    """Whether it is an amount of each of several, or a share of what is there: *ten grams each*, *half the butter*."""
    after = text[figure.end : figure.end + 40]
    return bool(_PER_PIECE.match(after) or (figure.low < 1 and not figure.unit and _A_SHARE.match(after)))


def said_of_each(figure: Figure, text: str) -> bool:
    """Whether it is said of each plate or person: *a teaspoon of oil over each bowl*, *a chop per person*."""
    if figure.low < 1 and not figure.unit and _A_SHARE.match(text[figure.end : figure.end + 40]):
        return False
    return is_of_each(text, figure.start, figure.end)


def _until(words: Sequence[str], stops: frozenset[str]) -> list[str]:
    end = next((n for n, w in enumerate(words) if w.casefold().strip("'’\"“”") in stops), len(words))
    return list(words[:end])


def _just_before(before: str) -> list[str]:
    """``the butter here, about`` gives *here*, *butter*: the last words before a figure, the nearest first, without what
    only leads over to it, and not those that another thing stands between."""
    words = _words(before)
    while words and words[-1].casefold().strip("-–—") in (*LINKING, ""):
        words.pop()
    return _until(list(reversed(words))[:3], _ELSEWHERE)


def _words(text: str) -> list[str]:
    return text.replace(",", " ").replace(":", " ").split()
