"""What platforms take: figures of common practice, no source."""

from __future__ import annotations

LONGEST_DESCRIPTION = 5_000
"""Of a description. Some platforms count characters, some the bytes of UTF-8; what has so few bytes has no more characters."""
FEWEST_CHAPTERS = 3
SHORTEST_CHAPTER_MS = 10_000

_NOT_TAKEN = str.maketrans({"<": "‹", ">": "›"})
"""A description that holds one of these is refused whole."""


def length_of(text: str) -> int:
    """As the strictest platform counts it: bytes of UTF-8."""
    return len(text.encode("utf-8", errors="replace"))


def platform_safe(text: str) -> str:
    """One line of plain text that every platform takes: no angle brackets, nothing that is not seen.

    >>> platform_safe("salt <b>\\n1:00 pepper")
    'salt ‹b› 1:00 pepper'
    """
    shown = text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)
    return " ".join(shown.translate(_NOT_TAKEN).split())
