"""Words beside a time that make it one of a part of a step, or of no step."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

PART_OF_A_TIME = frozenset({
    "another", "last", "first", "final", "every", "next", "more", "extra", "within", "each", "remaining", "further", "other",
    "still", "previous", "spend",
})  # fmt: skip
"""*Another five minutes*, *for the last five minutes*."""
A_SIDE = LazyPattern(
    r"[\s,]*(?:(?:on|per|for)\s+)?(?:each|every|either|both|per|a|the other|the first|one)\s+(?:of its )?sides?\b",
    re.IGNORECASE,
)
"""After a time: it is that of one side."""
