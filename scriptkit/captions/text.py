"""Text of a cue: broken into balanced lines, and how long it takes to read."""

from __future__ import annotations

import itertools
import re

from scriptkit.timed_text.cleaning import clean

WIDEST = 42
"""Characters in a line: Netflix Timed Text Style Guide, general requirements."""
MOST_LINES = 2

GLUE = "\N{NO-BREAK SPACE}"
_UNIT = (
    r"(?:g|kg|mg|ml|cl|dl|l|oz|lb|fl|tbsp|tsp|cups?|kcal|°C|°F|min|s|h|mm|cm|sticks?|cloves?|medium|large|small|full)"
)
_AMOUNT = re.compile(
    rf"(?<=\d|[½⅓⅔¼¾⅛⅜⅝⅞]) (?={_UNIT}\b)|(?<=\d) (?=[½⅓⅔¼¾⅛⅜⅝⅞])|(?<=fl) (?=oz\b)|(?<=[=−+≥]) (?=\S)|(?<=:) (?=\d)"
)


def letters(text: str) -> int:
    """Letters and figures, the ones that are read."""
    return sum(c.isalnum() for c in text)


def readable_ms(text: str) -> int:
    """How long a title must stand to be read twice: 3 s for its first 10 letters, 1 s for each 5 more (an editors' rule
    of thumb).

    >>> readable_ms("Butter 30 g"), readable_ms("Blend it in 4 batches please")
    (3000, 5600)
    """
    return 3_000 + max(0, letters(text) - 10) * 200


def glue(text: str) -> str:
    """Amounts and their units, and signs and what they stand before, held together by no-break spaces, for breaking lines."""
    return _AMOUNT.sub(GLUE, text)


def fit(text: str, *, width: int = WIDEST, lines: int = MOST_LINES) -> tuple[str, ...] | None:
    """``text`` in as few lines as it needs, as even as they come, the upper one no longer where there is a choice; an
    amount stays with its unit. None where it does not fit.

    >>> fit("Carbs 16.1 g − fibre 4.8 g = net carbs 11.3 g a serving")
    ('Carbs 16.1 g − fibre 4.8 g', '= net carbs 11.3 g a serving')
    """
    words = glue(text).split(" ")
    for count in range(1, lines + 1):
        best: tuple[int, int, tuple[str, ...]] | None = None
        for cuts in itertools.combinations(range(1, len(words)), count - 1):
            ends = (0, *cuts, len(words))
            broken = tuple(" ".join(words[a:b]) for a, b in itertools.pairwise(ends))
            longest = max(len(line) for line in broken)
            if longest <= width:
                score = (longest, len(broken[0]), broken)
                best = min(best, score) if best else score
        if best:
            return tuple(line.replace(GLUE, " ") for line in best[2])
    return None


def broken_as_written(text: str, *, width: int = WIDEST, lines: int = MOST_LINES) -> tuple[str, ...] | None:
    """The lines that ``text`` is written in, cleaned, where there are two or more of them and they fit; else None."""
    written = tuple(clean(line) for line in text.splitlines())
    fits = 1 < len(written) <= lines and all(line and len(line) <= width for line in written)
    return written if fits else None
