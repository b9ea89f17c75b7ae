"""The learned figures of what becomes of an ingredient that is named: read once from effect_weights.csv, and the chances that they give."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Mapping

from scriptkit.data_files import made_of_rows
from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE, UNFILMED

NOTHING = "nothing"
KINDS = (NOTHING, LEFT_OUT, LATER, INSTEAD, MORE, LESS, UNFILMED)
"""What the columns of effect_weights.csv stand for, in order; ``nothing``: it goes in as written, or is only spoken of."""
COLUMNS = ("feature", *(kind.replace(" ", "_") for kind in KINDS))
SCALE = 100
"""A figure of the file is so many times the logarithm of the odds."""
BEFOREHAND = 4.0
"""The logarithm of the odds for *nothing* against any other kind, before a word is read: most names go in as written."""


@functools.cache
def effect_weights() -> Mapping[str, tuple[int, ...]]:
    """Feature → a figure for each of KINDS; what they were learned from stands in effect_weights.csv. Raises BadDataFile."""
    return dict(
        made_of_rows("scriptkit.english", "effect_weights.csv", COLUMNS, lambda name, *f: (name, tuple(map(int, f))))
    )


def chances(features: Iterable[str]) -> dict[str, float]:
    """How likely each of KINDS is, as shares of one; a feature that was never met in learning tells nothing. Raises BadDataFile."""
    of = effect_weights()
    sums = [sum(column) / SCALE for column in zip(*(of[f] for f in features if f in of), strict=True)] or [0.0] * len(
        KINDS
    )
    sums[0] += BEFOREHAND
    most = max(sums)
    powers = [math.exp(one - most) for one in sums]
    return {kind: power / sum(powers) for kind, power in zip(KINDS, powers, strict=True)}
