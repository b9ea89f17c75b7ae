"""How often cooking videos say a word (common_words.csv)."""

from __future__ import annotations

import csv
import functools
from importlib.resources import files


@functools.cache
def common() -> dict[str, float]:
    """Stem → the share of cooking videos in which it is said; words that few say are not among them."""
    text = (files("scriptkit.cut") / "common_words.csv").read_text(encoding="utf-8")
    rows = list(csv.reader(line for line in text.splitlines() if not line.startswith("#")))[1:]
    return {word: float(share) for word, share in rows}
