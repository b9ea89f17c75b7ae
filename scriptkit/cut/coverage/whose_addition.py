"""Of several additions of one ingredient, which a talk means, by the words beside its name: *no salt in the soup*, *I salted the skin*."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from scriptkit.english.goes_where import said_to_go
from scriptkit.english.stems import stem, words_in
from scriptkit.problems import Place
from scriptkit.recipe.dish import Addition, Dish, Step

Going = tuple[Dish, Step, Addition]


def named_of(among: Sequence[Going], words: str) -> bool:
    """Whether the words tell of which dish it is: by its short name, its first ingredient, or what it goes into."""
    told = {stem(w) for w in words_in(words)}
    for dish, _, _ in among:
        first = {stem(w) for i in dish.ingredients[:1] for w in words_in(i.name)}
        if told & ({stem(w) for w in words_in(dish.short)} | first):
            return True
    return len({among[n][0].file for n in _at(among, words, _of_dish)}) == 1


def meant_by(among: Sequence[Going], words: str) -> list[int]:
    """Which of them may be meant: those of the dish that is named or into which it is said to go, and of their steps the same."""
    told = set(words_in(words))
    found = list(range(len(among)))
    if len({dish.file for dish, _, _ in among}) > 1:
        of_dish = [n for n in found if set(words_in(among[n][0].short)) & told]
        found = of_dish or _at(among, words, _of_dish) or found
    own = [among[n] for n in found]
    return [found[k] for k in _at(own, words, _of_step)] or found if len(own) > 1 else found


def _at(among: Sequence[Going], words: str, stems_of: Callable[[Going], tuple[object, set[str]]]) -> list[int]:
    """Those of the one dish, or of the one step, whose own words have what it is said to go into; none where several have, or none has."""
    where = said_to_go(words)
    if not where:
        return []
    of: dict[object, set[str]] = {}
    for one in among:
        key, stems = stems_of(one)
        of[key] = stems
    fits = [key for key, stems in of.items() if where & stems]
    return [n for n, one in enumerate(among) if stems_of(one)[0] == fits[0]] if len(fits) == 1 and len(of) > 1 else []


def _of_dish(going: Going) -> tuple[str, set[str]]:
    dish = going[0]
    texts = (dish.name, dish.short, *(i.name for i in dish.ingredients))
    return dish.file, {stem(w) for text in texts for w in words_in(text)} | {
        s for step in dish.steps for s in step.reading.stems
    }


def _of_step(going: Going) -> tuple[Place, set[str]]:
    return going[1].place, set(going[1].reading.stems)
