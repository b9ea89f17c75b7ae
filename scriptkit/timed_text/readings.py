"""How a line of a file reads in each encoding that it may be written in: for a person to choose, the likeliest first."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

_MOST_LINES, _MOST_WORDS, _MOST_SHOWN, _MOST_TELLING = 40, 500, 5, 3
_BEFORE, _AFTER = 24, 60
"""Letters of a line that are shown before and after its first one beyond ASCII."""
_USUAL = ("cp1252", "mac_roman", "cp850", "cp1250", "iso8859_2", "cp1251", "koi8_r", "cp1253", "cp1254")
"""Of encodings that read a file alike, the one that people know."""
_LETTERS_SEEN = "½¼¾°º·×–—‘’“”…«»€£™®©¡¿œŒß"
"""Signs and ligatures that a caption has; any other sign beyond ASCII is rather a letter read wrongly."""
_INSIDE_WORDS = "’'‘·-‑–—/½¼¾°"
_LATIN_1_END = "\u0100"
_WORD_BEYOND = re.compile(r"\S*[^\x00-\x7f\s]\S*")
_RAW_WORD = re.compile(rb"[^\x00-\x20]*[\x80-\xff\x1b][^\x00-\x20]*")
_BEYOND = re.compile(rb"[^\n]*[\x80-\xff\x1b][^\n]*")


@dataclass(frozen=True, slots=True)
class LineReading:
    """``line``: one that tells, or a few, as this encoding (a codec's name) reads it; ``odd``: how much of it no one would write."""

    codec: str
    line: str
    odd: float


def readings(raw: bytes, likely: Sequence[str], others: Iterable[str]) -> list[LineReading]:
    """Each different way to read the file, shown by lines of it, the least odd first; of equals in the order of ``likely``. Encodings that
    read all of it alike are one, by the most usual name."""
    lines = [found.group().strip(b"\r") for found, _ in zip(_BEYOND.finditer(raw), range(_MOST_LINES), strict=False)]
    words = list(dict.fromkeys(_RAW_WORD.findall(raw)))[:_MOST_WORDS]
    found: dict[tuple[str, ...], tuple[float, int, str]] = {}
    for codec in dict.fromkeys([*_USUAL, *likely, *others]):
        try:
            read = tuple(word.decode(codec) for word in words)
            odd = sum(oddness(line.decode(codec)) for line in lines)
        except (UnicodeDecodeError, LookupError):
            continue
        rank = likely.index(codec) if codec in likely else len(likely)
        was = found.get(read, (odd, rank, codec))
        found[read] = (odd, min(rank, was[1]), was[2])
    best = sorted(found.values(), key=lambda way: way[:2])[:_MOST_SHOWN]
    shown = _telling(lines, [codec for _, _, codec in best])
    return [
        LineReading(codec, " … ".join(_around_first(line.decode(codec)) for line in shown), odd)
        for odd, _, codec in best
    ]


def _telling(lines: Sequence[bytes], codecs: Sequence[str]) -> list[bytes]:
    """A line, or a few, by which the readings can be told from one another: first of all the one that tells most apart."""
    chosen: list[bytes] = []
    for _ in range(_MOST_TELLING):
        told = len({tuple(_around_first(line.decode(c)) for line in chosen) for c in codecs})
        if told == len(codecs) or not lines:
            break
        best = max(
            lines,
            key=lambda line: len({tuple(_around_first(one.decode(c)) for one in (*chosen, line)) for c in codecs}),
        )
        if len({tuple(_around_first(one.decode(c)) for one in (*chosen, best)) for c in codecs}) == told:
            break
        chosen.append(best)
    return chosen or list(lines[:1])


def oddness(text: str) -> float:
    """How much of the text no one would write: capitals and signs inside words, words of two scripts.

    >>> oddness("crème fraîche") == 0 < oddness("crŽme fra”che") and oddness("сливки") == 0 < oddness("cr€me")
    True
    """
    return sum(sum(_of_word(word)) for word in _WORD_BEYOND.findall(text))


def _of_word(word: str) -> Iterator[float]:
    if len({_script(c) for c in word if c.isalpha()}) > 1:
        yield 2.0
    for n, letter in enumerate(word):
        if letter < "\x80":
            continue
        before, after = word[max(0, n - 1) : n], word[n + 1 : n + 2]
        if unicodedata.category(letter)[0] == "C":
            yield 3.0
        elif not letter.isalpha() and unicodedata.category(letter)[0] != "M":
            yield 0.0 if letter in _LETTERS_SEEN else 0.6
            if before.isalpha() and after.isalpha() and letter not in _INSIDE_WORDS:
                yield 1.0
        elif letter.isupper() and before.islower():
            yield 1.5
        elif letter.isascii() or letter < _LATIN_1_END or _script(letter) != "LATIN":
            yield 0.0
        else:
            yield 0.0 if letter in _LETTERS_SEEN else 0.1


def _script(letter: str) -> str:
    return unicodedata.name(letter, "?").split(" ")[0]


def _around_first(line: str) -> str:
    """So much of the line around its first letter beyond ASCII as one needs to judge it."""
    first = next((n for n, c in enumerate(line) if c > "\x7f"), 0)
    begins = line.rfind(" ", 0, max(0, first - _BEFORE)) + 1 if first > _BEFORE else 0
    ends = line.find(" ", first + _AFTER)
    return " ".join(line[begins : len(line) if ends < 0 else ends].split())
