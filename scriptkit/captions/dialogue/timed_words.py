"""The words of a transcript, each with its time."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Sequence
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
    pauses = [_PAUSE if _PAUSE_AFTER.search(text) else 0 for text in texts]
    pauses[-1:] = [0] * bool(texts)  # the line ends with its last word
    parts = [part for text, pause in zip(texts, pauses, strict=True) for part in (_letters(text), pause)]
    spans = shared_out(parts, line.start_ms, line.end_ms)[::2]
    return [TimedWord(text, start, end, line.line) for text, (start, end) in zip(texts, spans, strict=True)]


def shared_out(lengths: Sequence[int], start_ms: int, end_ms: int) -> list[tuple[int, int]]:
    """A stretch of time shared out by lengths, from when to when each lasts.

    >>> shared_out([1, 3], 0, 400)
    [(0, 100), (100, 400)]
    """
    ends = list(itertools.accumulate(lengths, initial=0))
    marks = [start_ms + (end_ms - start_ms) * n // max(1, ends[-1]) for n in ends]
    return list(itertools.pairwise(marks))


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
    return _letters(text) + (_PAUSE if _PAUSE_AFTER.search(text) else 0)


def _letters(text: str) -> int:
    return _ONSET + sum(len(k) for k in keys_of(text))


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
