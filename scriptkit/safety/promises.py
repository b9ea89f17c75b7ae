"""What a recipe says of itself: its texts with their places, and where in them something is promised.

A promise that is taken back (*not gluten-free*), asked (*is it vegan?*) or only possible (*leave the butter out to make it
dairy-free*) is none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.pantry.names import words_of
from scriptkit.problems import Place
from scriptkit.recipe.dish import Dish, Ingredient, Meal

_SENTENCE = re.compile(r"[^.!?;\n]+[.!?;]?")
_TAKEN_BACK = re.compile(
    r"\b(?:not|cannot|never|nor|neither|hardly|far from|no longer|anything but|nothing|unlike|nobody)\b|n['’]t\b",
    re.IGNORECASE,
)
_ONLY_POSSIBLE = re.compile(
    r"\b(?:to make (?:it|this|them)|if you|instead|swap|replace|leave out|left out|could|can be|would be|might be|almost|nearly|unless|"
    r"for (?:a|an|the) (?:\w+[- ]){0,3}(?:version|one|dish|alternative)|as a (?:\w+ ){0,2}alternative|want it|need it|prefer it)\b",
    re.IGNORECASE,
)
_ONLY_WITH = re.compile(
    r"^[^.!?;]{0,20}\b(?:if|unless|when you|as long as|provided)\b|^\s*(?:version|option|alternative|variant)s?\b(?! of)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Said:
    """A text of the recipe, and where it stands."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Promise:
    """Words in which something is promised. ``of``: the ingredients that it is said of; empty of the whole dish or plate."""

    words: str
    place: Place
    of: tuple[Ingredient, ...]


def texts_of(source: Dish | Meal) -> Iterator[Said]:
    """The dish's or the meal's own texts; not those of a meal's dishes."""
    yield Said(source.name, source.place)
    if source.promise:
        yield Said(source.promise, source.promise_place or source.place)
    if source.goodbye:
        yield Said(source.goodbye, source.goodbye_place or source.place)
    if isinstance(source, Dish):
        if source.short != source.name:
            yield Said(source.short, source.place)
        for step in source.steps:
            yield Said(step.do, step.place)
            if step.say:
                yield Said(step.say, step.say_place)


def promises(source: Dish | Meal, pattern: re.Pattern[str], ingredients: Sequence[Ingredient]) -> Iterator[Promise]:
    """Where the texts promise what the pattern matches. *Gluten-free flour* is said of the flour, where that is an ingredient."""
    for said in texts_of(source):
        for sentence in _SENTENCE.finditer(said.text):
            text = sentence.group()
            if text.rstrip().endswith("?"):
                continue
            for found in pattern.finditer(text):
                before, after = text[: found.start()], text[found.end() :]
                clause = re.split(r"[,:–—(]|\bbut\b", before)[-1]
                if _TAKEN_BACK.search(clause) or _ONLY_POSSIBLE.search(before) or _ONLY_WITH.search(after):
                    continue
                yield Promise(found.group(), said.place, _named_next(after, ingredients, source.name))


def _named_next(after: str, ingredients: Sequence[Ingredient], title: str) -> tuple[Ingredient, ...]:
    """The ingredients whose names follow at once: of *low-fat yoghurt* the yoghurt. A word of the title is the dish's own: a
    *gluten-free oat bread* is bread, whatever the oats are."""
    following = words_of(" ".join(re.split(r"[.,;:!?]", after)[0].split()[:2]))
    titled = set(words_of(title))
    if not after[:1].isspace():
        return ()
    return tuple(
        i for i in ingredients if any(w in following and w not in titled for w in words_of(f"{i.name} {i.food.name}"))
    )
