"""What letters a text must hold for a regular expression to fit anywhere in it, so that most texts need not be searched."""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Iterator

Needs = tuple[tuple[str, ...], ...]
"""Of each group one at least stands in every text that fits."""
_FEW, _MOST = 24, 60
"""Alternatives of a group that is soon looked through, and of one that is where there is no smaller; of more it is cheaper to search
(measured)."""
_COMMON = frozenset({" ", "@", "a", "i"})
"""Nearly every text has them."""
_USUAL = frozenset("the that this these it i you we they is are was were in on of to for and with".split())  # noqa: SIM905
"""Words that most sentences have one of, so that they tell little, long as they are."""
_TOKENS = re.compile(
    r"(?P<run>[a-z ]{2,}(?![*?+{]))|(?P<look>\(\?<?[=!])|(?P<open>\((?:\?:|\?P<\w+>)?)|(?P<close>\))|(?P<or>\|)|(?P<many>(?:\*|\?|\{0?,\d*\}|\{0\})[?+]?)|(?P<some>(?:\+|\{\d+(?:,\d*)?\})[?+]?)"
    r"|(?P<gap>\\[a-zA-Z\d]|\[\^?\]?(?:\\.|[^\]])*\]|[.^$])|(?P<letter>\\?.)",
    re.DOTALL,
)


@functools.cache
def needs_of(pattern: str) -> Needs:
    """The two strictest groups that are found; none where any text may fit, or where the expression has what is not read here.

    >>> needs_of(r"not (?:yet|until)(?: now)?")
    (('not ',), ('yet', 'until'))
    """
    if "(?i" in pattern or "(?x" in pattern or "(?(" in pattern or "(?P=" in pattern:
        return ()
    found = [g for g in _alternatives(_Reader(pattern)) if len(g) <= _MOST and not _COMMON & set(g)]
    groups = [g for g in found if len(g) <= _FEW] or found
    strict = sorted(dict.fromkeys(groups), key=lambda g: (-_strictness(g), len(g)))[:2]
    return tuple(g for g in groups if g in strict)[:2]


def _strictness(group: tuple[str, ...]) -> int:
    """By the letters that are met most easily: how many they are, and less where they are of a usual word."""
    return min(0 if one in _COMMON else 1 if one.strip() in _USUAL else len(one) for one in group)


def may_fit(needs: Needs, text: str) -> bool:
    """Whether the text holds what is needed."""
    for group in needs:
        for letters in group:
            if letters in text:
                break
        else:
            return False
    return True


def places_of(letters: str, text: str) -> Iterator[int]:
    """Where the letters begin in the text, one after the other.

    >>> list(places_of("in", "in with the spinach"))
    [0, 14]
    """
    at = text.find(letters)
    while at >= 0:
        yield at
        at = text.find(letters, at + len(letters))


class _Reader:
    """The pieces of an expression, one after the other."""

    def __init__(self, pattern: str) -> None:
        self._pieces = [(m.lastgroup or "", m.group()) for m in _TOKENS.finditer(pattern)]
        self._at = 0

    def next(self) -> tuple[str, str]:
        """Kind and text of the next piece; at the end as where a bracket closes."""
        self._at += 1
        return self._pieces[self._at - 1] if self._at <= len(self._pieces) else ("close", "")

    def repeated(self) -> str:
        """How often the piece just read may stand: ``many`` (or not at all), ``some`` (once or more), or empty for once."""
        kind = self._pieces[self._at][0] if self._at < len(self._pieces) else ""
        if kind not in ("many", "some"):
            return ""
        self._at += 1
        return kind


def _alternatives(reader: _Reader) -> list[tuple[str, ...]]:
    """Up to the bracket that closes: the groups of a sequence, or for alternatives one group made of the strictest of each."""
    branches: list[list[tuple[str, ...]]] = []
    end = "or"
    while end == "or":
        groups, end = _sequence(reader)
        branches.append(groups)
    if len(branches) == 1:
        return branches[0]
    if not all(branches):
        return []
    best = (max(groups, key=lambda g: (_strictness(g), -len(g))) for groups in branches)
    return [tuple(dict.fromkeys(itertools.chain.from_iterable(best)))]


def _sequence(reader: _Reader) -> tuple[list[tuple[str, ...]], str]:
    found: list[tuple[str, ...]] = []
    run = ""
    while True:
        kind, text = reader.next()
        if kind == "run":
            run += text
            continue
        if kind == "letter":
            often = reader.repeated()
            run += "" if often == "many" else text[-1]
            if not often:
                continue
        if run:
            found.append((run,))
            run = ""
        if kind in ("close", "or"):
            return found, kind
        if kind in ("open", "look"):
            inner = _alternatives(reader)
            if kind == "open" and reader.repeated() != "many":
                found += inner
        elif kind == "gap":
            reader.repeated()
