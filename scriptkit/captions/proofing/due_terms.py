"""What may be meant in a recipe by a word that was misheard, and which words are none that could be."""

from __future__ import annotations

import functools
import itertools
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scriptkit.captions.proofing.recipe_amounts import Names, OwedAmount, recipe_amounts
from scriptkit.cut.placing.common_words import common
from scriptkit.data_files import text_of
from scriptkit.english.plurals import singular
from scriptkit.english.small_words import small_words
from scriptkit.english.stems import STOP, kitchen_words, stem
from scriptkit.measure.amounts import Kind
from scriptkit.measure.words import plural
from scriptkit.recipe.dish import Dish, Ingredient


@functools.cache
def _place_words() -> dict[str, frozenset[str]]:
    text = text_of("scriptkit.captions.proofing", "place_words.txt")
    blocks = re.findall(r"^(\w[\w ]*):((?:.*\n)(?:  .*\n)*)", text, re.MULTILINE)
    return {name: frozenset(words.split()) for name, words in blocks}


def place_words(name: str) -> frozenset[str]:
    """A group of place_words.txt."""
    return _place_words()[name]


_MORE_VERBS = place_words("verbs")
_MORE_SMALL_TALK = place_words("small talk")
_GENERAL = place_words("general")

_MEASURES = place_words("measures")
_HEADS = frozenset({"stock", "juice", "paste", "powder", "flakes"})
"""Last words of names that say nothing alone, and that cooks say alone: *half of the stock*."""
LEADS = frozenset({"through", "against"})
"""What stands before a word of a step as a verb does: *through a sieve*, *against the grain*."""
_RARE, _LETTERS = 7, 2
_TELLING = 6
"""Letters of a word that tells a food by itself before its last one: *pumpkin*, not *olive*."""


@dataclass(frozen=True, slots=True, eq=False)
class DueTerms:
    """Words that may be meant, folded, by what they are. ``kitchen``: every form of a word of the kitchen; ``own``: of the recipe's own
    words; ``parts``: the words of names of several."""

    foods: tuple[tuple[str, ...], ...]
    measures: tuple[tuple[str, ...], ...]
    """What foods are counted in: cloves, teaspoons."""
    things: tuple[tuple[str, ...], ...]
    acts: tuple[tuple[str, ...], ...]
    names: tuple[tuple[str, ...], ...]
    """Foods, vessels and tools of several words."""
    techniques: tuple[tuple[str, ...], ...]
    """Knife cuts, ways of cooking, and foods of long names: due after *the*, *a* or *and*, and heard as several words."""
    kitchen: frozenset[str]
    own: frozenset[str]
    food_words: frozenset[str]
    """Of those the words of foods."""
    parts: frozenset[str]
    written: dict[tuple[str, ...], tuple[str, ...]]
    """How the recipe writes what is known without accents: *crème fraîche*."""
    handled: dict[str, frozenset[tuple[str, ...]]]
    """By the stem of a verb the foods that stand after it in a step: *crumble the feta*."""
    after_verbs: dict[str, frozenset[tuple[str, ...]]]
    """By the stem of a verb every word that a step has after it, and after *through* and *against*: *skim the scum*, *through a sieve*."""
    stems: frozenset[str]
    """Of all words of the steps' sentences: these are right as they are heard."""
    terms: frozenset[str] = frozenset()
    """The recipe's own words and names, as they are written."""
    called: tuple[frozenset[str], ...] = ()
    """Of each food every word of its names, in one: *yoghurt, greek* is Greek yoghurt too."""
    amounts: tuple[OwedAmount, ...] = ()
    """How much the recipe has of each food."""


@functools.cache
def kitchen_verbs() -> frozenset[str]:
    """What is done in a kitchen, as it is said to somebody."""
    return frozenset(kitchen_words("verb")["verbs"]) | _MORE_VERBS


@functools.cache
def verb_stems() -> frozenset[str]:
    """The stems of :func:`kitchen_verbs`."""
    return frozenset(map(stem, kitchen_verbs()))


