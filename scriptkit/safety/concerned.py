"""Which ingredients a caution is about, so that it stands with their bowls and not with whatever else goes in at the step."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.pantry.kinds_by_name import category_of, raw_class_of
from scriptkit.recipe.dish import Ingredient
from scriptkit.safety.rules import Rule
from scriptkit.safety.step_facts import Situation

_OF_A_CLASS = ("class", "raw", "raw_here", "raw_held")
_ABOUT = frozenset((*_OF_A_CLASS, "handles", "named"))
"""Conditions that name foods."""


def concerned_in(rule: Rule, situation: Situation) -> tuple[str, ...]:
    """The keys of the dish's ingredients that the rule is about at this step, in the recipe's order; empty where it is about the step
    as a whole: hot fat, steam, a blade."""
    if situation.step is None:
        return ()
    asks = [
        (n, v) for asked in rule.when for n, v in asked if n in _ABOUT and (n != "handles" or rule.severity == "safety")
    ]
    cooked = {i.key for i in situation.cooked}
    if not asks and not cooked:
        return ()
    here = {i.key for i in (*situation.handled, *situation.raw, *situation.cooked)}
    return tuple(
        one.key
        for one in situation.facts.dish.ingredients
        if one.key in here and (one.key in cooked or any(_is_about(name, value, one) for name, value in asks))
    )


def _is_about(name: str, value: object, one: Ingredient) -> bool:
    if name in _OF_A_CLASS:
        return raw_class_of(one.food) in set(_texts(value))
    if name == "handles":
        return bool({one.food.name, category_of(one.food)} & set(_texts(value)))
    if name == "named":
        return re.search(str(value), f"{one.name} {one.food.name}", re.IGNORECASE) is not None
    return False


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, (list, tuple, set, frozenset)):
        yield from map(str, value)
