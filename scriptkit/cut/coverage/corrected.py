"""Which of what is said the file corrects already: each line of `corrections:` is of its own figure, not of its neighbours."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Ingredient, Meal
from scriptkit.recipe.publication_fields import Correction

SAME_MOMENT_MS = 4_000
"""A correction that names what is said there is of it when it is so near to the moment (common practice, no source)."""
_NAMELESS_MS = 1_500
"""One that names nothing must stand at the moment itself: the file's times are to the second."""
_QUOTED = re.compile("“([^”]+)”")


@dataclass(frozen=True, slots=True)
class Corrected:
    """The file's corrections that name a moment, and what the ingredients of the day are called."""

    corrections: tuple[Correction, ...]
    called: tuple[frozenset[str], ...]

    def has(self, time_ms: int | None, subject: str, words: str = "") -> bool:
        """Whether the file corrects what is said of the subject at this moment; ``words``: the figure, where it is one."""
        return time_ms is not None and any(self._is_of(c, time_ms, subject, words) for c in self.corrections)

    def _is_of(self, one: Correction, time_ms: int, subject: str, words: str) -> bool:
        off = abs(time_ms - (one.at_ms or 0))
        if one.at_ms is None or off > SAME_MOMENT_MS:
            return False
        text = one.text.casefold()
        quoted = _QUOTED.findall(text)
        if words and quoted and words.casefold() not in quoted:
            return False
        alike = [names for names in self.called if subject.casefold() in names]
        if any(_says(text, name) for names in ({subject.casefold()}, *alike) for name in names):
            return True
        if alike and any(_says(text, name) for names in self.called for name in names):
            return False
        return bool(words and quoted) or off <= _NAMELESS_MS


def corrected_by(source: Dish | Meal) -> Corrected:
    """What the file, and those of its dishes, correct."""
    dishes = dishes_of_the_day(source)
    every: Sequence[Correction] = [c for one in (source, *dishes) for c in one.published.corrections]
    called = tuple(_called(i) for dish in dishes for i in dish.ingredients)
    return Corrected(tuple(dict.fromkeys(c for c in every if c.at_ms is not None)), called)


def _called(one: Ingredient) -> frozenset[str]:
    return frozenset(n.casefold() for n in (one.name, one.key, one.short_name, one.display_name) if n)


def _says(text: str, name: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text) is not None
