"""Which food of the pantry the words of a line mean, and how sure that is. Unknown is better than wrong.

A food is meant where every word of one of its names stands in the line, its head word among them: the last word that says what it
is, which is never a form (*fillet*, *slice*) nor a way of cutting. What the line says beyond the name decides how sure it is: praise, size and
cutting change nothing, a state (*canned*, *light*) may be another food, and a diet (*vegan*, *gluten-free*) surely is.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from scriptkit.data_files import rows_of
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.names import typed_words, words_of

SURE = 0.9
"""From here on a food needs no confirmation."""
UNKNOWN = 0.3
"""Below this the line's own words stay its name."""
USUAL = 0.75
"""What a bare word such as *cheese* usually means."""
_VARIETY, _BRAND, _OTHER, _STATE, _DIET = 0.96, 0.93, 0.65, 0.55, 0.1
"""How much surer nothing gets by a word of each kind that the food's name lacks (tried on lines of 200 pages)."""
_GROWN = frozenset({"vegetable", "fruit", "herb", "mushroom", "nut or seed", "spice", "grain", "pulse"})
_SPELT = {
    "chili": "chilli",
    "chile": "chilli",
    "parmesean": "parmesan",
    "scallions": "scallion",
    "bleu": "blue",
    "veggie": "vegetable",
    "coloring": "colouring",
    "xantham": "xanthan",
    "tumeric": "turmeric",
    "worchestershire": "worcestershire",
    "mozarella": "mozzarella",
    "zuchini": "zucchini",
    "cinammon": "cinnamon",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodMatch:
    """``food`` is a kitchen name of the pantry; empty where none is near enough. ``confidence`` from 0 to 1; ``candidates`` are
    other foods that may be meant, likeliest first, three at most. ``covered`` are the folded words that name it."""

    food: str
    confidence: float
    candidates: tuple[str, ...] = ()
    covered: frozenset[str] = frozenset()


NOTHING = FoodMatch(food="", confidence=0.0)


@functools.cache
def kinds_of_words() -> dict[str, frozenset[str]]:
    """Folded word → of which kinds it is (ingredient_words.csv; by hand, no source): plain, variety, cut, state, diet, form, junk,
    modifier."""
    found: dict[str, set[str]] = {}
    for kind, words in rows_of("scriptkit.drafting", "ingredient_words.csv", ("kind", "words")):
        for word in words.split():
            for one in {*words_of(word), *typed_words(word)}:
                found.setdefault(one, set()).add(kind)
    return {word: frozenset(kinds) for word, kinds in found.items()}


def is_of(word: str, *kinds: str) -> bool:
    """Whether the folded word is of any of the kinds."""
    return not kinds_of_words().get(word, frozenset()).isdisjoint(kinds)


class _Name(NamedTuple):  # thousands are made: a quarter of the time that a dataclass takes
    words: frozenset[str]
    food: str
    worth: float


class FoodMatcher:
    """The names of a pantry, and what words usually mean, looked through word by word."""

    def __init__(self, pantry: Pantry) -> None:
        self.pantry = pantry
        names = [_Name(frozenset(map(_spelt, key.split())), food, 1.0) for key, food in pantry.names().items()]
        names += [
            _Name(frozenset(folded(word)), food, 1.0 if sure else USUAL)
            for word, food, sure in rows_of("scriptkit.drafting", "usual_foods.csv", ("word", "food", "sure"))
            if sure or not pantry.known(word)
        ]
        self._by_word: dict[str, list[_Name]] = {}
        for name in names:
            for word in name.words:
                self._by_word.setdefault(word, []).append(name)

    def match(self, name: str, beside: str = "") -> FoodMatch:
        """The food that the name means. Words ``beside`` it (how it is cut, what stands in brackets) may say which of several,
        and never make it one."""
        typed = typed_words(name)
        words = [_spelt(w) for w in words_of(name)]
        extra = {
            w
            for w in map(_spelt, words_of(beside))
            if is_of(w, "state", "variety") or w.isdigit() or w == "%" or w in _PARTS
        }
        head = head_of(words)
        if not head or len(typed) > 25:
            return NOTHING
        have = set(words) | extra
        brands = self._brands(name)
        best: tuple[tuple[float, int, int, int], _Name] | None = None
        others: dict[str, float] = {}
        for one in {id(n): n for word in have for n in self._by_word.get(word, ())}.values():
            if not one.words <= have or not (head in one.words or _is_whole(one.words, words)):
                continue
            if not one.words & set(words):
                continue
            confidence = one.worth * self._left_over(set(words) - one.words - brands, one.food, extra - one.words)
            confidence *= _BRAND if brands - one.words else 1.0
            confidence *= _STATE if "fresh" in have and one.food.endswith(", dried") else 1.0
            rank = (round(confidence, 4), len(one.words & set(words)), len(one.words & extra), -len(one.food))
            others[one.food] = max(others.get(one.food, 0.0), confidence)
            if best is None or rank > best[0]:
                best = rank, one
        if best is None:
            return FoodMatch(food="", confidence=0.0, candidates=self._near(name, head))
        rank, chosen = best
        if rank[0] >= SURE:
            return FoodMatch(food=chosen.food, confidence=round(rank[0], 2), covered=chosen.words)
        near = [f for f, _ in sorted(others.items(), key=lambda o: -o[1]) if f != chosen.food]
        near += [f for f in self._near(name, head) if f != chosen.food and f not in near]
        if rank[0] < UNKNOWN:
            return FoodMatch(food="", confidence=0.0, candidates=(chosen.food, *near)[:3])
        return FoodMatch(
            food=chosen.food, confidence=round(rank[0], 2), candidates=tuple(near[:3]), covered=chosen.words
        )

    def _left_over(self, words: Iterable[str], food: str, beside: Iterable[str]) -> float:
        category = self.pantry.find(food).category
        grown = category in _GROWN
        words, sure = set(words), 1.0
        if {"full", "fat"} <= words:  # full-fat: as it is, and not reduced
            words -= {"full", "fat"}
        for word in words:
            if is_of(word, "diet"):
                sure *= _DIET
            elif is_of(word, "plain", "cut", "form") or word.isdigit() or len(word) == 1:
                sure *= 0.995
            elif word in _SAYS_NOTHING.get(category, ()):
                sure *= 0.99
            elif grown and is_of(word, "variety"):
                sure *= _VARIETY if is_of(word, "state") else 0.99
            elif is_of(word, "state"):
                sure *= _STATE
            else:
                sure *= _OTHER
        for word in beside:
            if word in ("canned", "tinned") and (category in ("sauce", "stock", "condiment") or food in _COMES_CANNED):
                continue
            if word in _DECIDING and not (word == "cooked" and category == "cured meat"):
                sure *= _STATE
        return sure

    def _brands(self, name: str) -> frozenset[str]:
        """Names of makes: words with a capital before words without, or with one inside, that no food has."""
        told = name.split()
        last = max((n for n, w in enumerate(told) if w[:1].islower() and not is_of(w, "cut", "plain")), default=-1)
        named = [w for n, w in enumerate(told) if (w[:1].isupper() and n < last) or re.search(r"[a-z][A-Z]", w)]
        found = [w for one in named for w in folded(one)]
        return frozenset(w for w in found if w not in self._by_word and not kinds_of_words().get(w))

    def _near(self, name: str, head: str) -> tuple[str, ...]:
        """Foods with the head word in their names, else such as are spelt nearly so."""
        last = folded(name)[-2:]
        names = self._by_word.get(head, [])
        ranked = sorted(names, key=lambda n: (not last or last[0] not in n.words, len(n.words), len(n.food)))
        return tuple(dict.fromkeys(n.food for n in ranked))[:3]


_COMES_CANNED = frozenset({"tomato paste", "condensed milk", "evaporated milk", "coconut milk"})
_DECIDING = frozenset({"canned", "tinned", "cooked", "smoked", "vegan"})
"""Words beside the name that no name of the food has, and that make it another one."""
_DRY = frozenset({"dried", "dry", "powdered", "unsalted"})
_SAYS_NOTHING = {
    **dict.fromkeys(("spice", "pasta", "pulse", "nut or seed"), _DRY),
    "cheese": frozenset({"white", "yellow", "orange", "block", "mild", "mature"}),
}
"""Category → words that say nothing new of its foods."""
_PARTS = frozenset({"boneless", "skinless", "bone", "in", "skin", "lean", "whole", "stick", "fresh"})


@functools.cache
def usual_matcher() -> FoodMatcher:
    """The matcher of the embedded pantry, made once."""
    return FoodMatcher(Pantry())


def folded(name: str) -> list[str]:
    """The words of a name as they are compared: folded, in one spelling."""
    return [_spelt(w) for w in words_of(name)]


def _spelt(word: str) -> str:
    return _SPELT.get(word, word)


def head_of(words: Sequence[str]) -> str:
    """The word that says what it is: the last one before *in*, *with*, *from* that is no form, no cutting and no praise; where
    there is none, the last form (*cloves*). Empty of nothing.

    >>> head_of(["salmon", "fillet"]), head_of(["cream", "of", "mushroom", "soup"]), head_of(["chopped", "clove"])
    ('salmon', 'soup', 'clove')
    """
    cut = next((n for n, w in enumerate(words) if n and w in ("in", "with", "from", "without", "packed")), len(words))
    told = list(words[:cut])
    for unsaid in (("plain", "cut", "form", "diet"), ("plain", "cut"), ("plain",)):
        for word in reversed(told):
            if word.isalpha() and len(word) > 1 and not is_of(word, *unsaid):
                return word
    return told[-1] if told else ""


def _is_whole(name: frozenset[str], words: Sequence[str]) -> bool:
    """Whether the name is all that the line says but praise: *hot water*, *half-and-half*."""
    return all(w in name or is_of(w, "plain", "cut") for w in words)
