"""The learned figures of placing: read once from weights.csv, each by its name."""

from __future__ import annotations

import csv
import functools
from importlib.resources import files


@functools.cache
def weights() -> dict[str, float]:
    """Name → figure; what the figures are and what they were learned from stands in weights.csv."""
    text = (files("scriptkit.cut") / "weights.csv").read_text(encoding="utf-8")
    rows = csv.reader(line for line in text.splitlines() if not line.startswith("#"))
    next(rows)
    return {name: float(figure) for name, figure, *_ in rows}
