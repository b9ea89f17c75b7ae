"""A promise with a figure and more beside it is kept only where each of its parts is: *gluten-free, and at least 40 g protein*."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from scriptkit.cut.claims.macro_words import macro_figures
from scriptkit.cut.claims.promised import BROKEN, IN_DOUBT, KEPT, LIKELY, PromisedFigure
from scriptkit.measure.figures import figures_in
from scriptkit.problems import Problem, Severity
from scriptkit.safety.free_from import promises_to_be_without

_WORDS_SAID = re.compile(r"^“([^”]+)”")
_PART = re.compile(r"[,;:]|\b(?:and|but)\b")
_CLAIMS = re.compile(r"\b(?:no|without|never|low|high|rich|free|full|less|zero|healthy|light)\b", re.IGNORECASE)


def as_a_whole(promised: Sequence[PromisedFigure], problems: Sequence[Problem]) -> list[PromisedFigure]:
    """The promises, each broken where what is in the dish contradicts another part of the same sentence, and in doubt where it depends
    on a make; a part that nothing here can hold is named."""
    return [_whole(one, problems) for one in promised]


def _whole(one: PromisedFigure, problems: Sequence[Problem]) -> PromisedFigure:
    told = [p for p in problems if p.code.startswith("free-from") and p.place == one.place and _said_in(p, one.text)]
    why = [p.message for p in told] + [
        f"nothing here can tell whether “{part}” is kept" for part in _unchecked(one.text)
    ]
    settles = "; ".join(part for part in (*why, one.settles) if part)
    if any(p.severity is Severity.ERROR for p in told):
        return replace(one, verdict=BROKEN, settles=settles)
    if (told or why) and one.verdict in (KEPT, LIKELY):
        return replace(one, verdict=IN_DOUBT, settles=settles)
    return replace(one, settles=settles)


def _said_in(problem: Problem, text: str) -> bool:
    words = _WORDS_SAID.match(problem.message)
    return words is not None and words[1] in text


def _unchecked(text: str) -> Iterator[str]:
    """Parts that claim something and hold neither a figure nor a promise of what it is without."""
    for part in (p.strip(" .!") for p in _PART.split(text)):
        has_figure = any(c.isdigit() for c in part) or macro_figures(part, figures_in(part))
        if _CLAIMS.search(part) and not has_figure and not promises_to_be_without(part):
            yield part
