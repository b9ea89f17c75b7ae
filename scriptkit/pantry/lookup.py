"""Find a food by a cook's words; where two could be meant, say so instead of choosing."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Collection, Iterable, Mapping

from scriptkit.pantry import table
from scriptkit.pantry.food import Food
from scriptkit.pantry.food_forms import Meant, meant_by
from scriptkit.pantry.names import fold, typed_words, words_of

_OF_CUTTING = frozenset({
    "ring", "raw", "fresh", "minced", "chopped", "sliced", "diced", "piece", "large", "small", "whole", "organic", "ripe",
})  # fmt: skip
"""Words that may be left over beside a food's name."""


def _slips(length: int) -> int:
    """How many slips of the finger a word of so many letters may have (tried on 150 words, no source)."""
    return 0 if length < 4 else 1 if length < 8 else 2 if length < 12 else 3


def _likely(written: str, meant: str, slips: int) -> bool:
    """Whether a hand that means the one writes the other: the first letter is seldom missed, and in a short word a letter is
    left out, doubled or swapped rather than taken for another."""
    if written[0] != meant[0]:
        return slips == 1 and len(written) > 7
    another = len(written) == len(meant) and sorted(written) != sorted(meant)
    return not slips or not (another and len(written) < 6)


def _same_word(written: str, word: str) -> bool:
    """Whether a word's beginning stands for all of it."""
    return written == word or (len(written) > 3 and len(word) - len(written) < 4)


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

    def meant(
        self, name: str, *, prep: str = "", unit: str = "", by_volume: bool = False, beside: Collection[str] = ()
    ) -> Meant:
        """The food that this name means, got ready and measured so, with these names (folded) beside it. Raises UnknownFood
        where it stays open."""
        found = meant_by(self.known, name, prep, unit, by_volume, beside)
        if found is None:
            raise UnknownFood(name, self.suggest(name))
        return found

    def names(self) -> dict[str, str]:
        """Folded name or synonym → the food's kitchen name, own foods included."""
        return dict(self._names)

    @functools.cached_property
    def _names(self) -> dict[str, str]:
        return {**table.index(), **{key: f.name for key, f in self._own.items()}}

    def suggest(self, words: str, *, most: int = 4) -> list[str]:
        """Kitchen names that these words may mean, likeliest first; none where no name is near enough to be meant."""
        return self._named(words, most) or self._misspelt(words, most) or self._as_bought(words, most)

    def _as_bought(self, words: str, most: int) -> list[str]:
        """The food without how it is cut or got ready before its name, which `prep:` takes: ``grated cheddar``."""
        wanted = words_of(words)
        food = list(itertools.dropwhile(lambda word: word in _GOT_READY, wanted))
        return self._named(" ".join(food), most) if food and len(food) < len(wanted) else []

    def _named(self, words: str, most: int) -> list[str]:
        """Foods in whose names the words occur: whole, or all but a few letters of them."""
        wanted = words_of(words)

        def nearly(key: str) -> bool:
            return all(any(h.startswith(w) and _same_word(w, h) for h in key.split()) for w in wanted)

        return [name for name in self.search(words, most=60) if any(map(nearly, self._keys_of[name]))][:most]

    @functools.cached_property
    def _keys_of(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for key, name in self._names.items():
            found.setdefault(name, []).append(key)
        return found

    def search(self, words: str, *, most: int = 20) -> list[str]:
        """Kitchen names in which every word occurs, whole words before beginnings of words, short names first."""
        wanted, typed = words_of(words), typed_words(words)
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
            # what begins a word is what was typed: *pees* is no beginning of *peeled*
            begun = sum(w in have or any(h.startswith(t) for h in have) for w, t in zip(wanted, typed, strict=True))
            if begun == len(wanted):
                kind = words_of(name.partition(",")[0])  # `mustard, dijon` is a mustard, `mustard greens` is not
                rank = (len(wanted) - whole, kind != wanted, len(have), name)
                ranked[name] = min(ranked.get(name, rank), rank)
        return sorted(ranked, key=lambda name: ranked[name])[:most]

    def _misspelt(self, words: str, most: int) -> list[str]:
        """Foods whose words these are but for a slip of the finger each; words of cutting may be left over."""
        wanted = words_of(words)
        meant = [self._nearest(w) for w in wanted]
        if all(meant) and (every := self.search(" ".join(m for m in meant if m), most=most)):
            return every
        if whole := self._whole_name(fold(words), most):
            return whole
        if any(w in self._words for w in wanted):  # beside a word that is right, one may be more wrong
            loose = [self._nearest(w, more=1) for w in wanted]
            if all(loose) and (every := self.search(" ".join(m for m in loose if m), most=most)):
                return every
        rest = [m for w, m in zip(wanted, meant, strict=True) if w not in _OF_CUTTING]
        return self.search(" ".join(m for m in rest if m), most=most) if rest and all(rest) else []

    def _nearest(self, word: str, more: int = 0) -> str | None:
        """The word of the pantry that this one is, or is a slip of the finger from, or ``more`` of them."""
        from rapidfuzz.distance.OSA import distance
        from rapidfuzz.process import extract

        if word in self._words:
            return word
        most = _slips(len(word)) + more
        close = extract(word, self._words, scorer=distance, score_cutoff=most, limit=12) if most else []
        likely = [
            (d, w[0] != word[0], abs(len(w) - len(word)), w) for w, d, _ in close if more or _likely(word, w, int(d))
        ]
        return min(likely)[-1] if likely else None

    def _whole_name(self, key: str, most: int) -> list[str]:
        """Foods whose name is this but for where its words begin, and a slip of the finger."""
        from rapidfuzz.distance.OSA import distance
        from rapidfuzz.process import extract

        run_together = key.replace(" ", "")
        names = {k.replace(" ", ""): name for k, name in self._names.items()}
        close = extract(
            run_together, list(names), scorer=distance, score_cutoff=min(_slips(len(key)), 1), limit=most * 2
        )
        return list(dict.fromkeys(names[k] for k, d, _ in close if _likely(run_together, k, int(d))))[:most]

    @functools.cached_property
    def _words(self) -> list[str]:
        return sorted({w for key in self._names for w in key.split()})


_GOT_READY = frozenset(
    [
        "beaten",
        "boned",
        "chilled",
        "chopped",
        "coarsely",
        "crumbled",
        "crushed",
        "cubed",
        "deseeded",
        "diced",
        "drained",
        "finely",
        "fresh",
        "freshly",
        "grated",
        "halved",
        "hulled",
        "julienned",
        "large",
        "medium",
        "melted",
        "minced",
        "mashed",
        "peeled",
        "picked",
        "pitted",
        "quartered",
        "rinsed",
        "ripe",
        "roughly",
        "shelled",
        "shredded",
        "sifted",
        "skinned",
        "sliced",
        "small",
        "softened",
        "stoned",
        "thickly",
        "thinly",
        "toasted",
        "torn",
        "trimmed",
        "washed",
        "whisked",
    ]
)


def _by_name(foods: Iterable[Food]) -> dict[str, Food]:
    """Under every name and synonym; a name goes before another food's synonym."""
    foods = tuple(foods)
    return {fold(word): f for f in foods for word in f.synonyms} | {fold(f.name): f for f in foods}
