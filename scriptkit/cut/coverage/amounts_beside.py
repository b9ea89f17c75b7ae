"""How the figures that stand beside an ingredient's name in talk stand to what the recipe has of it."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence

from scriptkit.cut.claims.due_amounts import least_off
from scriptkit.cut.claims.name_mentions import NameMention
from scriptkit.cut.transcript.running_text import figures_said
from scriptkit.measure.amounts import Cups
from scriptkit.measure.figures import Figure
from scriptkit.recipe.dish import Dish

_REACH, _FAR = 45, 110
"""Characters between a figure and the name that it stands beside, or is still said of (common practice, no source)."""
_FIGURES = 2
"""So many figures beside a name are looked at, the nearest first."""
_SAME = 0.03
_STOP = re.compile(r"[!?;]|\.(?!\d)")


def amounts_beside(
    text: str, mentions: Sequence[NameMention], spans: Sequence[tuple[int, int]], dishes: Sequence[Dish]
) -> dict[int, list[str]]:
    """Name → ``before:more``, ``after:same``, ``before:less`` …, the nearest figure first. ``spans``: where in the text each name
    stands. A figure counts for a name in whose sentence it stands with no other name between; further away, or in the next sentence, as
    ``far:more`` and so on. Names without one are left out."""
    figures = figures_said(text, Cups.US)
    ends, starts = [f.end for f in figures], [start for start, _ in spans]
    found = {}
    for name, (mention, (start, end)) in enumerate(zip(mentions, spans, strict=True)):
        near = figures[bisect_left(ends, start - _FAR) : bisect_left(ends, end + _FAR + _REACH)]
        beside = sorted(_beside(text, mention, (start, end), starts, dishes, near))
        if beside:
            found[name] = [told for _, told in beside[:_FIGURES]]
    return found


def _beside(
    text: str,
    mention: NameMention,
    span: tuple[int, int],
    names: Sequence[int],
    dishes: Sequence[Dish],
    figures: Sequence[Figure],
) -> Iterator[tuple[int, str]]:
    start, end = span
    for figure in figures:
        before = figure.end <= start
        lo, hi = (figure.end, start) if before else (end, figure.start)
        if not 0 <= hi - lo <= _FAR or bisect_left(names, lo) < bisect_left(names, hi):
            continue
        far = hi - lo > _REACH or _STOP.search(text, lo, hi) is not None
        offs = [
            off for owner in mention.owners if (off := _off(figure, dishes[owner.dish], owner.ingredient)) is not None
        ]
        if offs:
            off = min(offs, key=abs)
            told = "same" if abs(off) < _SAME else "more" if off > 0 else "less"
            where = "far" if far else "before" if before else "after"
            yield hi - lo + far * _FAR, f"{where}:{told}"


def _off(figure: Figure, dish: Dish, ingredient: int) -> float | None:
    return least_off(figure, dish, dish.ingredients[ingredient])
