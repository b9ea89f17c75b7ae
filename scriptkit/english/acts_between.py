"""What a step's words do between two additions: *add the onion, fry until soft, then add the garlic*."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scriptkit.english.leading_words import MEANWHILE, Names, goes_on, placed, sentence_of
from scriptkit.english.methods import HOT
from scriptkit.patterns import LazyPattern

_TAKES_TIME = LazyPattern(r"\buntil\b|\btill\b|\b(?:minutes?|mins?|seconds?|secs?)\b", re.IGNORECASE)
_THEN = LazyPattern(r"\bthen\b|[.;]")


def acts_between(
    words: str, clauses: Sequence[tuple[str, str]], foods: Sequence[Names], *, waits: bool
) -> dict[int, tuple[str, str]]:
    """After which addition, counted from 0, something is cooked before the next one goes in: that, and the rest of the words, each as
    a sentence. ``foods``: in the order in which they go in; ``clauses``: of the words, each with its method; ``waits``: the food goes on
    by itself afterwards.

    >>> onion, garlic = (lambda text: "onion" in text), (lambda text: "garlic" in text)
    >>> words = "Add the onion, fry until soft, then add the garlic."
    >>> acts_between(words, [("Add the onion", ""), ("fry until soft", "fry"), ("add the garlic", "mix")], [onion, garlic], waits=False)
    {0: ('Fry until soft.', 'Add the garlic.')}
    """
    parts = placed(words, clauses)
    named = [next((n for n, (_, part, _) in enumerate(parts) if names(part)), None) for names in foods]
    found: dict[int, tuple[str, str]] = {}
    for k in range(len(foods) - 1):
        before = [n for n in named[: k + 1] if n is not None]
        after = [n for n in named[k + 1 :] if n is not None]
        if not before or not after or named[k + 1] is None or max(before) >= min(after):
            continue
        last, then = max(before), min(after)
        while last and goes_on(parts[last][1], foods):  # of a list the clause that it begins with
            last -= 1
        cut = parts[then][0]
        if goes_on(parts[then][1], foods) or MEANWHILE.search(words[:cut]):
            continue
        hot = [n for n in range(last, then) if parts[n][2] in HOT]
        if not hot or (waits and not any(method in HOT for _, _, method in parts[then:])):
            continue  # else the wait is of what comes before the addition, and what goes in is not cooked by itself
        act = words[parts[hot[0]][0] : cut]
        told = hot[0] > max(before) or _TAKES_TIME.search(act) or _THEN.search(act)
        if told:
            found[k] = (sentence_of(act), sentence_of(words[cut:]))
    return found
