"""Text made harmless for any caption file and its readers."""

from __future__ import annotations

import re

_HARMLESS = str.maketrans({"<": "‹", ">": "›", "{": "(", "}": ")", "\\": "/"})
JOINERS = frozenset("\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}")
"""Invisible, and part of how words of Persian, Hindi and others are written, and of emoji."""
_CLOCK = re.compile(r"(?<=\d):(?=\d{1,2}:\d{1,2}[.,]\d)")
"""In a time with fractions of a second; two of those in a line are a cue's times to some readers, arrow or none."""


def clean(text: str) -> str:
    """Safe in any caption file: one line, no markup, no arrow that a reader could take for a time, no backslash that one
    could take for a line end, nothing invisible but what joins letters or keeps them apart."""
    text = text.replace("-->", "→").translate(_HARMLESS)
    if not text.isprintable():
        text = "".join(c if c.isprintable() or c in JOINERS else " " for c in text)
    text = _CLOCK.sub("∶", text)
    return re.sub(r"\s+", " ", text).strip()
