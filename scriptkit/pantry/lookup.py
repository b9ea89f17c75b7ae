"""Find a food by a cook's words; where two could be meant, say so instead of choosing."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping

from scriptkit.pantry import table
from scriptkit.pantry.food import Food
from scriptkit.pantry.names import fold, words_of

_NEAR_WORD, _NEAR_NAME = 80, 72
"""Of 100, letters in common: how near a misspelt word and a misspelt name must be (tried on slips of the finger, no source)."""


class UnknownFood(LookupError):
    """No food goes by exactly this name. ``candidates`` are kitchen names it may mean, likeliest first."""

    def __init__(self, name: str, candidates: list[str]) -> None:
        super().__init__(f"the pantry has no food called “{name}”")
        self.candidates = candidates


class Pantry:
    """The embedded table with a cook's own foods laid over it; an own food hides one of the same name."""

    def __init__(self, own: Iterable[Food] = ()) -> None:
        self._own: Mapping[str, Food] = _by_name(tuple(own))

    def find(self, name: str) -> Food:
        """The food that goes by this name or synonym. Raises UnknownFood with what it may mean."""
        food = self.known(name)
        if food is None:
            raise UnknownFood(name, self.suggest(name))
        return food

    def known(self, name: str) -> Food | None:
        """The food that goes by this name or synonym; None where there is none, without looking for what it may mean."""
        key = fold(name)
        if key in self._own:
            return self._own[key]
        if name in table.as_written():
            return table.food(table.as_written()[name])
        if key in table.index():
            return table.food(table.index()[key])
        return None

    def names(self) -> dict[str, str]:
        """Folded name or synonym → the food's kitchen name, own foods included."""
        return dict(self._names)

    @functools.cached_property
    def _names(self) -> dict[str, str]:
        return {**table.index(), **{key: f.name for key, f in self._own.items()}}

    def suggest(self, words: str, *, most: int = 4) -> list[str]:
        """Kitchen names that these words may mean, likeliest first."""
        return self.search(words, most=most) or self._misspelt(words, most)

    def search(self, words: str, *, most: int = 20) -> list[str]:
        """Kitchen names in which every word occurs, whole words before beginnings of words, short names first."""
        wanted = words_of(words)
        ranked: dict[str, tuple[int, bool, int, str]] = {}
        if not wanted:
            return []
        names = self._names
        keys: Iterable[str] = names
        for w in wanted:
            keys = [key for key in keys if w in key]  # most foods fall out here: quicker than word by word
        for key in keys:
            name = names[key]
            have = key.split()
            whole = sum(w in have for w in wanted)
            begun = sum(any(h.startswith(w) for h in have) for w in wanted)
            if begun == len(wanted):
                kind = words_of(name.partition(",")[0])  # `mustard, dijon` is a mustard, `mustard greens` is not
                rank = (len(wanted) - whole, kind != wanted, len(have), name)
                ranked[name] = min(ranked.get(name, rank), rank)
        return sorted(ranked, key=lambda name: ranked[name])[:most]

    def _misspelt(self, words: str, most: int) -> list[str]:
        """Foods whose words are near to these in spelling; else whose whole name is; else that share one near word."""
        from rapidfuzz.fuzz import ratio
        from rapidfuzz.process import extract, extractOne

        nearest = [extractOne(w, self._words, scorer=ratio, score_cutoff=_NEAR_WORD) for w in words_of(words)]
        found = [match[0] for match in nearest if match]
        if len(found) == len(nearest) and (every := self.search(" ".join(found), most=most)):
            return every
        names = self._names
        close = extract(fold(words), sorted(names), scorer=ratio, score_cutoff=_NEAR_NAME, limit=most * 2)
        if close:
            return list(dict.fromkeys(names[key] for key, _, _ in close))[:most]
        long = [w for w in found if len(w) > 3]
        return self.search(" ".join(long), most=most) if long else []

    @functools.cached_property
    def _words(self) -> list[str]:
        return sorted({w for key in self._names for w in key.split()})


def _by_name(foods: Iterable[Food]) -> dict[str, Food]:
    """Under every name and synonym; a name goes before another food's synonym."""
    foods = tuple(foods)
    return {fold(word): f for f in foods for word in f.synonyms} | {fold(f.name): f for f in foods}
