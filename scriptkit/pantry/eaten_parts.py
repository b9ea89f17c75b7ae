"""Of a whole fruit or egg, the part that goes in: its juice, its zest, both; its yolk or its white. One home for what each weighs."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows

_SAID = {
    "juice": (r"juice", r"juiced|squeezed"),
    "zest": (r"zests?|rind|peel only|only the peel|strips? of (?:the )?peel", r"zested"),
    "yolk": (r"yolks?", ""),
    "white": (r"whites?", ""),
}
"""Part → the words that name it, and those of getting it."""
_NOUNS, _VERBS = (
    {part: re.compile(rf"\b(?:{said[n]})\b", re.IGNORECASE) for part, said in _SAID.items() if said[n]} for n in (0, 1)
)
_ONLY = re.compile(r"\b(?:only (?:the )?(\w+)|(\w+) only)\b", re.IGNORECASE)
_MORE_OF_IT = re.compile(
    r"\b(?:(?:wedg|segment|flesh|pulp|whole|separat|apart|supr[eê]m|reserv|keep|kept|sav|discard)\w*|without|no|not|(?:with|in) (?:its|their)|own)\b",
    re.IGNORECASE,
)
"""Where these are said, more of it goes in than the part, or not the part: *segmented, juice kept*, *separated*."""
_CUT = re.compile(r"\b(?:slic|dic|chop|shred|preserv|ring)\w*", re.IGNORECASE)
"""Beside a word of getting it the fruit is cut, *juiced, then sliced*; beside the part's name the part: *zest, finely chopped*."""


@dataclass(frozen=True, slots=True)
class EatenPart:
    """``food``: the part's kitchen name; one whole of medium size has ``grams`` of it, between ``low_g`` and ``high_g``."""

    whole: str
    part: str
    food: str
    grams: float
    low_g: float
    high_g: float
    source: str


@functools.cache
def _table() -> dict[tuple[str, str], EatenPart]:
    columns = ("whole", "part", "food", "grams", "low", "high", "source")
    return {(p.whole, p.part): p for p in made_of_rows("scriptkit.pantry", "eaten_parts.csv", columns, _part)}


def _part(whole: str, part: str, food: str, grams: str, low: str, high: str, source: str) -> EatenPart:
    return EatenPart(whole, part, food, float(grams), float(low), float(high), source)


def wholes() -> tuple[str, ...]:
    """Kitchen names of the foods of which a part may be asked for."""
    return tuple(dict.fromkeys(whole for whole, _ in _table()))


def eaten_part(whole: str, part: str) -> EatenPart | None:
    """The part (*juice*, *zest*, *yolk*, *white*) of the food of this kitchen name; None where the table has none."""
    return _table().get((whole, part))


def parts_asked(whole: str, words: str) -> tuple[EatenPart, ...]:
    """Which parts of the whole its words of preparation ask for; empty where all of it goes in.

    >>> [p.food for p in parts_asked("lemon", "zested and juiced")], parts_asked("lemon", "juiced, then sliced")
    (['lemon juice', 'lemon zest'], ())
    """
    if only := _ONLY.search(words):
        words = only[0]
    nouns = [part for part, said in _NOUNS.items() if said.search(words)]
    verbs = [part for part, said in _VERBS.items() if said.search(words)]
    if _MORE_OF_IT.search(words) or (verbs and not nouns and _CUT.search(words)) or {"yolk", "white"} <= set(nouns):
        return ()
    return tuple(p for part in _SAID if part in nouns + verbs and (p := eaten_part(whole, part)) is not None)


def part_of(food: str) -> EatenPart | None:
    """The first whole that this food of the pantry is a part of: of lemon juice the lemon; None where it is of none."""
    return next((p for p in _table().values() if p.food == food), None)
