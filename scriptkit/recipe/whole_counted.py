"""A whole fruit or egg that is counted where only a part of it goes in: zest, juice, yolk or white."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.pantry import table
from scriptkit.pantry.eaten_parts import eaten_part
from scriptkit.pantry.names import fold
from scriptkit.problems import Problem, warning
from scriptkit.recipe.dish import Dish

_PART = re.compile(r"(?<!with )(?<!in )(?<!its )(?<!their )(?<!own )\b(zest|juice|yolk|white)s?\b", re.IGNORECASE)
"""Not *tomatoes with their juice*."""
_ALL_OF_AN_EGG = {"yolk", "white"}
"""Both named: it is only separated."""


def whole_for_a_part(dish: Dish) -> Iterator[Problem]:
    """A warning for each ingredient whose words name a part that the pantry has as a food of its own, and whose food is the whole."""
    for one in dish.ingredients:
        named = {found.casefold() for found in _PART.findall(f"{one.name} {one.prep}")}
        if one.grams is None or one.dish is not None or named >= _ALL_OF_AN_EGG:
            continue
        foods = [food for part in sorted(named) if (food := _part_of(one.food.name, part))]
        if foods:
            yield warning(
                one.place,
                "whole-counted",
                f"{one.name}: a whole {one.food.name} is counted, where the words say {' and '.join(sorted(named))}",
                f"write {' and '.join(f'`food: {food}`' for food in foods)}, with the amount of that",
            )


def _part_of(whole: str, part: str) -> str:
    """The embedded table's food of this part, such as lemon zest; empty where it has none, or the food is that part."""
    if eaten_part(whole, part) is not None:
        return ""  # read already, by the words of getting it
    return "" if part in whole.split() else table.index().get(fold(f"{whole} {part}"), "")
