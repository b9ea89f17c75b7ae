"""What a step's words do between two additions: *add the onion, fry until soft, then add the garlic*."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.english.leading_words import (
    MEANWHILE,
    TAKES_TIME,
    Names,
    Parted,
    goes_on,
    only_adds,
    placed,
    sentence_of,
    waited_for,
)
from scriptkit.english.methods import HOT
from scriptkit.patterns import LazyPattern

_THEN = LazyPattern(r"\bthen\b|[.;]")


def named_only_after(act: str, names: Names, clauses: Sequence[tuple[str, str]]) -> bool:
    """Whether the clauses, each with its method, name it, and only after the first of that method.

    >>> clauses = [("blend the soup", "blend"), ("stir in the cream", "mix")]
    >>> named_only_after("blend", lambda text: "cream" in text, clauses), named_only_after("blend", lambda text: "soup" in text, clauses)
    (True, False)
    """
    at = next((n for n, (_, method) in enumerate(clauses) if method == act), None)
    first = next((n for n, (text, _) in enumerate(clauses) if names(text)), None)
    return at is not None and first is not None and first > at


def acts_between(
    words: str, clauses: Sequence[tuple[str, str]], foods: Sequence[Names], *, wait_ms: int
) -> dict[int, Parted]:
    """After which addition, counted from 0, something is cooked before the next one goes in: that, and the rest of the words, each as
    a sentence. ``foods``: in the order in which they go in; ``clauses``: of the words, each with its method; ``wait_ms``: how long the
    food goes on by itself.

    >>> onion, garlic = (lambda text: "onion" in text), (lambda text: "garlic" in text)
    >>> words = "Add the onion, fry until soft, then add the garlic."
    >>> acts_between(words, [("Add the onion", ""), ("fry until soft", "fry"), ("add the garlic", "mix")], [onion, garlic], wait_ms=0)
    {0: Parted(first='Fry until soft.', rest='Add the garlic.', adds=True, waited=False, once=False)}
    """
    parts = placed(words, clauses)
    named = [next((n for n, (_, part, _) in enumerate(parts) if names(part)), None) for names in foods]
    found: dict[int, Parted] = {}
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
        if not hot:
            continue
        first = min(hot[0], max(before) + 1)  # *cover and sweat*
        act, rest = words[parts[first][0] : cut], parts[then:]
        waited = waited_for(act, rest, foods, wait_ms)
        if wait_ms and not waited and not any(method in HOT for _, _, method in rest):
            continue  # whose the wait is, is not told
        told = hot[0] > max(before) or TAKES_TIME.search(act) or _THEN.search(act)
        if told:
            adds = only_adds(rest, foods)
            found[k] = Parted(first=sentence_of(act), rest=sentence_of(words[cut:]), adds=adds, waited=waited)
    return found
