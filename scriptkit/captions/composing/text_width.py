"""How wide a line is: in character columns, and rendered in a stated font."""

from __future__ import annotations

import functools
import unicodedata

from scriptkit.data_files import made_of_rows

FONT = "DejaVu Sans"
"""The font of the table: free (Bitstream Vera licence; changes of DejaVu in the public domain), and on most systems. Captions
are set by the player in a font of its own, so this one, which is wider than most, stands for it."""
_SQUARE = 1000
"""An East Asian wide character fills the em square, whatever the font."""


def columns(text: str) -> int:
    """Character columns: East Asian wide characters take two (Unicode UAX #11), marks on a letter and invisible ones none.

    >>> columns("Butter 28 g"), columns("魚のスープ"), columns("cre\u0300me")
    (11, 10, 5)
    """
    if text.isascii():
        return len(text)
    return sum(map(_columns_of, text))


@functools.cache
def _columns_of(c: str) -> int:
    if unicodedata.category(c) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if is_wide(c) else 1


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


@functools.cache
def _advance(c: str) -> int:
    if _columns_of(c) == 0:
        return 0
    known = _advances()
    return known[c] if c in known else _SQUARE if is_wide(c) else _widest()


@functools.cache
def _widest() -> int:
    return max(_advances().values())


def thousandths(text: str) -> int:
    """The width of the text in :data:`FONT`, in thousandths of its size; kerning, which only narrows, is left out. A character
    that the table lacks gets the widest of the table.

    >>> thousandths("il"), thousandths("MW")
    (556, 1852)
    """
    if text.isascii():
        return sum(map(_ascii().__getitem__, text.encode()))
    return sum(map(_advance, text))


@functools.cache
def _ascii() -> tuple[int, ...]:
    return tuple(_advance(chr(c)) for c in range(128))
