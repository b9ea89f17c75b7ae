"""What a profile is: limits of a cue by their keys, with the source that gives them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """``limits``: figures by key, as in profiles.yaml; a key that is not there is a limit that the source does not give, and
    that is not held against a cue. platform_text.py knows what each key means. ``aspect`` is the picture's, width:height."""

    name: str
    source: str
    limits: Mapping[str, float] = field(default_factory=dict)
    aspect: str = "16:9"

    def with_limits(self, **figures: float | None) -> Profile:
        """The same profile with these figures in place of its own; None takes a limit away.

        >>> Profile(name="quay", source="", limits={"lines": 2}).with_limits(lines=1, longest_ms=5000).limits
        {'lines': 1, 'longest_ms': 5000}
        """
        changed = {**self.limits, **figures}
        return replace(self, limits={key: figure for key, figure in changed.items() if figure is not None})

    def whole(self, key: str) -> int | None:
        """The limit of this key as a whole number; None where the source gives none."""
        figure = self.limits.get(key)
        return None if figure is None else int(figure)

    @property
    def line_length(self) -> int:
        """Characters in a line."""
        return int(self.limits["line_length"])

    @property
    def lines(self) -> int:
        """Lines in a cue."""
        return int(self.limits["lines"])

    @property
    def shortest_ms(self) -> int | None:
        """The least time that a cue stands."""
        return self.whole("shortest_ms")

    @property
    def longest_ms(self) -> int | None:
        """The most time that a cue stands."""
        return self.whole("longest_ms")

    @property
    def font_percent(self) -> float | None:
        """Size of the type in percent of the picture's height."""
        return self.limits.get("font_percent")

    @property
    def line_ems(self) -> float | None:
        """How many times its font's size a line may be wide: the safe part of the picture's width; None where no size is
        stated."""
        if self.font_percent is None:
            return None
        return self.shape * self.limits.get("safe_percent", 90.0) / self.font_percent

    @property
    def shape(self) -> float:
        """Width ÷ height of the picture: 16:9 is 1.78, 9:16 is 0.56."""
        width, _, height = self.aspect.partition(":")
        return float(width) / float(height)
