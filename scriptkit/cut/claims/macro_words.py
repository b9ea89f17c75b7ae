"""Which figure of a talk is of which macro, and of how much food it is said."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.figures import KCAL, PERCENT, Figure
from scriptkit.patterns import LazyPattern

_MACROS = {
    "net_carbs_g": r"net(?:\s+carb\w*)?(?!\s+weight)|digestible\s+carb\w*",
    "carbohydrate_g": r"(?:total\s+)?carb(?:s|ohydrates?)?",
    "fibre_g": r"(?:dietary\s+)?fib(?:re|er)",
    "protein_g": r"proteins?",
    "saturated_g": r"saturated(?:\s+fat)?|saturates",
    "fat_g": r"(?:total\s+)?fats?",
    "sugars_g": r"sugars",
    "energy_kcal": r"energy",
}
_WORD = LazyPattern(
    r"\b(?:" + "|".join(f"(?P<{name}>{words})" for name, words in _MACROS.items()) + r")\b", re.IGNORECASE
)
_BINDS_AFTER = LazyPattern(
    r"\s*(?:of|from)\s+(?:(?:total|dietary|the|energy|calories|is|comes|from)\s+)*", re.IGNORECASE
)
_BETWEEN = LazyPattern(
    r"[\s,:=−+–-]*(?:(?:is|are|was|of|at|about|around|roughly|nearly|just|only|comes?|to|gives?|makes?|leaves?|with|and|minus|less"
    r"|plus|the|it's|that's|you|us|we|have|has|there|total|dietary|grams?|g|in|all|a|an|for|or|so|over|under)[\s,:=−+–-]*){0,4}",
    re.IGNORECASE,
)
SCOPES = {
    "serving": LazyPattern(r"\b(?:servings?|portions?|bowl|bowlful|person|each|helping|fillet|head)\b", re.IGNORECASE),
    "plate": LazyPattern(r"\b(?:plate|plateful|meal|dinner|supper|lunch)\b", re.IGNORECASE),
    "100 g": LazyPattern(r"\b(?:hundred|100)\s*(?:grams?|g)\b", re.IGNORECASE),
    "batch": LazyPattern(r"\b(?:batch|(?:whole|entire)\s+(?:pot|pan|recipe|dish))\b", re.IGNORECASE),
}
"""How much food a figure is said of: its name, and the words for it."""


class MacroFigure(NamedTuple):
    """The ``number``-th figure of the talk is said of ``macro``."""

    number: int
    figure: Figure
    macro: str


def macro_figures(text: str, figures: Sequence[Figure]) -> list[MacroFigure]:
    """*Eleven grams of net carbs* and *net carbs, eleven grams*: where words stand on both sides, the run of them is read as
    it begins, with the figure or with the word."""
    words = [(m.start(), m.end(), m.lastgroup or "") for m in _WORD.finditer(text)]
    numbers = [
        n
        for n, f in enumerate(figures)
        if f.unit in ("", "gram", KCAL, PERCENT) and not f.of_a_thing and not _a_part(f)
    ]
    beginning = {start: w for w, (start, _, _) in enumerate(words)}
    found: dict[int, str] = {n: "energy_kcal" for n in numbers if figures[n].unit == KCAL}
    used: set[int] = set()
    for n in numbers:  # of it is said to be *of* it
        bound = _BINDS_AFTER.match(text, figures[n].end)
        word = beginning.get(bound.end()) if bound else None
        if word is not None and n not in found:
            found[n] = words[word][2]
            used.add(word)
    for run in _runs(text, figures, [n for n in numbers if n not in found], words, used):
        found |= _paired(run, words)
    return [MacroFigure(n, figures[n], macro) for n, macro in sorted(found.items())]


def _a_part(figure: Figure) -> bool:
    """*Half the fat* is no figure of it."""
    return not figure.unit and figure.low < 1 and figure.grain.denominator not in (1, 10, 100)


Item = tuple[int, int, int, bool]
"""Start, end, its number, whether it is a word."""


def _runs(
    text: str, figures: Sequence[Figure], numbers: Sequence[int], words: Sequence[tuple[int, int, str]], used: set[int]
) -> list[list[Item]]:
    """Figures and words of macros that follow one another with little between them."""
    items: list[Item] = [(figures[n].start, figures[n].end, n, False) for n in numbers]
    items += [(start, end, w, True) for w, (start, end, _) in enumerate(words) if w not in used]
    runs: list[list[Item]] = []
    for item in sorted(items):
        if runs and (gap := _BETWEEN.match(text, runs[-1][-1][1])) and gap.end() >= item[0]:
            runs[-1].append(item)
        else:
            runs.append([item])
    return runs


def _paired(run: Sequence[Item], words: Sequence[tuple[int, int, str]]) -> dict[int, str]:
    word_first = bool(run) and run[0][3]
    found: dict[int, str] = {}
    at = 0
    while at + 1 < len(run):
        one, other = run[at], run[at + 1]
        if one[3] != other[3] and one[3] is word_first:
            word, number = (one, other) if word_first else (other, one)
            start, end, macro = words[word[2]]
            if not (word_first and end - start == len("net")):  # *net five* may be anything
                found[number[2]] = macro
            at += 2
        else:
            at += 1
    return found


def scopes_of(talk: Talk, figure: Figure) -> set[str]:
    """Of what the figure is said, as its sentence has it: ``serving``, ``plate``, ``100 g``, ``batch``; empty: not said."""
    before, after = talk.sentence(figure.start, figure.end, words=25)
    return {name for name, pattern in SCOPES.items() if pattern.search(before) or pattern.search(after)}
