"""Promises of what is *not* in a dish: dairy-free, gluten-free, vegan; held against what is."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.data_files import made_of_entries, shape_of
from scriptkit.pantry.food import Food
from scriptkit.pattern_cache import kept_patterns
from scriptkit.problems import Problem, error, warning
from scriptkit.recipe.dish import Dish, Ingredient, Meal
from scriptkit.safety.allergens import foods_in, guessed_food
from scriptkit.safety.promises import Promise, promises


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeFrom:
    """A promise, and what contradicts it; see free_from.yaml."""

    id: str
    pattern: re.Pattern[str]
    allergens: frozenset[str]
    foods: frozenset[str]
    maybe: frozenset[str]
    not_named: re.Pattern[str] | None


@functools.cache
def free_from() -> tuple[FreeFrom, ...]:
    """Every row of free_from.yaml, in its order; read once. Raises BadDataFile."""
    may = ("allergens", "foods", "maybe", "not_named")
    shape = shape_of(FreeFrom, called={"pattern": "claim"}, optional=may, required=("nouns",))
    return tuple(made_of_entries("scriptkit.safety", "free_from.yaml", shape, _free_from))


def _free_from(row: dict[str, Any]) -> FreeFrom:
    return FreeFrom(
        id=row["id"],
        pattern=_pattern(row["claim"], row["nouns"]),
        allergens=frozenset(row.get("allergens", ())),
        foods=frozenset(row.get("foods", ())),
        maybe=frozenset(row.get("maybe", ())),
        not_named=kept_patterns().compiled(row["not_named"], re.IGNORECASE) if "not_named" in row else None,
    )


def _pattern(claim: str, nouns: Sequence[str]) -> re.Pattern[str]:
    """The promise itself; and *no dairy*, *without any nuts*, *free of gluten*, where nothing else follows: *no egg wash* and
    *without nuts on top* promise nothing."""
    noun = "|".join(nouns)
    return kept_patterns().compiled(
        rf"\b(?:{claim})\b|\b(?:no|zero|without|(?:contains|has) no|free (?:of|from)) (?:any |added )?(?:{noun})"
        rf"(?=\s*(?:[.,;:!?)]|$|\band\b|\bor\b|\bin (?:it|this|here|sight)\b|\bat all\b|\bon (?:the|this|your|any|each) (?:plate|table)s?\b))",
        re.IGNORECASE,
    )


@functools.cache
def _any_promise() -> re.Pattern[str]:
    """Whether it is worth looking for any of them."""
    return kept_patterns().compiled("|".join(one.pattern.pattern for one in free_from()), re.IGNORECASE)


def promises_to_be_without(text: str) -> bool:
    """Whether the words promise something that the dish is without.

    >>> promises_to_be_without("No alcohol on the plate"), promises_to_be_without("No fuss")
    (True, False)
    """
    return _any_promise().search(text) is not None


def free_from_problems(source: Dish | Meal) -> list[Problem]:
    """Promises in the texts of a dish, or of a meal, that what is in it contradicts (an error) or may contradict (a warning)."""
    carried = list(foods_in(source))
    own = source.ingredients if isinstance(source, Dish) else [i for _, i in carried]
    if not next(promises(source, _any_promise(), own), None):
        return []
    return [
        p for one in free_from() for promise in promises(source, one.pattern, own) for p in _held(one, promise, carried)
    ]


def _held(one: FreeFrom, promise: Promise, carried: Iterable[tuple[str, Ingredient]]) -> Iterator[Problem]:
    about = [(name, i) for name, i in carried if not promise.of or _is_of(i, promise.of)]
    about = [(n, i) for n, i in about if not (one.not_named and one.not_named.search(f"{i.name} {i.food.name}"))]
    against = {name: why for name, i in about if (why := _contradicts(one, i))}
    unsure = [name for name, i in about if name not in against and _may_contradict(one, i)]
    said = f"“{promise.words}”"
    if against:
        held = ", ".join(f"{name} ({why})" if why != name else name for name, why in against.items())
        yield error(promise.place, "free-from", f"{said} is said, and it holds {held}",
                    "take the promise out, or change the ingredient")  # fmt: skip
    if unsure:
        yield warning(promise.place, "free-from-unsure", f"{said} is said, and it depends on the make of {', '.join(dict.fromkeys(unsure))}",
                      "check the label: then write the food under `foods:` with its `allergens:`, or take the promise out")  # fmt: skip


def _is_unknown(food: Food, one: FreeFrom) -> bool:
    """A label that says nothing of allergens. A food that could not be read at all has been told."""
    return bool(food.source) and not food.allergens_stated and bool(one.allergens)


def _is_of(ingredient: Ingredient, of: Sequence[Ingredient]) -> bool:
    return any(ingredient is one for one in of)


def _contradicts(one: FreeFrom, ingredient: Ingredient) -> str:
    """What of the ingredient contradicts the promise; empty where nothing does."""
    food = ingredient.food
    if guessed_food(ingredient):
        return ""
    words = [a for a in food.allergens if a in one.allergens]
    if words:
        return ", ".join(words)
    return food.name if food.name not in one.maybe and {food.name, food.category} & one.foods else ""


def _may_contradict(one: FreeFrom, ingredient: Ingredient) -> bool:
    food = ingredient.food
    if guessed_food(ingredient):
        return True
    likely = set(food.may_contain) & (one.allergens | {"any"} if one.allergens else one.allergens)
    return bool(likely) or bool({food.name, food.category} & one.maybe) or _is_unknown(food, one)