@functools.cache
def small_talk() -> frozenset[str]:
    """Words that say nothing by themselves; *all* may be *oil*."""
    kinds = (
        "determiners",
        "prepositions",
        "conjunctions",
        "pointers",
        "subjects",
        "either",
        "auxiliaries",
        "have",
        "contractions",
        "always",
        "little",
    )
    return frozenset(STOP).union(_MORE_SMALL_TALK, *(small_words(kind) for kind in kinds)) - {"all"}


_STATES = frozenset(w for words in kitchen_words("weak").values() for w in words) | place_words("states")


def _tells_a_food(word: str) -> bool:
    """Whether a word of a name or a step may be something that is made there, and is no everyday one: *frangipane*, *breadcrumbs*."""
    everyday = stem(word) in common() or stem(word) in verb_stems() or word.endswith(("ing", "ed", "ly"))
    return len(word) >= _RARE and word not in small_talk() and word not in _STATES and not everyday


def _of_preparation(prep: str) -> set[tuple[str, ...]]:
    """What is done to an ingredient before: *grated* is of grate."""
    done = {stem(w) for w in folded_words(prep)[0] if w.endswith("ed")}
    return {(verb,) for verb in kitchen_verbs() if stem(verb) in done}


def due_terms(dishes: Sequence[Dish], kitchen: frozenset[str], techniques: Iterable[str]) -> DueTerms:
    """What may be meant in a recipe. ``kitchen``: every form of a word of the kitchen; ``techniques``: knife cuts and the like, which
    are due wherever a thing is."""
    foods: set[tuple[str, ...]] = set()
    things: set[tuple[str, ...]] = set()
    acts: set[tuple[str, ...]] = set()
    for dish in dishes:
        texts = [i.name for i in dish.ingredients] + [i.food.name.partition(",")[0] for i in dish.ingredients]
        foods |= {tuple(folded_words(text)[0]) for text in texts}
        for i in dish.ingredients:
            *leads, head = folded_words(i.name)[0] or [""]
            foods |= {
                (w,)
                for w in leads
                if w not in small_talk() and w not in _STATES and len(w) >= _TELLING and not w.endswith("ing")
            }
            foods |= {(head,)} if head and (head not in _STATES or (leads and head in _HEADS)) else set()
            acts |= _of_preparation(i.prep)
        foods |= {(w,) for w in folded_words(dish.short)[0] if w not in small_talk()}
        foods |= {(w,) for w in folded_words(dish.name)[0] if _tells_a_food(w)}
        for step in dish.steps:
            gear = [tuple(folded_words(text)[0]) for text in step.reading.gear]
            things |= {g for g in gear if g} | {(g[-1],) for g in gear if g and g[-1] not in _STATES}
            foods |= {(w,) for w in folded_words(step.reading.sentence)[0] if _tells_a_food(w)}
            acts |= {(w,) for w in folded_words(step.reading.sentence)[0] if stem(w) in verb_stems()}
    handled = _handled(dishes, foods)
    things |= {t[-2:] for t in things if len(t) > 2 and t[-2] not in small_talk()}
    names = {t for t in foods | things if len(t) > 1}
    counted = {
        i.name.casefold() for dish in dishes for i in dish.ingredients if i.amount and i.amount.kind is Kind.COUNT
    }
    forms = {(*t[:-1], form) for t in foods for form in {t[-1], singular(t[-1])}}
    forms |= {(*t[:-1], plural(t[-1])) for t in foods if " ".join(t) in counted}
    parted = names | {f for f in forms if len(f) > 1}
    return DueTerms(
        foods=_sorted(forms),
        measures=_sorted({(w,) for w in _MEASURES}),
        things=_sorted(things),
        acts=_sorted(acts),
        names=_sorted(parted),
        techniques=_sorted({tuple(folded_words(t)[0]) for t in techniques} | {f for f in forms if _is_long(f)}),
        kitchen=kitchen | _GENERAL,
        own=frozenset(form for t in forms | things for w in t for form in (w, singular(w))),
        food_words=frozenset(w for t in forms for w in t if len(w) > _LETTERS) - {w for t in things for w in t},
        written={plain: t for t in forms if (plain := tuple(map(_without_accents, t))) != t},
        handled=handled,
        after_verbs=_after_verbs(dishes),
        stems=frozenset(
            stem(w) for dish in dishes for step in dish.steps for w in folded_words(step.reading.sentence)[0]
        ),
        called=tuple(
            frozenset(singular(w) for w in folded_words(f"{i.name} {i.food.name}")[0])
            for dish in dishes
            for i in dish.ingredients
        ),
        amounts=recipe_amounts(dishes, _names_of),
        parts=frozenset(form for t in parted for w in t for form in (w, f"{w}s", w.removesuffix("s"))),
    )


