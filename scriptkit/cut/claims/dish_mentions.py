"""Which dish a figure is said of, by the words before and after it: by its short name, or by the kind of dish that it alone is."""

from __future__ import annotations

import re
from collections.abc import Iterable

from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Dish

_KINDS = frozenset(
    "bake broth chowder crumble curry gratin mash pie pilaf ragout risotto salad slaw soup stew tart".split()  # noqa: SIM905
)
"""Kinds of dishes, by which one is called whose name says another word: *the salad*, of a tabbouleh."""


def called(dishes: Iterable[Dish]) -> dict[str, Dish]:
    """Word → the one dish that is called by it: the last of its short name; and kinds that its name or its promise alone has."""
    own = {words_of(dish.short)[-1]: dish for dish in dishes}
    told: dict[str, list[Dish]] = {}
    for dish in own.values():
        for kind in _KINDS & set(words_of(f"{dish.name} {dish.promise}")):
            told.setdefault(kind, []).append(dish)
    return {kind: of[0] for kind, of in told.items() if len(of) == 1} | own


def named_before(before: str, words: Iterable[str], later: LazyPattern) -> bool:
    """Whether one of the words stands in what is said before a figure, and nothing that ``later`` finds comes after it."""
    known = frozenset(words)
    last = max((m.end() for m in re.finditer(r"\w+", before) if set(words_of(m.group())) & known), default=-1)
    return last >= 0 and later.search(before, last) is None
