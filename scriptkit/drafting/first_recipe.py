"""The first file of a dish that has only a name: the foods that the name tells, and everything else marked as a guess (`unsure:`)."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass

from scriptkit.drafting.food_matching import SURE, FoodMatch, folded, usual_matcher

_BETWEEN = re.compile(r"\b(?:with|and|in|on|of|from|over|under|à|la)\b|[^\w' -]", re.IGNORECASE)
_WITHOUT = re.compile(r"\b(?:without|no)\b.*|\b\w+-free\b", re.IGNORECASE)
_LEAST_SURE = 0.7
"""Below this a word of a name is more likely praise or a place than a food."""
MOST_FOODS = 6
_NOBODY = "main ingredient"
"""The name of the ingredient of a dish whose name tells no food."""
_YAML_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})


@dataclass(frozen=True, slots=True)
class NamedFood:
    """A food that the name of a dish tells: the words, and what they may mean."""

    words: str
    match: FoodMatch


def foods_in_name(name: str) -> tuple[NamedFood, ...]:
    """The foods that the name of a dish tells, in its order; the longest words that are one food count.

    >>> [f.words for f in foods_in_name("Cod with leeks and smoked paprika")]
    ['cod', 'leeks', 'smoked paprika']
    """
    found: list[NamedFood] = []
    for part in _BETWEEN.split(_WITHOUT.sub(" ", name)):
        found += [f for f in _foods_of(part.split()) if f.match.food not in {one.match.food for one in found}]
    return tuple(found[:MOST_FOODS])


def _foods_of(words: list[str]) -> Iterator[NamedFood]:
    for length in range(len(words), 0, -1):
        for first in range(len(words) - length + 1):
            run = words[first : first + length]
            match = usual_matcher().match(" ".join(run).lower())
            if match.food and match.confidence >= _LEAST_SURE:
                while len(run) > 1 and not set(folded(run[-1])) & match.covered:
                    run.pop()  # a *blackberry crumble* has blackberries
                yield from _foods_of(words[:first])
                yield NamedFood(" ".join(run).casefold(), match)
                yield from _foods_of(words[first + length :])
                return


def first_recipe(name: str, schema: str) -> str:
    """The file: ten lines for a name with two foods. ``schema`` is its first line. It has no figure and no word of the method that is not
    marked as a guess."""
    foods = foods_in_name(name)
    ingredients = [_ingredient(food) for food in foods] or [
        f"  {_NOBODY}: {{amount: 100 g, unsure: {{food: 0, amount: 0}}}}"
    ]
    names = [_scalar(food.words) for food in foods] or [_NOBODY]
    lines = [
        schema,
        f"dish: {json.dumps(name, ensure_ascii=False)}",
        "servings: 4",
        "unsure: {servings: 0}        # a guess: correct it, then delete its `unsure:`",
        "ingredients:",
        *ingredients,
        *([] if foods else ["foods:", f"  {_NOBODY}: {{basis: us}}"]),
        "steps:",
        f"  - {{id: cook, stage: cook, do: {json.dumps(f'Cook {_listed(names)}.', ensure_ascii=False)},",
        f"     add: {{{', '.join(f'{one}: all' for one in names)}}}, unsure: {{do: 0}}}}",
    ]
    return "\n".join(lines) + "\n"


def _ingredient(food: NamedFood) -> str:
    parts = ["amount: 100 g"]
    if usual_matcher().pantry.known(food.words) is None:
        parts.append(f"food: {_scalar(food.match.food)}")
    doubts = ["amount: 0"]
    if food.match.confidence < SURE:
        doubts.insert(0, f"food: {food.match.confidence:g}")
        if food.match.candidates:
            doubts.append(f"candidates: [{', '.join(map(_scalar, food.match.candidates))}]")
    return f"  {_scalar(food.words)}: {{{', '.join(parts)}, unsure: {{{', '.join(doubts)}}}}}"


def _listed(names: list[str]) -> str:
    told = [f"the {name.strip(chr(34))}" for name in names]
    return " and ".join([", ".join(told[:-1]), told[-1]]) if len(told) > 1 else told[0]


def _scalar(text: str) -> str:
    """As YAML writes it, in quotes where it needs them."""
    plain = re.fullmatch(r"[A-Za-z][A-Za-z0-9 -]*", text) and text.casefold() not in _YAML_WORDS
    return text if plain else json.dumps(text, ensure_ascii=False)
