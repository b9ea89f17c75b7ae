"""The learned figures of what becomes of an ingredient that is named: read once from effect_weights.csv, and the chances that they give."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Mapping, Sequence

from scriptkit.data_files import row_that_cannot_be, rows_of
from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE, UNFILMED

NOTHING = "nothing"
KINDS = (NOTHING, LEFT_OUT, LATER, INSTEAD, MORE, LESS, UNFILMED)
"""What the columns of effect_weights.csv stand for, in order; ``nothing``: it goes in as written, or is only spoken of."""
COLUMNS = ("feature", *(kind.replace(" ", "_") for kind in KINDS))
SCALE = 16
"""A figure of the file is so many times the logarithm of the odds."""
BEFOREHAND = 4.0
"""The logarithm of the odds for *nothing* against any other kind, before a word is read: most names go in as written."""


class EffectWeights(dict[str, Sequence[str | int]]):
    """Feature → the cells of its row, a figure for each of KINDS."""

    def __init__(self, rows: Mapping[str, Sequence[str | int]]) -> None:
        super().__init__(rows)
        self._figures: dict[str, tuple[int, ...]] = {}

    def figures(self, feature: str) -> tuple[int, ...]:
        """The cells as numbers, made when they are asked for: a talk asks for few of the many. Raises BadDataFile."""
        made = self._figures.get(feature)
        if made is None:
            try:
                made = self._figures[feature] = tuple(map(int, self[feature]))
            except ValueError as wrong:
                raise row_that_cannot_be(*_FILE, COLUMNS, feature, wrong) from wrong
        return made


_FILE = ("scriptkit.english", "effect_weights.csv")


@functools.cache
def effect_weights() -> EffectWeights:
    """The figures of every feature; what they were learned from stands in effect_weights.csv. Raises BadDataFile."""
    return EffectWeights({row[0]: row[1:] for row in rows_of(*_FILE, COLUMNS)})


def chances(features: Iterable[str]) -> dict[str, float]:
    """How likely each of KINDS is, as shares of one; a feature that was never met in learning tells nothing. Raises BadDataFile."""
    of = effect_weights()
    figures = [of.figures(f) for f in features if f in of]
    sums = [sum(column) / SCALE for column in zip(*figures, strict=True)] or [0.0] * len(KINDS)
    sums[0] += BEFOREHAND
    most = max(sums)
    powers = [math.exp(one - most) for one in sums]
    return {kind: power / sum(powers) for kind, power in zip(KINDS, powers, strict=True)}
