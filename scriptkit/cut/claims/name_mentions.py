"""Where in the talk an ingredient is named, by the longest name that fits: *rice vinegar* is no rice."""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from scriptkit.english.phonetics import skeleton
from scriptkit.english.plurals import singular
from scriptkit.english.stems import STOP
from scriptkit.pantry import table
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Dish, Ingredient

WHOLE, PART, FOOD = "whole name", "part of the name", "name of the food"
_HOW = (WHOLE, PART, FOOD)
"""How an ingredient is named, the surest first."""
_WORD = LazyPattern(r"[^\W_]+(?:['’.][^\W_]+)*")
_NO_NAME = STOP | {
    "of",
    "cream of",
    "piece",
    "large",
    "small",
    "medium",
    "fresh",
    "chopped",
    "diced",
    "minced",
    "whole",
    "half",
}
TOOLS = frozenset(
    {
        "pot",
        "saucepan",
        "kettle",
        "mill",
        "grinder",
        "cellar",
        "press",
        "cooker",
        "knife",
        "masher",
        "ricer",
        "peeler",
        "squeezer",
        "grater",
        "towel",
        "cloth",
        "timer",
    }
)
"""After a name: it is of no food, but of what it is handled with: *stock pot*, *pepper mill*."""


class TalkWord(NamedTuple):
    """A word of the talk: folded, and its places in the text."""

    text: str
    start: int
    end: int


class Owner(NamedTuple):
    """An ingredient of a dish, by where both stand: what an amount can be of."""

    dish: int
    ingredient: int


class NameMention(NamedTuple):
    """Words ``first`` to ``last`` of the talk name the owners, one of each dish at most."""

    first: int
    last: int
    owners: tuple[Owner, ...]
    how: str


@functools.lru_cache(maxsize=2)
def words_of_talk(text: str) -> tuple[TalkWord, ...]:
    """Every word and figure in order, folded as names are."""
    return tuple(TalkWord(_folded(found.group()), found.start(), found.end()) for found in _WORD.finditer(text))


@functools.lru_cache(maxsize=2)
def mentions_of_talk(text: str, dishes: tuple[Dish, ...]) -> tuple[NameMention, ...]:
    """The mentions of a whole talk, by the numbers of its words; several ask for them."""
    return tuple(mentions_in(words_of_talk(text), dishes))


@functools.lru_cache(maxsize=8192)
def _folded(word: str) -> str:
    folded = words_of(word)
    return folded[0] if folded else word.casefold()


@functools.cache
def food_words() -> frozenset[str]:
    """Words that alone name a food of the pantry: *flour*, *potato*."""
    heads = (name.split(",", 1)[0] for name in table.as_written())
    return frozenset(singular(head.casefold()) for head in heads if " " not in head)


def mentions_in(words: Sequence[TalkWord], dishes: Sequence[Dish]) -> list[NameMention]:
    """The mentions in order. A longer name that is none of these ingredients (a dish's own, or that of a food of the
    pantry) hides the shorter one in it."""
    names = _names(dishes)
    found: list[NameMention] = []
    at = 0
    while at < len(words):
        standing = [n for n in names.get(words[at].text, ()) if _stands(words, at, n.words)]
        if not standing:
            at += 1
            continue
        length = max(len(n.words) for n in standing)
        last = at + length - 1
        longest = [n for n in standing if len(n.words) == length]
        if owned := [n for n in longest if n.owners]:
            how = min((n.how for n in owned), key=_HOW.index)
            owners = tuple(dict.fromkeys(o for n in sorted(owned, key=lambda n: _HOW.index(n.how)) for o in n.owners))
            one = _Name(owned[0].words, owners, how)
            tool = last + 1 < len(words) and words[last + 1].text in TOOLS
            if not tool and (how == WHOLE or not _another_food(words, at, last, one, dishes)):
                found.append(NameMention(at, last, owners, how))
        at = last + 1
    return found


class _Name(NamedTuple):
    words: tuple[str, ...]
    owners: tuple[Owner, ...]
    how: str


