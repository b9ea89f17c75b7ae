"""What platforms take: figures of common practice, no source."""

from __future__ import annotations

LONGEST_DESCRIPTION = 5_000
"""Characters."""
FEWEST_CHAPTERS = 3
SHORTEST_CHAPTER_MS = 10_000
