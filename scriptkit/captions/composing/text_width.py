"""How wide a line is: in character columns, and rendered in a stated font; by grapheme, so that marks, conjuncts and the parts of
an emoji are counted as they are seen."""

from __future__ import annotations

import functools
import re
import unicodedata
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows

FONT = "DejaVu Sans"
"""The font of the table: free (Bitstream Vera licence; changes of DejaVu in the public domain), and on most systems. Captions
are set by the player in a font of its own, so this one, which is wider than most, stands for it."""
_SQUARE = 1000
"""An East Asian wide character fills the em square, whatever the font."""


_EMOJI_WIDTH = 1250
"""An emoji is wider than it is high: 1.17 to 1.28 em in the fonts that were measured."""
_ONE_EMOJI = "\ue000"
"""Stands for an emoji while a line is counted."""
_PICTURE = "(?:[\U0001f300-\U0001faff]|[\u00a9\u00ae\u203c-\u3299](?=\ufe0f))(?:\ufe0f|[\U0001f3fb-\U0001f3ff])?[\U000e0020-\U000e007f]*"
_EMOJI = re.compile(f"[\U0001f1e6-\U0001f1ff]{{2}}|[0-9#*]\ufe0f?\u20e3|{_PICTURE}(?:\u200d{_PICTURE})*")
"""Flags, keycaps, and pictures joined by zero width joiners (Unicode UTS #51)."""
_CONJUNCT = re.compile("([\u094d\u09cd\u0a4d\u0acd\u0b4d\u0c4d\u0ccd\u0d4d\u1039\u17d2]\u200d?)[^\\W\\d_]")
"""A consonant that a virama joins to the one before it (Unicode UAX #29, GB9c)."""


def columns(text: str) -> int:
    """Character columns: East Asian wide characters and emoji take two (Unicode UAX #11), marks on a letter, letters that are joined
    to the one before them and invisible ones none.

    >>> columns("Butter 28 g"), columns("魚のスープ"), columns("cre\u0300me"), columns("\U0001f469\u200d\U0001f373 8")
    (11, 10, 5, 4)
    """
    if text.isascii():
        return len(text)
    return sum(map(_columns_of, _counted(text)))


def graphemes(text: str) -> int:
    """What a reader takes for one character each: a letter with its marks, a conjunct, an emoji (Unicode UAX #29, nearly).

    >>> graphemes("Butter 28 g"), graphemes("魚のスープ"), graphemes("cre\u0300me")
    (11, 5, 5)
    """
    if text.isascii():
        return len(text)
    return sum(_columns_of(c) > 0 for c in _counted(text))


def _counted(text: str) -> str:
    return _CONJUNCT.sub(r"\1", _EMOJI.sub(_ONE_EMOJI, text))


@functools.cache
def _columns_of(c: str) -> int:
    if (
        unicodedata.category(c) in ("Mn", "Me", "Mc", "Cf") or "\u1160" <= c <= "\u11ff"
    ):  # the vowels and ends of Hangul
        return 0
    return 2 if is_wide(c) or c == _ONE_EMOJI else 1


@functools.cache
def is_wide(c: str) -> bool:
    """Whether the character is an East Asian wide or fullwidth one."""
    return unicodedata.east_asian_width(c) in "WF"


@functools.cache
def _advances() -> dict[str, int]:
    """Width in thousandths of an em by character (advance_widths.csv)."""
    rows = made_of_rows("scriptkit.captions.composing", "advance_widths.csv", ("width", "code_points"), _of_one_width)
    return {c: width for row in rows for c, width in row.items()}


def _of_one_width(width: str, code_points: str) -> dict[str, int]:
    runs = (run.partition("-") for run in code_points.split())
    return {chr(c): int(width) for first, _, last in runs for c in range(int(first, 16), int(last or first, 16) + 1)}


@dataclass(frozen=True, slots=True)
class _Script:
    """Code points from one to another, and how wide a letter of theirs is, and a mark that stands beside it, in thousandths of an
    em: a little over the median of the Noto Sans fonts of 2020."""

    first: int
    last: int
    letter: int
    mark: int


@functools.cache
def _scripts() -> tuple[_Script, ...]:
    columns_ = ("script", "first", "last", "letter", "mark")
    return tuple(made_of_rows("scriptkit.captions.composing", "script_widths.csv", columns_, _script))


def _script(script: str, first: str, last: str, letter: str, mark: str) -> _Script:
    assert script
    return _Script(int(first, 16), int(last, 16), int(letter), int(mark))


@functools.cache
def _advance(c: str) -> int:
    category = unicodedata.category(c)
    if category in ("Mn", "Me", "Cf"):
        return 0
    if c == _ONE_EMOJI:
        return _EMOJI_WIDTH
    known = _advances()
    if c in known:
        return known[c]
    if is_wide(c):
        return _SQUARE
    script = next((s for s in _scripts() if s.first <= ord(c) <= s.last), None)
    return _widest() if script is None else script.mark if category == "Mc" else script.letter


@functools.cache
def _widest() -> int:
    return max(_advances().values())


def thousandths(text: str) -> int:
    """The width of the text in :data:`FONT`, in thousandths of its size; kerning, which only narrows, is left out. A character
    that the table lacks is as wide as the letters of its script are; of a script that is not in the other table either, as the widest.

    >>> thousandths("il"), thousandths("MW")
    (556, 1852)
    """
    if text.isascii():
        whole, rest = _ascii()  # summed without a call for each letter
        letters = text.encode()
        return 256 * sum(letters.translate(whole)) + sum(letters.translate(rest))
    return sum(map(_advance, _EMOJI.sub(_ONE_EMOJI, text)))


def surely_within(text: str, ems: float) -> bool:
    """Whether a row of ASCII is surely no wider than so many times the font's size: told in half the time of its width, by quarters of it
    that are rounded up.

    >>> surely_within("il", 0.6), surely_within("MW", 1.8)
    (True, False)
    """
    return text.isprintable() and 4 * sum(text.encode().translate(_quarters())) <= ems * 1000


@functools.cache
def _quarters() -> bytes:
    return bytes(-(-_advance(chr(c)) // 4) if chr(c).isprintable() else 0 for c in range(128)).ljust(256, b"\0")


@functools.cache
def _ascii() -> tuple[bytes, bytes]:
    """How wide each character of ASCII is: its whole times 256 and the rest, as tables of `bytes.translate`."""
    widths = [divmod(_advance(chr(c)), 256) for c in range(128)]
    return bytes(w for w, _ in widths).ljust(256, b"\0"), bytes(r for _, r in widths).ljust(256, b"\0")