def _names_of(ingredient: Ingredient) -> Names:
    """An ingredient's names and each of their first and last words that tells it, in one and in several."""
    found: set[tuple[str, ...]] = set()
    for text in (ingredient.name, ingredient.food.name.partition(",")[0]):
        words = tuple(folded_words(text)[0])
        found |= {words, words[-1:]} | ({words[:1]} if len(words) > 1 and _tells_a_food(words[0]) else set())
    telling = {name for name in found if name and (len(name) > 1 or name[0] not in _STATES)}
    return frozenset(
        (*name[:-1], form) for name in telling for form in (name[-1], singular(name[-1]), plural(name[-1]))
    )


def _handled(dishes: Iterable[Dish], foods: set[tuple[str, ...]]) -> dict[str, frozenset[tuple[str, ...]]]:
    """Of each verb the foods between it and the next in the sentences of the steps."""
    found: dict[str, set[tuple[str, ...]]] = {}
    alone = {food[0]: food for food in foods if len(food) == 1}
    for dish in dishes:
        for step in dish.steps:
            verb = ""
            for word in folded_words(step.reading.sentence)[0]:
                if word in alone and verb:
                    found.setdefault(verb, set()).add(alone[word])
                elif stem(word) in verb_stems():
                    verb = stem(word)
    return {verb: frozenset(names) for verb, names in found.items()}


def _after_verbs(dishes: Iterable[Dish]) -> dict[str, frozenset[tuple[str, ...]]]:
    """Of each verb the words between it and the next, in the sentences of the steps."""
    found: dict[str, set[tuple[str, ...]]] = {}
    for sentence in (step.reading.sentence for dish in dishes for step in dish.steps):
        words, ends, _ = folded_words(sentence)
        verb = ""
        for word, last in zip(words, ends, strict=True):
            if word in LEADS or stem(word) in verb_stems():
                verb = word if word in LEADS else stem(word)
            elif verb and word not in small_talk() and len(word) > _LETTERS and not word.endswith("ly"):
                found.setdefault(verb, set()).add((word,))
            verb = "" if last else verb
    return {verb: frozenset(words) for verb, words in found.items()}


def _without_accents(word: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFD", word) if not unicodedata.combining(c))


def _is_long(food: tuple[str, ...]) -> bool:
    return len(food) == 1 and len(food[0]) >= _RARE


def _sorted(terms: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    return tuple(sorted(t for t in terms if t))


_SPLIT = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*|\d+(?:[.,]\d+)?")


def folded_words(text: str) -> tuple[list[str], list[bool], list[tuple[int, int]]]:
    """The words of a text in lower case, whether a mark stands after each, and from where to where each is written."""
    found = list(_SPLIT.finditer(text))
    ends = [text[a.end() : b.start()].strip(" \n'’“”\"-") != "" for a, b in itertools.pairwise(found)]
    return (
        [f.group().casefold().replace("’", "'") for f in found],
        [*ends, True][: len(found)],
        [f.span() for f in found],
    )


def forms_of(word: str) -> set[str]:
    """A word as it may stand in a sentence."""
    stem = word.removesuffix("e")
    doubled = word + word[-1:]
    forms = {
        word,
        f"{word}s",
        f"{word}es",
        f"{stem}ed",
        f"{stem}ing",
        f"{word}ed",
        f"{word}ing",
        f"{doubled}ed",
        f"{doubled}ing",
    }
    forms |= {f"{word}'s", f"{word}’s"}
    if word.endswith("y"):
        forms |= {f"{word[:-1]}ies", f"{word[:-1]}ied"}
    return forms | {word.removesuffix("s")}
