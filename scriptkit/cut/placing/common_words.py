"""How often cooking videos say a word (common_words.csv)."""

from __future__ import annotations

import functools

from scriptkit.data_files import made_of_rows


@functools.cache
def common() -> dict[str, float]:
    """Stem → the share of cooking videos in which it is said; words that few say are not among them."""
    columns = ("stem", "share")
    return dict(
        made_of_rows("scriptkit.cut.placing", "common_words.csv", columns, lambda word, share: (word, float(share)))
    )
