"""Which food a name means that several go by: the words of how it is got ready, its measure or what stands beside it say so; where none
does, the one that the trade takes (`else:`), and says so."""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from scriptkit.data_files import rows_of
from scriptkit.pantry.food import Food
from scriptkit.pantry.names import fold, words_of

# Only a fresh herb or root is chopped or comes by the bunch; a dried one is rubbed.
_FRESH = frozenset({
    "chopped", "chop", "torn", "snipped", "shredded", "picked", "leaf", "fresh", "bunch", "sprig", "handful", "stalk", "stem", "sliced",
    "grated", "peeled", "minced", "julienned", "thumb", "knob", "head",
})  # fmt: skip
_DRIED = frozenset({"dried", "dry", "crumbled", "rubbed"})
SEASONED = "to taste"
"""In the place of a unit: no amount, as much as tastes."""
_OF_SPOONS = ("ground", "grated", "shredded")
"""Forms that a spoon or cup of a food may be another row in than the whole food."""


@dataclass(frozen=True, slots=True)
class Meant:
    """The food, and why it is taken for that where the name alone says another or none; empty where the words name it."""

    food: Food
    because: str = ""


@functools.cache
def _table() -> dict[tuple[str, str], str]:
    rows = rows_of("scriptkit.pantry", "food_forms.csv", ("name", "when", "food"))
    return {(fold(name), when): food for name, when, food in rows}


def forms_of(name: str) -> dict[str, str]:
    """What the table says of the name: ``beside:salt`` → the food's kitchen name."""
    key = fold(name)
    return {when: food for (of, when), food in _table().items() if of == key}


def meant_by(
    known: Callable[[str], Food | None], name: str, prep: str, unit: str, by_volume: bool, beside: Collection[str]
) -> Meant | None:
    """The food that the name means with these words of ``prep``, this ``unit`` and these names ``beside`` it (folded); None
    where that stays open. ``known`` finds a food by its exact name."""
    forms = forms_of(name)
    for when, food in forms.items():
        kind, _, word = when.partition(":")
        if kind == "else":
            continue
        said = fold(word) in beside if kind == "beside" else word == unit if kind == "unit" else _says(prep, word)
        if said and (found := known(food)) is not None:
            why = f"beside {word}" if kind == "beside" else _measured(unit) if kind == "unit" else ""
            return Meant(found, why)
    plain = known(name)
    if plain is not None:
        words = [w for w in words_of(prep) if w in _OF_SPOONS] if by_volume else []
        other = next((f for w in words if (f := known(f"{name} {w}")) is not None), None)
        return Meant(plain) if other is None or other.name == plain.name else Meant(other, f"{prep} by the spoon")
    named = next((f for words in _phrases(prep) if (f := known(f"{name} {words}")) is not None), None)
    usual = known(forms["else:"]) if named is None and "else:" in forms else None
    if usual is not None:
        return Meant(usual, "where nothing says which")
    return Meant(named) if named is not None else _fresh_or_dried(known, name, {*words_of(prep), unit})


def _measured(unit: str) -> str:
    return unit if unit == SEASONED else f"by the {unit}"


def _says(prep: str, words: str) -> bool:
    return set(words_of(words)) <= set(words_of(prep))


def _phrases(prep: str) -> Iterator[str]:
    """All of it, each part between commas, then each word."""
    yield from dict.fromkeys([prep, *(part.strip() for part in prep.split(",")), *words_of(prep)])


def _fresh_or_dried(known: Callable[[str], Food | None], name: str, words: Collection[str]) -> Meant | None:
    fresh, dried = known(f"{name} fresh"), known(f"{name} dried") or known(f"{name} ground")
    if fresh is None or dried is None:
        return None
    if not _DRIED.isdisjoint(words):
        return Meant(dried)
    return None if _FRESH.isdisjoint(words) else Meant(fresh)
