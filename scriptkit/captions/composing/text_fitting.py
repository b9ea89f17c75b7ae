"""Text of a cue: broken into balanced lines where a line may end, and how long it takes to read twice."""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Callable

from scriptkit.captions.composing.line_breaking import FORBIDDEN, break_cost, pieces
from scriptkit.captions.composing.text_width import columns, thousandths
from scriptkit.timed_text.cleaning import clean

WIDEST = 42
"""Characters in a line: Netflix Timed Text Style Guide, general requirements."""
MOST_LINES = 2
"""The same guide."""

GLUE = "\N{NO-BREAK SPACE}"
_UNIT = (
    r"(?:g|kg|mg|ml|cl|dl|l|oz|lb|fl|tbsp|tsp|cups?|kcal|°C|°F|min|s|h|mm|cm|sticks?|cloves?|medium|large|small|full)"
)
_AMOUNT = re.compile(
    rf"(?<=\d|[½⅓⅔¼¾⅛⅜⅝⅞]) (?={_UNIT}\b)|(?<=\d) (?=[½⅓⅔¼¾⅛⅜⅝⅞])|(?<=fl) (?=oz\b)|(?<=[=−+≥~≈]) (?=\S)|(?<=\babout) (?=\d|[½⅓⅔¼¾⅛⅜⅝⅞])|(?<=[a-z]{3}:) (?=\d)|(?:(?<=\bg)|(?<=\bkg)) (?=\(\S)"
)
_MOST_PIECES = 300
"""More cannot fit the lines of any cue."""


def letters(text: str) -> int:
    """Letters and figures, the ones that are read."""
    return sum(c.isalnum() for c in text)


@functools.lru_cache(maxsize=4_096)
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


def fits(line: str, width: int = WIDEST, ems: float | None = None) -> bool:
    """Whether the line keeps to ``width`` columns and, where that is given, to ``ems`` in the stated font."""
    return columns(line) <= width and (ems is None or thousandths(line) <= ems * 1000)


@functools.lru_cache(maxsize=8_192)
def fit(
    text: str, *, width: int = WIDEST, lines: int = MOST_LINES, ems: float | None = None, least: int = 1
) -> tuple[str, ...] | None:
    """``text`` in as few lines as it needs, broken where a line may end, as even as they come, the upper one no longer where
    there is a choice; an amount stays with its unit. None where it does not fit; where every break would part what belongs
    together, the evenest of those. ``least``: no fewer lines than so many.

    >>> fit("Carbs 16.1 g − fibre 4.8 g = net carbs 11.3 g a serving")
    ('Carbs 16.1 g − fibre 4.8 g', '= net carbs 11.3 g a serving')
    >>> fit("Leave the meat to rest for ten minutes in the pan")
    ('Leave the meat to rest', 'for ten minutes in the pan')
    """
    if least == 1 and fits(text, width, ems):
        return (text,)
    parts = pieces(glue(text))
    if len(parts) > _MOST_PIECES or columns(text) > lines * (width + 1):
        return None
    broken = _break(parts, width, range(least, min(lines, len(parts)) + 1), ems)
    return None if broken is None else tuple(line.replace(GLUE, " ") for line in broken)


def _break(parts: list[tuple[str, str]], width: int, lines: range, ems: float | None) -> tuple[str, ...] | None:
    """The cheapest way for the fewest lines that need no forbidden break; else with one, in the fewest."""
    count = len(parts)
    spans = _spans(parts, columns)
    rendered = _spans(parts, thousandths) if ems is not None else None
    most = ems * 1000 if ems is not None else 0
    upto: list[tuple[float, tuple[str, ...]] | None] = [(0.0, ()), *[None] * count]  # of the parts before, in n lines
    forbidden: tuple[str, ...] | None = None
    for n in range(1, lines.stop):
        reached: list[tuple[float, tuple[str, ...]] | None] = [None] * (count + 1)
        for last in range(n, count + 1):
            for first in range(last - 1, n - 2, -1):
                wide = spans(first, last)
                if wide > width or (rendered is not None and rendered(first, last) > most):
                    break
                before = upto[first]
                if before is None:
                    continue
                cost = before[0] + wide**2 - 0.01 * n * wide
                cost += break_cost(before[1][-1], _rest(parts, first)) if before[1] else 0
                if (best := reached[last]) is None or cost < best[0]:
                    shown = parts[first][1] + "".join(joint + piece for joint, piece in parts[first + 1 : last])
                    reached[last] = (cost, (*before[1], shown))
        if (whole := reached[count]) and n in lines:
            if whole[0] < FORBIDDEN / 2:
                return whole[1]
            forbidden = forbidden or whole[1]
        upto = reached
    return forbidden


def _spans(parts: list[tuple[str, str]], measure: Callable[[str], int]) -> Callable[[int, int], int]:
    """How wide the parts from one to before another are on a line, by ``measure``."""
    joints = [measure(joint) for joint, _ in parts]
    ends = list(itertools.accumulate((measure(joint + piece) for joint, piece in parts), initial=0))
    return lambda first, last: ends[last] - ends[first] - joints[first]


def _rest(parts: list[tuple[str, str]], first: int) -> str:
    return " ".join(piece for _, piece in parts[first : first + 2]).replace(GLUE, " ")


def broken_as_written(
    text: str, *, width: int = WIDEST, lines: int = MOST_LINES, ems: float | None = None
) -> tuple[str, ...] | None:
    """The lines that ``text`` is written in, cleaned, where there are two or more of them and they fit; else None."""
    written = tuple(clean(line) for line in text.splitlines())
    whole = 1 < len(written) <= lines and all(line and fits(line, width, ems) for line in written)
    return written if whole else None


@functools.lru_cache(maxsize=4_096)
def as_one(text: str) -> str:
    """A text written in lines as one line: with a comma where a line ended without a mark.

    >>> as_one("A serving: 216 kcal\\nfat 11 g"), as_one("For at most 10 g:\\n160 g hake"), as_one("Carbs 5 g\\n= net 4 g")
    ('A serving: 216 kcal, fat 11 g', 'For at most 10 g: 160 g hake', 'Carbs 5 g = net 4 g')
    """
    lines = [cleaned for line in text.splitlines() if (cleaned := clean(line))]
    joined = lines[:1]
    for before, line in itertools.pairwise(lines):
        joined.append((" " if before[-1] in ",.;:!?" or line[0] in "=−+(" else ", ") + line)
    return "".join(joined)
