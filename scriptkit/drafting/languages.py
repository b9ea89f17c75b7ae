"""Recipes in other languages: which language it is, and its units; its foods are nobody's guess."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Mapping

from scriptkit.data_files import rows_of

_ENGLISH = frozenset({
    "the", "and", "with", "of", "to", "in", "a", "until", "for", "into", "on", "over", "or", "at", "from", "it", "is", "then", "add", "cup", "cups",
    "tbsp", "tsp", "teaspoon", "tablespoon", "teaspoons", "tablespoons", "chopped",
})  # fmt: skip
_LEAST = 3
"""So many small words of a language make it that one, where they are twice as many as the English ones (tried on pages, no source)."""
_MOST_WORDS = 3000
OTHER_LETTERS = "a language with letters of its own"
_LAST_LATIN = 0x24F
_SPOONS = re.compile(
    r"\b(?:c\.?|cuillères?|cuilleres?|cuill\.?)\s*(?:à|a)\s*\.?\s*(?P<which>s(?:oupe)?|c(?:afé|afe)?)\b\.?",
    re.IGNORECASE,
)
_OF_SOUP = re.compile(r"\bcolher(?:es)?\s+(?:\(?de\s+)?(?P<which>sopa|chá)\)?", re.IGNORECASE)
_AFTER = re.compile(r"^(?:de la |de l'|del |della |des |du |de |d'|di |da |do |dos |van )", re.IGNORECASE)
_NUMBER_UNIT = re.compile(r"^(?P<number>[\d.,/\s½⅓⅔¼¾⅛-]+)\s*(?P<unit>[^\W\d_]+)\.?\s+(?P<rest>.+)$")


@functools.cache
def _tables() -> dict[str, tuple[frozenset[str], dict[str, str]]]:
    """Language → its small words, and its units as we write them (languages.csv; from memory, no source)."""
    found = {}
    for language, words, units in rows_of("scriptkit.drafting", "languages.csv", ("language", "stopwords", "units")):
        found[language] = frozenset(words.split()), dict(u.split("=", 1) for u in units.split())
    return found


def language_of(texts: Iterable[str]) -> str:
    """The language that the texts are in, by their small words and units; empty of English and of what cannot be told.

    >>> language_of(["2 EL Butter", "1 Prise Salz", "Den Lauch in der Butter dünsten und mit Salz abschmecken."])
    'German'
    >>> language_of(["2 tbsp butter", "Fry the leeks in the butter."])
    ''
    """
    everything = " ".join(texts)
    letters = [c for c in everything if c.isalpha()]
    if letters and sum(not c.isascii() and ord(c) > _LAST_LATIN for c in letters) > len(letters) / 2:
        return OTHER_LETTERS
    words = re.findall(r"[^\W\d_]+", everything.casefold())[:_MOST_WORDS]
    english = sum(w in _ENGLISH for w in words)
    counts: Mapping[str, int] = {
        name: sum(w in small for w in words) + 2 * sum(w in units for w in words)
        for name, (small, units) in _tables().items()
    }
    best = max(counts, key=lambda name: counts[name])
    return best if counts[best] >= _LEAST and counts[best] > 2 * english else ""


def in_our_units(line: str, language: str) -> str:
    """The line with its unit as we write it, and without the *of* of its language.

    >>> in_our_units("2 EL Butter", "German"), in_our_units("1 c. à soupe de sel", "French"), in_our_units("3 leeks", "German")
    ('2 tbsp Butter', '1 tbsp sel', '3 leeks')
    """
    line = _SPOONS.sub(lambda m: "tbsp" if m["which"].casefold().startswith("s") else "tsp", line)
    line = _OF_SOUP.sub(lambda m: "tbsp" if m["which"].casefold() == "sopa" else "tsp", line)
    found = _NUMBER_UNIT.match(line)
    if not found:
        return line
    unit = _tables()[language][1].get(found["unit"].casefold()) if language in _tables() else None
    known = unit or (
        found["unit"] if found["unit"].casefold() in ("g", "kg", "ml", "cl", "dl", "l", "tbsp", "tsp") else ""
    )
    if not known:
        return line
    number = re.sub(r"(\d),(\d)", r"\1.\2", found["number"].strip())
    amount = number if known == "piece" else f"{number} {known}"
    return f"{amount} {_AFTER.sub('', found['rest'])}"
