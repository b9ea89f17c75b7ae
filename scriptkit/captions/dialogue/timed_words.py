"""The words of a transcript, each with its time."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from dataclasses import dataclass

from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.measure.words import spoken_words

_LETTERLESS = re.compile(r"[^\w]+")
_PAUSE_AFTER = re.compile(r"[,.;:!?…–—]$")
_ONSET, _PAUSE = 2, 3
"""What a word, and a pause at a mark, takes beside its letters, in letters (our own figures)."""
_SLOWEST_LETTER_MS = 150


@dataclass(frozen=True, slots=True)
class TimedWord:
    """A word as it is written, marks and all, from when to when it is said, in milliseconds; ``line``: of the file, from 1."""

    text: str
    start_ms: int
    end_ms: int
    line: int


def timed_words(lines: Iterable[SpokenLine]) -> list[TimedWord]:
    """Every word of the lines. Within a line, or from one moment that it tells to the next, the time is shared out by how much there is to
    say."""
    return [word for line in lines for part in _between_moments(line) for word in _words_of(part)]


def _between_moments(line: SpokenLine) -> list[SpokenLine]:
    """The line parted at its moments; none of its parts lasts longer than its words can take."""
    if not line.moments:
        return [line]
    words = line.text.split()
    starts = [(0, line.start_ms)] * (line.moments[0][0] > 0) + list(line.moments)
    parts = []
    for (first, start), (last, end) in itertools.pairwise([*starts, (len(words), line.end_ms)]):
        text = " ".join(words[first:last])
        if text:
            until = min(end, start + _SLOWEST_LETTER_MS * sum(_length(w) for w in pieces_of(text)))
            parts.append(SpokenLine(start, max(until, start + 1), text, line.line))
    return parts


def _words_of(line: SpokenLine) -> list[TimedWord]:
    texts = pieces_of(line.text)
    shares = [_length(text) for text in texts]
    whole = sum(shares)
    if texts and _PAUSE_AFTER.search(texts[-1]):
        whole -= _PAUSE  # the line ends with its last word
    now, words = 0, []
    span = line.end_ms - line.start_ms
    for text, share in zip(texts, shares, strict=True):
        pause = _PAUSE if _PAUSE_AFTER.search(text) else 0
        start, end = now, now + share - pause
        words.append(
            TimedWord(text, line.start_ms + span * start // whole, line.start_ms + span * end // whole, line.line)
        )
        now += share
    return words


def pieces_of(text: str) -> list[str]:
    """The words of a text with their marks; a mark that stands alone goes with the word before it.

    >>> pieces_of("Soft – and glossy, no colour.")
    ['Soft –', 'and', 'glossy,', 'no', 'colour.']
    """
    words: list[str] = []
    for piece in text.split():
        if words and _LETTERLESS.fullmatch(piece):
            words[-1] += f" {piece}"
        else:
            words.append(piece)
    return words


def keys_of(text: str) -> tuple[str, ...]:
    """How a word is compared: as it is spoken, folded, parted at hyphens; never empty.

    >>> keys_of("Ninety-three,"), keys_of("320"), keys_of("don’t")
    (('ninety', 'three'), ('three', 'hundred', 'and', 'twenty'), ("don't",))
    """
    return tuple(_UNITS.get(w, w) for w in folded(text)) or (text.casefold(),)


def folded(text: str) -> list[str]:
    """The words of a text as they are spoken, in lower case, parted at hyphens."""
    return [w for word in spoken_words(text) for w in word.casefold().replace("’", "'").split("-") if w]


_UNITS = {"g": "grams", "kg": "kilos", "ml": "millilitres", "l": "litres", "tbsp": "tablespoons", "tsp": "teaspoons", "min": "minutes"}  # fmt: skip
"""Units as recognisers shorten them, and as they are spoken."""


def _length(text: str) -> int:
    letters = sum(len(k) for k in keys_of(text))
    return _ONSET + letters + (_PAUSE if _PAUSE_AFTER.search(text) else 0)


_MARKS = re.compile(r"[^\w\s]*(?:\s[^\w\s]+)*$")


def marks_of(text: str) -> str:
    """What stands after the last letter of a word.

    >>> marks_of("glossy,"), marks_of("Soft –"), marks_of("no")
    (',', ' –', '')
    """
    found = _MARKS.search(text)
    return found.group() if found else ""


def ends_sentence(text: str) -> bool:
    """Whether a sentence ends with this word."""
    return text.rstrip('"”’)]').endswith((".", "!", "?", "…"))
