"""What is written on a slate: the letter of a scene's setup."""

from __future__ import annotations

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O are skipped: on a slate they read as 1 and 0 (US practice)


def setup_letter(number: int) -> str:
    """The letter of a scene's ``number``-th setup, from 1: A … H, J … N, P … Z, then AA.

    >>> [setup_letter(n) for n in (1, 8, 9, 13, 14, 24, 25)]
    ['A', 'H', 'J', 'N', 'P', 'Z', 'AA']
    """
    letters = ""
    while number > 0:
        number, rest = divmod(number - 1, len(_LETTERS))
        letters = _LETTERS[rest] + letters
    return letters
