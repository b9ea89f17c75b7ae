"""The sequencer's question and its answer: activities with lags between them and what they hold; and when each starts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A resource in use from the start of activity ``first`` until ``length`` after the start of activity ``last``."""

    resource: str
    first: int
    last: int
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """Activities 0 … ``count`` - 1, lags between their starts, and what they hold. Activity 0 is the beginning; the
    objective is the start of activity ``count`` - 1, the serving. A resource not in ``capacity`` is there once."""

    count: int
    lags: tuple[tuple[int, int, int], ...]
    holds: tuple[Hold, ...]
    capacity: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Timing:
    """The best schedule found: starts by activity, and a length that no schedule can undercut."""

    starts: tuple[int, ...]
    at_least: int

    @property
    def length(self) -> int:
        """When the last activity, the serving, begins; in the network's unit of time."""
        return self.starts[-1]

    @property
    def proven(self) -> bool:
        """Whether no schedule can be shorter."""
        return self.length <= self.at_least


class Impossible(Exception):
    """No schedule keeps all lags and capacities. ``circle`` holds activities whose lags alone contradict one another."""

    def __init__(self, circle: Sequence[int] = ()) -> None:
        super().__init__("no schedule keeps every limit")
        self.circle = tuple(circle)
