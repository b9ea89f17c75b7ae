"""What a sentence says becomes of a part of the food: poured off, strained, discarded, set aside."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.english.negation import affirmed
from scriptkit.english.stems import stem, words_in
from scriptkit.patterns import LazyPattern

POURED_OFF, STRAINED, DISCARDED, SET_ASIDE = "poured off", "strained", "discarded", "set aside"
HOWS = (POURED_OFF, STRAINED, DISCARDED, SET_ASIDE)

_THING = r"(?P<what>(?:(?:all|any|half|some|most|the|its|their|your|excess|surplus|a|an|of) )*[^\W\d_][\w'’-]*(?: (?!(?:and|then|from|into|in|on|onto|to|with|for|until|through|over|off|away|aside|out|well|as|but|while|when|if|before|after|at|back)\b)[\w'’-]+){0,4})"
_WASTE = (
    r"(?:(?:the|any|all) )?(?:\w+ ){0,2}?(?:bay lea(?:f|ves)|lea(?:f|ves)|stalks?|sprigs?|bones?|cinnamon stick|star anise|bouquet garni|pods?|peel|skins?|"
    r"stones?|shells?|pips)"
)
"""What is cooked with, and not eaten."""
_PATTERNS = tuple(
    (how, LazyPattern(pattern, re.IGNORECASE))
    for how, pattern in (
        (POURED_OFF, rf"\b(?:pour|tip|drain|spoon|skim|ladle|siphon) (?:off|away) {_THING}"),
        (POURED_OFF, rf"\b(?:pour|tip|drain|spoon|skim|ladle) {_THING} (?:off|away)\b"),
        (POURED_OFF, r"\b(?:drain|skim)(?:s|ed|ing)? (?P<what>(?:(?:the|any|excess|surplus|all|off) )+(?:\w+ )?(?:fat|oil|grease|water|liquid|juices?|brine|whey|scum|foam|froth))\b"),
        (STRAINED, rf"\b(?:strain|sieve|drain)(?:s|ed|ing)? (?!off\b|away\b|well\b|and\b|on\b|in\b|through\b){_THING}"),
        (STRAINED, rf"\b(?:pass|push|press|rub|put|pour) {_THING} through (?:a |the |your )?(?:\w+ )?(?:sieve|strainer|chinois|muslin|colander|mouli)\b"),
        (STRAINED, r"\b(?:strain|drain)(?:ed|s|ing)?(?P<what>)(?= (?:well|and|on|in|through)\b|[.,;]|$)"),
        (DISCARDED, rf"\b(?:discard|throw (?:away|out)|bin|compost|remove and discard|take out and discard)(?:s|ed|ing)? (?:away |out )?{_THING}"),
        (DISCARDED, r"\b(?:wipe|scrape|shake|brush|rinse|pat)(?:s|d|ed|ing)? (?:off|away) (?P<what>(?:(?:the|any|all|most|excess|of) )*(?:marinade|brine|cure|rub))\b"),
        (DISCARDED, r"\b(?:wipe|scrape|shake|brush|rinse|pat)(?:s|d|ed|ing)? (?P<what>(?:(?:the|any|all|most|excess|of) )*(?:marinade|brine|cure|rub)) (?:off|away)\b"),
        (DISCARDED, rf"\bfish out {_THING}"),
        (DISCARDED, rf"\b(?:lift|pick|take) out (?P<what>{_WASTE})\b"),
        (DISCARDED, rf"\b(?:fish|lift|pick|take) (?P<what>{_WASTE}) out\b"),
        (DISCARDED, rf"\bthrow {_THING} (?:away|out)\b"),
        (DISCARDED, r"\b(?:remove) (?P<what>(?:the |any )?(?:bay lea(?:f|ves)|thyme (?:stalks|sprigs?)|(?:herb )?(?:stalks|sprigs)|bouquet garni|cinnamon stick|star anise|bones?|pin bones|stones?|pips|seeds|shells?|rind|stringy bits))\b"),
        (SET_ASIDE, rf"\b(?:set|put|keep|leave|lay) (?:aside|to one side) {_THING}"),
        (SET_ASIDE, rf"\b(?:set|put|keep|leave|lay|push) {_THING} (?:aside|to one side)\b"),
        (SET_ASIDE, rf"\b(?:reserve|reserving|save|saving|keep back|hold back) {_THING}"),
        (SET_ASIDE, r"\b(?:set|put) (?:aside|to one side)(?P<what>)(?=[.,;]|$| (?:to|and|for|until|in|on|while|under)\b)"),
    )
)  # fmt: skip
_QUICK = LazyPattern(
    r"\b(?:pour|tip|drain|spoon|skim|ladle|siphon|strain|sieve|pass|push|press|rub|discard|throw|bin|compost|fish|lift|pick|take|remove|"
    r"set|put|keep|leave|lay|reserv|sav|hold|wip|scrap|shak|brush|rins|pat)",
    re.IGNORECASE,
)
_OF_A_LIQUID = frozenset("liquid soak soaking bath".split())  # noqa: SIM905
_PRONOUN = frozenset("it them this that everything".split())  # noqa: SIM905
_NOT_A_THING = LazyPattern(
    r"^(?:up|down|in|on|off|over|for|to|with|until|well|then|and|time|room|warm|covered|going|stirring)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Disposal:
    """``how`` is one of HOWS; ``what`` in the sentence's words, empty where it names nothing; ``words`` the whole phrase."""

    how: str
    what: str
    words: str

    @property
    def drains(self) -> bool:
        """Whether what stays is named, or nothing is: *drain the lamb*, and not *drain off the wine*."""
        return self.how == STRAINED and self.words.casefold().startswith("drain")

    @property
    def of_a_liquid(self) -> bool:
        """Whether it names what something lay in, and not by its own name: *the soaking liquid*."""
        return not _OF_A_LIQUID.isdisjoint(self.what.casefold().split())

    @property
    def of_a_part(self) -> bool:
        """Whether it names so much of something: *a cup of the water*, *half of it*."""
        return re.match(r"(?:a|an|some|half|most|one|two|three)\b", self.what, re.IGNORECASE) is not None

    def concerns(self, name: str) -> bool:
        """Whether a telling word of the ingredient's name is among what it names.

        >>> Disposal(DISCARDED, "the bay leaf", "").concerns("bay leaves"), Disposal(DISCARDED, "the fat", "").concerns("leek")
        (True, False)
        """
        here = {stem(w) for w in words_in(self.what)} - {"the"}
        return bool(here & {stem(w) for w in words_in(name)})


