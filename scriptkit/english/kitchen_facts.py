"""What a sentence says of the things that can hurt: which of the facts of kitchen_facts*.yaml it tells. Words choose among facts; what follows from them is no matter of the language."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.data_files import Shape, made_of_entries
from scriptkit.english.negation import affirmed, less_unused
from scriptkit.patterns import LazyPattern


@dataclass(frozen=True, slots=True)
class KitchenFact:
    """A fact by its ``name``, and the pattern of the words that tell it. ``denied_too``: also where the sentence says that something is
    not done (*without washing the board*)."""

    name: str
    pattern: LazyPattern
    denied_too: bool


FILES = ("kitchen_facts.yaml", "kitchen_facts_near.yaml")
_CLASS = re.compile(r"<([a-z]+(?:-[a-z]+)*)>")


@functools.cache
def kitchen_facts() -> dict[str, KitchenFact]:
    """Every fact of the tables, by name. Raises BadDataFile."""
    shape = Shape(required=frozenset({"fact", "words"}), optional=frozenset({"denied_too"}))
    return {one.name: one for name in FILES for one in made_of_entries("scriptkit.english", name, shape, _fact)}


@functools.cache
def word_classes() -> dict[str, str]:
    """The words of each class of kitchen_classes.yaml, as one pattern. Raises BadDataFile."""
    shape = Shape(required=frozenset({"class", "words"}))
    known: dict[str, str] = {}

    def add(row: dict[str, Any]) -> None:
        known[row["class"]] = _with_classes(row["words"], known)

    made_of_entries("scriptkit.english", "kitchen_classes.yaml", shape, add)
    return known


def _with_classes(words: str | list[str], classes: Mapping[str, str]) -> str:
    """The alternatives as one pattern, each `<class>` in it replaced by its words. Raises KeyError where there is no such class."""
    pattern = "|".join(words) if isinstance(words, list) else words
    return f"(?:{_CLASS.sub(lambda found: classes[found[1]], pattern)})"


def _fact(row: dict[str, Any]) -> KitchenFact:
    pattern = LazyPattern(_with_classes(row["words"], word_classes()), re.IGNORECASE)
    return KitchenFact(row["fact"], pattern, bool(row.get("denied_too")))


@functools.lru_cache(maxsize=65_536)
def tells(sentence: str, fact: str) -> bool:
    """Whether the sentence tells the fact, less what it says is not done. Raises KeyError where there is no such fact.

    >>> tells("Lift the lid and lean in.", "opens"), tells("Do not lift the lid.", "opens")
    (True, False)
    """
    known = kitchen_facts()[fact]
    return known.pattern.search(sentence if known.denied_too else affirmed(less_unused(sentence))) is not None


@functools.lru_cache(maxsize=65_536)
def names_fact(name: str, fact: str) -> bool:
    """Whether a food's name tells the fact; a name denies nothing. Raises KeyError where there is no such fact.

    >>> names_fact("raw milk", "raw-milk"), names_fact("milk", "raw-milk")
    (True, False)
    """
    return kitchen_facts()[fact].pattern.search(name) is not None


def last_told(sentence: str, facts: Sequence[str]) -> str:
    """Of several facts the one that the sentence tells last; empty where it tells none. Raises KeyError where there is no such fact.

    >>> last_told("Soak the chips, then pat them dry.", ("wets", "dries")), last_told("Fry them.", ("wets", "dries"))
    ('dries', '')
    """
    told = affirmed(sentence)
    found = [(hit.start(), fact) for fact in facts for hit in kitchen_facts()[fact].pattern.finditer(told)]
    return max(found, default=(0, ""))[1]


_HANDLED_RAW = LazyPattern(r"\b(?:put|lay|place|keep|store|set|return|leave)\w* (?:the |your )?raw\b", re.IGNORECASE)


def less_handled_raw(text: str) -> str:
    """The text less what only handles something raw: *keep the raw fish cold* serves nothing raw.

    >>> less_handled_raw("Put the raw fish in the pan.")
    ' fish in the pan.'
    """
    return _HANDLED_RAW.sub("", text)


_WASHES_UP = LazyPattern(
    r"\b(?:wash|rins|scrub|clean|wip|dr)(?:y|ies|ied|es|e|s|ed|ing)?\b (?:up|(?:your|my|both|all|his|her|the) (?:\w+ )?(?:hands|boards?|knife|knives|sink|pans?|pots?|bowls?|tongs|plates?|worktop|counter))\b[^.;,]{0,40}",
    re.IGNORECASE,
)


def less_washing_up(text: str) -> str:
    """The text less what washes hands and gear: *wash your hands in warm water* wets no food.

    >>> less_washing_up("Wash your hands in warm water, then fry the chips.")
    ', then fry the chips.'
    """
    return _WASHES_UP.sub("", text)


_COLOURED_GEAR = LazyPattern(
    r"\b(?P<colour>red|blue|green|yellow|white|brown|black|purple|orange|grey) (?:[\w-]+ )?(?:boards?|kni(?:fe|ves)|tongs)\b",
    re.IGNORECASE,
)


def colours_of_gear(sentence: str) -> frozenset[str]:
    """By which colours the sentence tells its boards and knives apart.

    >>> sorted(colours_of_gear("Slice it on the red board, with the blue knife.")), colours_of_gear("Slice it on the big board.")
    (['blue', 'red'], frozenset())
    """
    return frozenset(found["colour"].casefold() for found in _COLOURED_GEAR.finditer(affirmed(sentence)))


_RINSED = LazyPattern(
    r"\b(?:wash|rins)(?:e|es|ed|ing)?\b(?! (?:your|my|both|all|his|her|the) (?:hands|board|knife|knives|sink|boards))(?P<what>[^.;,]{0,30})",
    re.IGNORECASE,
)
_ITSELF = LazyPattern(
    r"^\W*(?:$|(?:off |out |well |over )*(?:under|in|with|inside|and|then)\b)|\b(?:it|them|bird|pieces|meat|cavity|skin)\b",
    re.IGNORECASE,
)


def rinsed(sentence: str) -> tuple[str, ...]:
    """What the sentence rinses, in its words; empty where nothing else is named than what the step is about.

    >>> rinsed("Rinse the rice, then wash it."), rinsed("Rinse the chicken."), rinsed("Do not rinse it.")
    ((' the rice', ''), (' the chicken',), ())
    """
    found = (one["what"] for one in _RINSED.finditer(affirmed(sentence)))
    return tuple("" if _ITSELF.search(what) else what for what in found)
