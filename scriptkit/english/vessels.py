"""Vessels: which kind one is, whether food lies on it or in it, and which one a sentence names (vessels.csv)."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.data_files import rows_of
from scriptkit.english.stems import plain
from scriptkit.pattern_cache import kept_patterns

PLATE, BOWL, PAN, POT, OVEN_DISH, TIN, TRAY, RACK, BOARD, MACHINE = (
    "plate", "bowl", "pan", "pot", "oven dish", "tin", "tray", "rack", "board", "machine",
)  # fmt: skip
ON_THE_HOB = frozenset({PAN, POT})
_WHOLE_NAMES = frozenset({MACHINE, "air fryer", "slow cooker", "pressure cooker"})
_LIES_ON = frozenset({"plate", "tray", "board", "sheet", "rack", "platter", "table"})
_SEVERAL_BOWLS = re.compile(r"(?<!mixing )\bbowls$")


@dataclass(frozen=True, slots=True)
class Vessel:
    """A vessel by its ``name`` as written, and its ``kind`` (a row of vessels.csv; empty where it is of none). ``written``:
    under `vessel:`; else its name stands in the step's words. Without a name there is none."""

    name: str
    kind: str
    written: bool = True

    @property
    def key(self) -> str:
        """What tells a written vessel from the kitchen's others; empty for one that only the words name, as *the pan* may be any."""
        return self.name.casefold() if self.written else ""

    @property
    def serves(self) -> bool:
        """Whether food is eaten from it: plates, platters and soup bowls."""
        return self.kind == PLATE

    @property
    def where(self) -> str:
        """``in the pan``, ``on the plates``; ``in it`` where there is none."""
        if not self.name:
            return "in it"
        last = self.name.split()[-1] if self.kind not in _WHOLE_NAMES else self.name
        one = plain(last).removesuffix("s")
        lies_on = one in _LIES_ON or (one == "dish" and self.kind == PLATE)
        return f"{'on' if lies_on else 'in'} the {last}"


NO_VESSEL = Vessel("", "", written=False)


@functools.cache
def _kinds() -> tuple[tuple[str, tuple[str, ...]], ...]:
    rows = rows_of("scriptkit.english", "vessels.csv", ("kind", "words"))
    return tuple((kind, tuple(plain(word) for word in words.split(";"))) for kind, words in rows)


@functools.cache
def _kind_of_word() -> dict[str, str]:
    return {word: kind for kind, words in reversed(_kinds()) for word in words}


@functools.lru_cache(maxsize=1024)
def kind_of(name: str) -> str:
    """The kind of a vessel's name: the longest known words that it ends with, else that it holds; empty where none are known.

    >>> [kind_of(n) for n in ("heavy frying pan", "roasting pan", "warm plates", "2 mixing bowls", "pan with a lid", "hob")]
    ['pan', 'tin', 'plate', 'bowl', 'pan', '']
    """
    folded = " ".join(plain(name).replace(",", " ").split())
    if _SEVERAL_BOWLS.search(folded):
        return PLATE
    words = folded.split()
    known = _kind_of_word()
    for ends in (range(len(words), len(words) - 1, -1), range(len(words) - 1, 0, -1)):
        for end in ends:
            for start in range(max(0, end - 3), end):
                part = " ".join(words[start:end])
                for form in (part, part.removesuffix("es"), part.removesuffix("s")):
                    if form in known:
                        return known[form]
    return ""


def stands_in_for(one: str, other: str) -> bool:
    """Whether what is cooked in the one vessel can be cooked in the other: of the same kind, and saucepans apart from frying pans.

    >>> stands_in_for("stock pot", "small pot"), stands_in_for("soup pot", "heavy frying pan")
    (True, False)
    >>> stands_in_for("frying pan", "wide pan"), stands_in_for("small saucepan", "frying pan")
    (True, False)
    """
    sauce = ["sauce" in plain(name) for name in (one, other)]
    return kind_of(one) == kind_of(other) != "" and sauce[0] == sauce[1]


@functools.cache
def _named() -> re.Pattern[str]:
    """Vessels as sentences name them; a kind's own short words too, as *the pan*."""
    words = sorted(
        (w for kind, of in _kinds() if kind not in ("spoon", "sieve", "table", "jar", "tub") for w in of),
        key=len,
        reverse=True,
    )
    alternatives = "|".join(re.escape(w) for w in words)
    size = r"(?:(?:very|large|small|heavy|deep|medium|wide|shallow|clean|hot|warm|cold|dry|big|non-stick|lidded|heavy-based|ovenproof|\d+ ?cm) )*"
    return kept_patterns().compiled(
        rf"(?P<before>\b(?:in|into|on|onto|to|over|using|heat|warm|line|butter|grease|oil) (?:an? |the |your |its |another |\d+ |two |four )?)(?P<name>{size}(?:{alternatives})s?)\b"
    )


_NOT_A_VESSEL = re.compile(
    r"\b(?:to (?:the )?(?:table|side)|side dish|pan juices|cup of|glass of|box of|bag of|side of the)\b"
)


@functools.lru_cache(maxsize=4096)
def vessel_in(text: str) -> Vessel:
    """The vessel that the sentence names first, of which `vessel:` says nothing; NO_VESSEL where it names none.

    >>> vessel_in("Soften the leeks in a large frying pan.").name, vessel_in("Serve with a dish of olives.").name
    ('large frying pan', '')
    """
    folded = text.lower()
    if len(folded) != len(text):
        return NO_VESSEL
    for found in _named().finditer(folded):
        if _NOT_A_VESSEL.match(folded, found.start("name")) or folded.startswith(" of ", found.end()):
            continue
        name = " ".join(text[found.start("name") : found.end()].split())
        return Vessel(name, kind_of(name), written=False)
    return NO_VESSEL


def vessel_of(written: str, text: str) -> Vessel:
    """The written vessel, else the one that the words name."""
    return Vessel(written, kind_of(written)) if written else vessel_in(text)


_LITRES = re.compile(
    r"\b(?P<n>\d{1,2}(?:[.,]\d+)?)(?:[ -]?l|[ -](?:litres?|liters?|quarts?|qts?))\b[- ](?:\w+[- ]){0,2}?(?:pans?|saucepans?|pots?|stockpots?|casseroles?|cookers?|woks?|fryers?|dutch oven|jugs?|jars?)\b",
    re.IGNORECASE,
)


@functools.lru_cache(maxsize=4096)
def litres_in(text: str) -> float | None:
    """The size of the vessel that the text states, in litres (a quart counts as one); None where it states none.

    >>> litres_in("Pour the oil into a 3-litre pan."), litres_in("Add 2 litres of stock to the pan.")
    (3.0, None)
    """
    found = _LITRES.search(text)
    return float(found["n"].replace(",", ".")) if found else None
