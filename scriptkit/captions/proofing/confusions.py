"""The table of known confusions: what is heard, in the words that give it away, and what is meant (misheard.csv)."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows

_TELLING = 3
"""Letters: fewer stand in many words."""


@dataclass(frozen=True, slots=True)
class Confusion:
    """A row: ``own``, whether only where the recipe has what is meant; ``signs``: in every text that it fits stands one of them."""

    heard: re.Pattern[str]
    meant: str
    own: bool
    signs: tuple[str, ...]

    def may_fit(self, plain: str) -> bool:
        """Whether a text, folded, has one of its signs."""
        return any(sign in plain for sign in self.signs)


@functools.cache
def confusions() -> tuple[Confusion, ...]:
    """All rows. Raises BadDataFile."""
    return tuple(made_of_rows("scriptkit.captions.proofing", "misheard.csv", ("heard", "meant", "own"), _confusion))


def _confusion(heard: str, meant: str, own: str) -> Confusion:
    pattern = re.compile(rf"\b(?:{heard})(?!\w)")
    return Confusion(pattern, meant, {"yes": True, "": False}[own], signs_of(heard))


def folded(text: str) -> str:
    """The text in which the rows are looked for."""
    return text.casefold().replace("’", "'")


def rows_for(text: str) -> tuple[Confusion, ...]:
    """The rows that may fit somewhere in a text, in their order."""
    plain = folded(text)
    return tuple(one for one in confusions() if one.may_fit(plain))


def signs_of(pattern: str) -> tuple[str, ...]:
    """Letters of which one must stand in whatever the pattern fits: of all that must stand there what tells most. Raises ValueError
    where there is nothing that must.

    >>> signs_of("(?:fresh|dried) leaks?(?! in)"), signs_of("(?:plum|plumb) (?:pall?|pie)")
    ((' leak',), ('plum', 'plumb'))
    """
    ways = [_must(way) for way in _split(pattern)]
    if not all(ways):
        raise ValueError(f"nothing must stand in “{pattern}”")
    return tuple(sorted({sign for way in ways for sign in way}))


def _must(way: str) -> tuple[str, ...]:
    """Of a pattern without alternatives of its own: the best that must stand there, as letters or as the alternatives of a group."""
    best: tuple[str, ...] = ()
    for part in re.finditer(r"(\((?:[^()]|\((?:[^()]|\([^()]*\))*\))*\))([?*]?)|\\.[?*+]?|((?:[\w' -](?![?*]))+)", way):
        group, optional, letters = part.groups()
        found: tuple[str, ...] = ()
        if letters:
            found = (letters,)
        elif group and not optional and group.startswith("(?:"):
            inner = [_must(one) for one in _split(group[3:-1])]
            found = tuple(sign for one in inner for sign in one) if all(inner) else ()
        best = max(best, found, key=_how_telling)
    return best


def _how_telling(signs: tuple[str, ...]) -> tuple[int, int]:
    return min((len(sign.strip()) for sign in signs), default=0) // _TELLING, -len(signs)


def _split(pattern: str) -> list[str]:
    """The alternatives of a pattern, those within its groups left whole."""
    depth, ways = 0, [""]
    for letter in pattern:
        depth += (letter == "(") - (letter == ")")
        if letter == "|" and not depth:
            ways.append("")
        else:
            ways[-1] += letter
    return ways
