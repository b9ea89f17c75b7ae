"""The learned figures of placing: read once from weights.csv, each by its name."""

from __future__ import annotations

import functools

from scriptkit.data_files import made_of_rows, misfit


class _Weights(dict[str, float]):
    """Name → figure; one that is asked for and is not there is a slip in the file."""

    def __missing__(self, name: str) -> float:
        raise misfit("scriptkit.cut.placing", "weights.csv", 1, f"the table has no row `{name}`", "learn it again with `python -m tests.speed.step_training`")  # fmt: skip


@functools.cache
def weights() -> dict[str, float]:
    """Name → figure; what the figures are and what they were learned from stands in weights.csv. Raises BadDataFile."""
    return _Weights(
        made_of_rows("scriptkit.cut.placing", "weights.csv", ("name", "figure"), lambda name, f: (name, float(f)))
    )
