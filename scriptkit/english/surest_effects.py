"""Of what phrases and clauses say of one name in one breath, what counts: the surest, and what is missed and goes in after all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.english.effect_kinds import (
    GOES_IN,
    GOES_IN_NOW,
    INSTEAD,
    LATER,
    LEFT_OUT,
    LESS,
    MORE,
    UNFILMED,
    SpokenEffect,
)
from scriptkit.english.effect_phrases import RANK
from scriptkit.english.stems import NUMBERS
from scriptkit.patterns import SoughtPattern

REACH = 14
"""Words before and after a phrase in which its ingredient may be named."""
_GONE_IN_WITH = SoughtPattern(
    r"\b(?:gone|been|go|went|come|put|added|stirred)(?: \w+){0,2} (?:with|before|after|when|alongside)(?: \w+){0,3}$"
)
_PARTS = frozenset({"half", "quarter", "third", "hundred"})


def tells_it(phrase: SpokenEffect, clause: SpokenEffect) -> bool:
    """Whether a phrase tells already what becomes of what a clause is about, so that the clause need not be read."""
    if phrase.effect in (GOES_IN, GOES_IN_NOW) or max(phrase.first - clause.last, clause.first - phrase.last) > REACH:
        return False
    same = phrase.effect == clause.effect
    if clause.effect in (INSTEAD, LATER) and phrase.effect == LEFT_OUT:
        return False
    return (bool(set(phrase.names) & set(clause.names)) or same) and not (
        same and set(phrase.names) < set(clause.names)
    )


def surest(said: Sequence[SpokenEffect], words: Sequence[str]) -> Iterator[SpokenEffect]:
    """Of those that tell of one name in one breath, the one of the highest rank, in order; that it was not filmed stands beside
    others, and what was left out may go in after that."""
    found = sorted(said, key=lambda e: (e.first, RANK.index(e.effect)))
    told: dict[tuple[str, tuple[int, ...]], list[SpokenEffect]] = {}
    of_name: dict[int, list[SpokenEffect]] = {}
    for one in found:
        for name in set(one.names):
            of_name.setdefault(name, []).append(one)
    for one in found:
        alike = told.setdefault((one.effect, one.names), [])
        if any(one.first <= other.last + 2 and other.first <= one.last + 2 for other in alike):
            continue
        alike.append(one)
        if not one.names and one.effect == UNFILMED:
            yield one
            continue
        names = tuple(
            name
            for name in one.names
            if not any(
                other is not one
                and abs(other.first - one.first) <= REACH
                and RANK.index(other.effect) < RANK.index(one.effect)
                and not (one.effect == UNFILMED and other.effect in (MORE, LESS))
                and not _is_made_up_for(words, one, other)
                for other in of_name[name]
            )
        )
        if names:
            yield SpokenEffect(one.effect, one.first, one.last, names, one.aside)


def _is_made_up_for(words: Sequence[str], now: SpokenEffect, gap: SpokenEffect) -> bool:
    """Whether what was left out goes in after that: *I forgot the parsley, so that's going in now*."""
    said = words[now.first : now.last + 2]
    later = now.effect == GOES_IN_NOW and gap.effect == LEFT_OUT and gap.last < now.first
    return later and "now" in said and "not" not in said


def is_company(words: Sequence[str], at: int) -> bool:
    """*It should have gone in with the onions*: whether the name at token ``at`` only tells when something else was to go in."""
    return _GONE_IN_WITH.search(" ".join(words[max(0, at - 9) : at])) is not None


def end_of_exchange(words: Sequence[str], first: int, last: int) -> int | None:
    """Where a phrase of an exchange ends that another addition follows with its figure, or as it is written, *instead of the lemon juice,
    and two spoons of oil*, *and the salt as it says*; None where none does."""
    for n in range(first + 1, min(last + 3, len(words) - 2)):
        if words[n] == "and" and any(w.startswith("@") for w in words[first:n]):
            at = n + 2 if words[n + 1] in ("a", "an", "about", "the") else n + 1
            figure, as_written = words[at], words[at].startswith("@") and words[at + 1 : at + 2] == ["as"]
            if figure in NUMBERS or figure in _PARTS or figure[0].isdigit() or as_written:
                return min(last, n - 2 if words[n - 1] == "," else n - 1)
    return None