def _stands(words: Sequence[TalkWord], at: int, name: Sequence[str]) -> bool:
    return len(words) >= at + len(name) and all(words[at + n].text == w for n, w in enumerate(name))


def _names(dishes: Sequence[Dish]) -> dict[str, list[_Name]]:
    """First word → names that begin with it: of ingredients, whole and by each word that tells one from the others, of their
    foods, and of the dishes themselves, which are nobody's."""
    of: dict[tuple[tuple[str, ...], str], list[Owner]] = defaultdict(list)
    for d, dish in enumerate(dishes):
        whole = [tuple(words_of(i.name)) for i in dish.ingredients]
        telling = [{w for w in name if w not in _NO_NAME and len(w) > 2} for name in whole]
        foods = [
            {w for w in words_of(i.food.name.split(",")[0]) if w not in _NO_NAME and len(w) > 2}
            for i in dish.ingredients
        ]
        for n, name in enumerate(whole):
            own = Owner(d, n)
            of[name, WHOLE].append(own)
            others = set().union(*(t for m, t in enumerate(telling) if m != n))
            for word in telling[n] - others if len(name) > 1 else ():
                of[(word,), PART].append(own)
            of_others = set().union(*(t | f for m, (t, f) in enumerate(zip(telling, foods, strict=True)) if m != n))
            for word in foods[n] - of_others - telling[n]:
                of[(word,), FOOD].append(own)
            food = tuple(words_of(dish.ingredients[n].food.name.split(",")[0]))
            if len(food) > 1 and food not in whole:
                of[food, FOOD].append(own)
        for own_name in (tuple(words_of(dish.name)), tuple(words_of(dish.short))):
            if len(own_name) > 1 and (own_name, WHOLE) not in of:
                of[own_name, WHOLE] = []
    names: dict[str, list[_Name]] = defaultdict(list)
    for (words, how), owners in of.items():
        if words:
            names[words[0]].append(_Name(words, tuple(owners), how))
    return names


def _another_food(words: Sequence[TalkWord], first: int, last: int, name: _Name, dishes: Sequence[Dish]) -> bool:
    """Whether the word before or after makes it a food of another name: *tomato paste*, *spring onion*."""
    known = table.index()
    own = {w for o in name.owners for w in _all_words(dishes[o.dish].ingredients[o.ingredient])}
    for near, span in ((last + 1, (first, last + 1)), (first - 1, (first - 1, last))):
        if 0 <= near < len(words) and words[near].text not in own and words[near].text not in STOP:
            phrase = sorted(words[n].text for n in range(span[0], span[1] + 1))
            if " ".join(phrase) in known:
                return True
    return False


def _all_words(ingredient: Ingredient) -> set[str]:
    return {*words_of(ingredient.name), *words_of(ingredient.food.name), *words_of(ingredient.prep)}


def alike(said: Iterable[str], name: str) -> float:
    """How alike the first words that are said sound to the name, 0 to 1: by the consonants in the same order."""
    target = "".join(skeleton(w) for w in words_of(name))
    best = 0.0
    heard = ""
    for word in said:
        heard += skeleton(word)
        best = (
            max(
                best,
                _share(heard, target),
                _share(skeleton(word), target),
                *(_share(skeleton(word), skeleton(w)) * 0.9 for w in words_of(name) if len(w) > 3),
            )
            if target
            else 0.0
        )
    return best


@functools.lru_cache(maxsize=65_536)
def _share(one: str, other: str) -> float:
    """Twice the longest common subsequence to the length of both; of a sound or two nothing can be told."""
    if len(one) < 2 or len(other) < 2:
        return 0.0
    row = [0] * (len(other) + 1)
    for a in one:
        before = 0
        for n, b in enumerate(other):
            kept = row[n + 1]
            row[n + 1] = before + 1 if a == b else max(row[n + 1], row[n])
            before = kept
    return 2 * row[-1] / (len(one) + len(other))
