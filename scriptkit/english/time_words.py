"""Words beside a time that make it one of a part of a step, or of no step."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

PART_OF_A_TIME = frozenset({
    "another", "last", "first", "final", "every", "next", "more", "extra", "within", "each", "remaining", "further", "other",
    "still", "previous", "spend",
})  # fmt: skip
"""*Another five minutes*, *for the last five minutes*."""
A_SIDE = LazyPattern(r"\s*,?\s*(?:per|each|a|on each|on either|on every) sides?\b", re.IGNORECASE)
"""After a time: it is that of one side."""
