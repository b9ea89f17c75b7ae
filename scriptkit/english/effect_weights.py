"""The learned figures of what becomes of an ingredient that is named: read once from effect_weights.csv, and the chances that they give."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Mapping

from scriptkit.data_files import row_that_cannot_be, unsplit_rows_of
from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE, UNFILMED

NOTHING = "nothing"
KINDS = (NOTHING, LEFT_OUT, LATER, INSTEAD, MORE, LESS, UNFILMED)
"""What the columns of effect_weights.csv stand for, in order; ``nothing``: it goes in as written, or is only spoken of."""
COLUMNS = ("feature", *(kind.replace(" ", "_") for kind in KINDS))
SCALE = 16
"""A figure of the file is so many times the logarithm of the odds."""
BEFOREHAND = 4.0
"""The logarithm of the odds for *nothing* against any other kind, before a word is read: most names go in as written."""


_BITS = 20
"""Of each column in a packed row; a test holds that the figures of all rows together need fewer."""


class EffectWeights(dict[str, str]):
    """Feature → its row as it is written, a figure for each of KINDS after it; ``packed``: those as one number."""

    def __init__(self, rows: Mapping[str, str]) -> None:
        super().__init__(rows)
        self.packed = _Packed(self)


class _Packed(dict[str, int]):
    """The cells of a row as one number, the columns so many bits apart, so that one addition adds them all; made when they are asked for: a
    talk asks for few of the many. Of a feature that has none, nought."""

    def __init__(self, rows: Mapping[str, str]) -> None:
        super().__init__()
        self._rows = rows

    def __missing__(self, feature: str) -> int:
        """Raises BadDataFile."""
        row = self._rows.get(feature)
        try:
            cells = () if row is None else tuple(map(int, row.rsplit(",", len(KINDS))[1:]))
        except ValueError as wrong:
            raise row_that_cannot_be(*_FILE, COLUMNS, feature, wrong) from wrong
        self[feature] = made = sum(cell << _BITS * n for n, cell in enumerate(cells))
        return made


_FILE = ("scriptkit.english", "effect_weights.csv")


@functools.cache
def effect_weights() -> EffectWeights:
    """The figures of every feature; what they were learned from stands in effect_weights.csv. Raises BadDataFile."""
    return EffectWeights(unsplit_rows_of(*_FILE, COLUMNS))


def sums_of(features: Iterable[str]) -> list[int]:
    """The figures of the features, added up for each of KINDS. Raises BadDataFile."""
    total = sum(map(effect_weights().packed.__getitem__, features))
    sums = []
    for _ in KINDS:
        low = total & (1 << _BITS) - 1
        sums.append(
            low if low < 1 << _BITS - 1 else low - (1 << _BITS)
        )  # what is below nought has borrowed of the next
        total = (total - sums[-1]) >> _BITS
    return sums


def chances(features: Iterable[str]) -> dict[str, float]:
    """How likely each of KINDS is, as shares of one; a feature that was never met in learning tells nothing. Raises BadDataFile."""
    sums = [one / SCALE for one in sums_of(features)]
    sums[0] += BEFOREHAND
    most = max(sums)
    powers = [math.exp(one - most) for one in sums]
    whole = sum(powers)
    return {kind: power / whole for kind, power in zip(KINDS, powers, strict=True)}
