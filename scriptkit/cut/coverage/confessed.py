"""What a confession names: how much went in where it was more or less, and what went in instead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.cut.claims.name_mentions import NameMention
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.amounts import canonical_unit
from scriptkit.measure.figures import figures_in
from scriptkit.measure.spoken import SpokenFigure
from scriptkit.pantry import table
from scriptkit.pantry.names import fold
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Addition, Dish
from scriptkit.shoot.script.spoken_amounts import to_common_unit

_SENTENCE_END = LazyPattern(r"[.!?;]+(?=\s|$)")
_WORD = LazyPattern(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")
_WORDS_OF_A_FOOD = 3
_BARE_TALK = 90
"""Characters before and after in talk without stops (common practice, no source)."""
_SAME = 0.03
_NO_FOOD = frozenset("can cans pan stock tin top".split())  # noqa: SIM905
"""Foods whose names are said of other things as often."""


class Confessed(NamedTuple):
    """The talk with the names in it, and where they stand in its text."""

    talk: Talk
    mentions: Sequence[NameMention]
    spans: Sequence[tuple[int, int]]
    dishes: Sequence[Dish]

    def amount(self, at: tuple[int, int], dish: Dish, addition: Addition, *, more: bool) -> tuple[float, int] | None:
        """How many grams are said to have gone in, and when that is said; None where no figure or more than one can be meant."""
        if not addition.grams:
            return None
        lo, hi = self._sentence(*at)
        found: dict[float, int] = {}
        for figure in figures_in(self.talk.text[lo:hi]):
            start, end = lo + figure.start, lo + figure.end
            if not figure.unit or canonical_unit(figure.unit) is None or figure.low != figure.high:
                continue
            if not self._is_of(dish, addition, start, end, lo, hi):
                continue
            same = to_common_unit(SpokenFigure(figure.low, figure.unit, figure.about, 0, 0), addition)
            if same is None or not same[1]:
                continue
            share = same[0] / same[1]
            if share > 1 + _SAME if more else share < 1 - _SAME:
                found.setdefault(round(share, 3), self.talk.ms_at(start))
        if len(found) != 1:
            return None
        ((share, ms),) = found.items()
        return addition.grams * share, ms

    def stand_in(self, at: tuple[int, int]) -> str:
        """The one food that is named there beside the recipe's own; empty where there is none, or more than one."""
        lo, hi = self._sentence(*at, sentences=2)
        named = list(dict.fromkeys(self._other_foods(lo, hi)))
        return named[0] if len(named) == 1 else ""

    def _other_foods(self, lo: int, hi: int) -> Iterator[str]:
        words = [(m.start() + lo, m.end() + lo) for m in _WORD.finditer(self.talk.text[lo:hi])]
        until = 0
        for n, (start, _) in enumerate(words):
            if start < until:
                continue
            for count in range(_WORDS_OF_A_FOOD, 0, -1):
                end = words[min(n + count, len(words)) - 1][1]
                said = " ".join(self.talk.text[start:end].casefold().split())
                if said in _NO_FOOD or fold(said) not in table.index():
                    continue
                if not any(first < end and start < last for first, last in self.spans):
                    yield said
                until = end
                break

    def _is_of(self, dish: Dish, addition: Addition, start: int, end: int, lo: int, hi: int) -> bool:
        """Whether the nearest name of the sentence is the ingredient's; where it names nothing, *it* is."""
        near = [
            (max(first - end, start - last), mention)
            for mention, (first, last) in zip(self.mentions, self.spans, strict=True)
            if lo <= first < hi
        ]
        if not near:
            return True
        nearest = min(near, key=lambda one: one[0])[1]
        return any(
            self.dishes[o.dish].file == dish.file
            and self.dishes[o.dish].ingredients[o.ingredient].key == addition.ingredient.key
            for o in nearest.owners
        )

    def _sentence(self, start: int, end: int, sentences: int = 1) -> tuple[int, int]:
        """From where to where its sentence stands, with those that follow where more are asked for."""
        text = self.talk.text
        before = [m.end() for m in _SENTENCE_END.finditer(text[max(0, start - 2 * _BARE_TALK) : start])]
        lo = max(0, start - 2 * _BARE_TALK) + before[-1] if before else max(0, start - _BARE_TALK)
        after = [m.start() for m in _SENTENCE_END.finditer(text[end : end + 2 * _BARE_TALK])]
        hi = end + after[min(sentences, len(after)) - 1] if after else end + _BARE_TALK
        return lo, min(len(text), hi)
