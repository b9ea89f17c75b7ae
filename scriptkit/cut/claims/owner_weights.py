"""The learned figures of who owns a spoken figure: read once from owner_weights.csv, each by its name."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping

from scriptkit.data_files import made_of_rows


@functools.cache
def owner_weights() -> Mapping[str, float]:
    """Name → figure; what they were learned from stands in owner_weights.csv. Raises BadDataFile."""
    return dict(
        made_of_rows("scriptkit.cut.claims", "owner_weights.csv", ("name", "figure"), lambda name, f: (name, float(f)))
    )


def weight_of(features: Mapping[str, float] | Iterable[str]) -> float:
    """The sum of the features' figures; one that was never met in learning tells nothing."""
    of = owner_weights()
    if isinstance(features, Mapping):
        return sum(of.get(name, 0.0) * value for name, value in features.items())
    return sum(of.get(name, 0.0) for name in features)
