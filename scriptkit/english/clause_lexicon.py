"""Verbs and nouns by what they do in a clause (clause_words.csv), in each of their forms."""

from __future__ import annotations

import functools
from typing import NamedTuple

from scriptkit.data_files import made_of_rows


def set_(words: str) -> frozenset[str]:
    """The words of a line."""
    return frozenset(words.split())


SELDOM = set_("put hit cut set spread let beat run come")
"""Their past is their base."""


def forms_of(verb: str) -> dict[str, str]:
    """Each form of a regular verb, and whether it is ``base``, ``s``, ``ing`` or ``ed``.

    >>> list(forms_of("skip"))
    ['skip', 'skips', 'skipping', 'skipped']
    """
    stem = verb
    if verb.endswith("e"):
        return {verb: "base", verb + "s": "s", verb[:-1] + "ing": "ing", verb + "d": "ed"}
    if verb[-1] == "y" and verb[-2] not in "aeiou":
        return {verb: "base", verb[:-1] + "ies": "s", verb + "ing": "ing", verb[:-1] + "ied": "ed"}
    if verb[-1] in "bgmnprt" and verb[-2] in "aeiou" and verb[-3:-2] not in "aeiou" and len(verb) < 6:
        stem = verb + verb[-1]
    s = verb + ("es" if verb.endswith(("s", "sh", "ch", "x", "z", "o")) else "s")
    return {verb: "base", s: "s", stem + "ing": "ing", stem + "ed": "ed"}


class Sense(NamedTuple):
    """A word as a verb (or noun) of a kind; ``after``: what follows it in its clause, empty for anything."""

    kind: str
    lemma: str
    form: str
    after: frozenset[str]


@functools.cache
def lexicon() -> dict[str, tuple[Sense, ...]]:
    """Every form → its senses. Raises BadDataFile."""
    rows = made_of_rows(
        "scriptkit.english", "clause_words.csv", ("kind", "with", "words"),
        lambda kind, after, words: (kind, frozenset(after.split()), tuple(words.split())),
    )  # fmt: skip
    irregular: dict[str, list[tuple[str, str]]] = {}
    for kind, _, words in rows:
        if kind == "irregular":
            irregular.setdefault(words[0], []).append((words[1], words[2]))
    found: dict[str, list[Sense]] = {}
    for kind, after, words in rows:
        if kind == "irregular":
            continue
        for word in words:
            forms = forms_of(word)
            if word in irregular:
                forms = {f: k for f, k in forms.items() if k != "ed"}
                for pair in irregular[word]:
                    forms |= {f: "ed" for f in pair if f not in forms or f in SELDOM}
            for form, which in forms.items():
                found.setdefault(form, []).append(Sense(kind, word, which, after))
    return {word: tuple(senses) for word, senses in found.items()}


def kinds_of(word: str) -> frozenset[str]:
    """The kinds that a word can be of; of none where it is not in the table."""
    return frozenset(sense.kind for sense in lexicon().get(word, ()))
