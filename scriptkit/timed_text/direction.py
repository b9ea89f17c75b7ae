"""Text of both directions in one line: what is written from right to left kept apart, so that it turns nothing around it."""

from __future__ import annotations

import functools
import unicodedata

ISOLATE, ISOLATE_END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
LEFT_TO_RIGHT = "\N{LEFT-TO-RIGHT MARK}"
ISOLATES = frozenset("\N{LEFT-TO-RIGHT ISOLATE}\N{RIGHT-TO-LEFT ISOLATE}" + ISOLATE)

_BETWEEN = frozenset(",;()[]،؛")
"""Between two names: each is isolated for itself, else they would change places."""


@functools.cache
def _direction(c: str) -> str:
    kind = unicodedata.bidirectional(c)
    return "R" if kind in ("R", "AL") else "L" if kind == "L" else ""


def isolated(line: str) -> str:
    """The line with each stretch that is written from right to left isolated, where it stands among text written from left to
    right: else *28 g* after it would be shown as *g 28* (Unicode UAX #9, 2.4 and 6.3). The mark before it makes the line run
    from left to right in players that take its first letter's direction, isolated or not. A line of one direction stays.

    >>> isolated("Butter 28 g"), ascii(isolated("\N{HEBREW LETTER ALEF} 28 g"))
    ('Butter 28 g', "'\\\\u200e\\\\u2068\\\\u05d0\\\\u2069 28 g'")
    """
    if line.isascii():
        return line
    kinds = [_direction(c) for c in line]
    if "R" not in kinds or "L" not in kinds or ISOLATES & set(line):
        return line
    out: list[str] = []
    n = 0
    while n < len(line):
        if kinds[n] != "R":
            out.append(line[n])
            n += 1
            continue
        following = next((m for m in range(n, len(line)) if kinds[m] == "L" or line[m] in _BETWEEN), len(line))
        last = max(m for m in range(n, following) if kinds[m] == "R" or unicodedata.combining(line[m]))
        out.append(ISOLATE + line[n : last + 1] + ISOLATE_END)
        n = last + 1
    return LEFT_TO_RIGHT + "".join(out)


def closes_its_isolates(text: str) -> bool:
    """Whether every isolate that the text opens is closed in it, and none is closed that is not open."""
    depth = 0
    for c in text:
        depth += 1 if c in ISOLATES else -1 if c == ISOLATE_END else 0
        if depth < 0:
            return False
    return depth == 0