_DRAINED = LazyPattern(r"\b(?:drained|rinsed)\b", re.IGNORECASE)
_WITH_ALL = LazyPattern(r"\b(?:not|un)[- ]?(?:drained|rinsed)\b|\bdrained weight\b", re.IGNORECASE)


def is_drained(prep: str) -> bool:
    """Whether what is got ready so has lost its liquid.

    >>> is_drained("drained and rinsed"), is_drained("undrained"), is_drained("chopped")
    (True, False, False)
    """
    return _DRAINED.search(prep) is not None and _WITH_ALL.search(prep) is None


@functools.lru_cache(maxsize=4096)
def disposals_in(text: str) -> tuple[Disposal, ...]:
    """Everything that the text says is poured off, strained, discarded or set aside, in order; a stretch counts once.

    >>> [(d.how, d.what) for d in disposals_in("Discard the bay leaf. Drain the pasta and set aside a cup of the water.")]
    [('discarded', 'the bay leaf'), ('strained', 'the pasta'), ('set aside', 'a cup of the water')]
    """
    if not _QUICK.search(text):
        return ()
    told = affirmed(text)
    taken: list[tuple[int, int]] = []
    found: list[tuple[int, Disposal]] = []
    for how, pattern in _PATTERNS:
        for match in pattern.finditer(told):
            start, end = match.span()
            what = match["what"].strip()
            if _NOT_A_THING.match(what) or any(a < end and start < b for a, b in taken):
                continue
            taken.append((start, end))
            found.append((start, Disposal(how, "" if what.casefold() in _PRONOUN else what, text[start:end].strip())))
    return tuple(one for _, one in sorted(found, key=lambda pair: pair[0]))
