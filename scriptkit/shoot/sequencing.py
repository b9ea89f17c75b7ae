"""Shortest schedules of activities with time lags and shared resources: branch and bound over who goes first.

The temporal side is a network of ``start[j] - start[i] >= lag`` (a negative lag is a deadline), kept as the longest lags
between all pairs. Two activities that want the same single thing must go one before the other; where a deadline leaves
only one order, it is taken, and where it leaves both, the search tries both. Where there are several of a thing (two cooks,
four burners), the earliest moment at which more is wanted than there is gets repaired in every way there is. The search
counts nodes, not seconds, so that the same kitchen always gives the same plan.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

NEVER = -(2**40)
"""The lag between activities that do not constrain one another; sums of two still compare as never."""
_NEVER_SUM = NEVER // 2

Lags = Any
"""An int64 array of shape (activities, activities): the longest lag from the start of one to the start of another."""


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
        return self.starts[-1]

    @property
    def proven(self) -> bool:
        return self.length <= self.at_least


_FIRST_BUDGET = 60
"""Nodes for the first try of each deadline; doubled while no try can tell."""


class Impossible(Exception):
    """No schedule keeps all lags and capacities. ``circle`` holds activities whose lags alone contradict one another."""

    def __init__(self, circle: Sequence[int] = ()) -> None:
        super().__init__("no schedule keeps every limit")
        self.circle = tuple(circle)


def shortest(network: Network, *, most_nodes: int = 3_000) -> Timing | None:
    """The shortest schedule, or the best one found with ``most_nodes`` nodes; None where none was found in them.

    Raises Impossible where it is proven that there is none.
    """
    return _Search(network, most_nodes).shortest()


def _closure(network: Network) -> Lags:
    """Longest lags between all pairs. Raises Impossible with the activities of a circle."""
    lags = np.full((network.count, network.count), NEVER, dtype=np.int64)
    np.fill_diagonal(lags, 0)
    lags[0] = np.maximum(lags[0], 0)
    for i, j, lag in network.lags:
        lags[i, j] = max(lags[i, j], lag)
    for k in range(network.count):
        through = lags[:, k, None] + lags[k]
        lags = np.where(through > _NEVER_SUM, np.maximum(lags, through), lags)
    circle = np.flatnonzero(np.diagonal(lags) > 0)
    if circle.size:
        raise Impossible([int(i) for i in circle])
    return lags


def _with_lag(lags: Lags, i: int, j: int, lag: int) -> Lags | None:
    """The closure with one more lag; None where it contradicts the others."""
    if lags[j, i] + lag > 0:
        return None
    if lags[i, j] >= lag:
        return lags
    through = lags[:, i, None] + (lag + lags[j])
    return np.where(through > _NEVER_SUM, np.maximum(lags, through), lags)


class _Group:
    """The holds of one resource, as arrays."""

    def __init__(self, holds: Sequence[Hold], capacity: int) -> None:
        self.holds = holds
        self.capacity = capacity
        self.first = np.array([h.first for h in holds])
        self.last = np.array([h.last for h in holds])
        self.length = np.array([h.length for h in holds])

    def may_precede(self, lags: Lags) -> Any:
        """[a, b]: whether a can still go before b."""
        back = lags[self.first[None, :], self.last[:, None]]
        return back + self.length[:, None] <= 0

    def precedes(self, lags: Lags) -> Any:
        """[a, b]: whether a goes before b whatever happens."""
        return lags[self.last[:, None], self.first[None, :]] >= self.length[:, None]


class _Search:
    def __init__(self, network: Network, most_nodes: int) -> None:
        self.network = network
        self.left = most_nodes
        self.last = network.count - 1
        by_resource: dict[str, list[Hold]] = {}
        for hold in network.holds:
            by_resource.setdefault(hold.resource, []).append(hold)
        groups = [_Group(holds, network.capacity.get(name, 1)) for name, holds in by_resource.items()]
        self.single = [g for g in groups if g.capacity == 1 and len(g.holds) > 1]
        self.several = [g for g in groups if 1 < g.capacity < len(g.holds)]
        self.loaded = [*self.single, *self.several]
        self.none = [g for g in groups if g.capacity < 1]
        self.best: list[int] | None = None

    def shortest(self) -> Timing | None:
        if self.none:
            raise Impossible
        root = _closure(self.network)
        low = self._floor(root)
        budget = _FIRST_BUDGET
        while self.left > 0 and (self.best is None or low < self.best[self.last]):
            # Close in: a deadline that is refuted raises the floor, one that is met lowers the best.
            moved = False
            for deadline in self._deadlines(low):
                outcome = self._explore(root, deadline, budget)
                if outcome is False and deadline is None:
                    raise Impossible
                if outcome is False and deadline is not None:
                    low = max(low, deadline + 1)
                if outcome is not None:
                    moved = True
                    break
            if not moved:
                budget *= 2
        return None if self.best is None else Timing(tuple(self.best), min(low, self.best[self.last]))

    def _deadlines(self, low: int) -> list[int | None]:
        if self.best is None:
            return [None]
        high = self.best[self.last] - 1
        return list(dict.fromkeys([low, (low + high) // 2, high]))

    def _explore(self, root: Lags, deadline: int | None, budget: int) -> bool | None:
        """Depth first: True once a schedule that meets the deadline is found, False where there is none, None where
        the budget does not suffice to tell."""
        stack = [root]
        while stack:
            if budget <= 0 or self.left <= 0:
                return None
            budget -= 1
            self.left -= 1
            here = self._propagated(stack.pop(), deadline)
            if here is None:
                continue
            children = self._children(here)
            if children is None:
                return True
            stack.extend(children)
        return False

    def _floor(self, root: Lags) -> int:
        """A length that no schedule can undercut: the load of each resource, and the shortest deadline that the
        propagation alone does not refute."""
        low = max([int(root[0, self.last]), *(self._load(root, g) for g in self.loaded)])
        high = low + int(sum(h.length for h in self.network.holds)) + 1
        while low < high:
            middle = (low + high) // 2
            if self._propagated(root, deadline=middle) is None:
                low = middle + 1
            else:
                high = middle
        return low

    def _load(self, lags: Lags, group: _Group) -> int:
        """Earliest start + work + shortest tail, over the sets of holds that start and end no earlier than some."""
        heads = lags[0, group.first]
        length = np.maximum(np.where(group.first == group.last, 0, lags[group.first, group.last]), 0) + group.length
        tails = np.maximum(lags[group.last, self.last] - group.length, 0)
        later = (heads[None, :] >= heads[:, None]) * length[None, :]
        work = later @ (tails[:, None] >= tails[None, :])  # [h, t]: of the holds with heads >= h and tails >= t
        bound = heads[:, None] + -(-work // group.capacity) + tails[None, :]
        return int(np.where(work > 0, bound, 0).max(initial=0))

    def _propagated(self, lags: Lags, deadline: int | None) -> Lags | None:
        """Every order that the lags and the deadline leave no choice about, taken; None where none is left."""
        here: Lags | None = lags if deadline is None else _with_lag(lags, self.last, 0, -deadline)
        changed = True
        while here is not None and changed:
            changed = False
            for group in self.single:
                may = group.may_precede(here)
                if bool((~(may | may.T))[np.triu_indices(len(may), 1)].any()):
                    return None
                forced = may & ~may.T & ~group.precedes(here)
                np.fill_diagonal(forced, False)
                for a, b in zip(*np.nonzero(forced), strict=True):
                    one, other = group.holds[a], group.holds[b]
                    here = _with_lag(here, one.last, other.first, one.length)
                    if here is None:
                        return None
                    changed = True
        if here is not None and deadline is not None and any(self._load(here, g) > deadline for g in self.loaded):
            return None
        return here

    def _children(self, here: Lags) -> list[Lags] | None:
        """What to explore next, best last; None where the earliest schedule breaks nothing: it is the best so far."""
        starts = here[0]
        pair = self._tightest_pair(here, starts)
        overload = pair or self._overload(starts)
        if overload is None:
            self.best = [int(s) for s in starts]
            return None
        children: list[tuple[int, int, int, Lags]] = []
        for one, other in itertools.permutations(overload, 2):
            child = _with_lag(here, one.last, other.first, one.length)
            if child is not None:
                children.append((int(child[0, self.last]), int(child[0].sum()), len(children), child))
        return [child for *_, child in sorted(children, key=lambda c: c[:3], reverse=True)]

    def _tightest_pair(self, here: Lags, starts: Any) -> tuple[Hold, Hold] | None:
        """Of the pairs that overlap on a single thing, the one that the deadlines leave the least room."""
        best: tuple[int, int, Hold, Hold] | None = None
        for n, group in enumerate(self.single):
            begin, end = starts[group.first], starts[group.last] + group.length
            overlap = (begin[:, None] < end[None, :]) & (begin[None, :] < end[:, None])
            overlap &= (end > begin)[:, None] & (end > begin)[None, :]
            overlap = np.triu(overlap, 1)
            if not overlap.any():
                continue
            room = -(here[group.first[None, :], group.last[:, None]] + group.length[:, None])
            both = np.where(overlap, np.minimum(room, room.T), np.iinfo(np.int64).max)
            a, b = np.unravel_index(int(both.argmin()), both.shape)
            found = (int(both[a, b]), n, group.holds[int(a)], group.holds[int(b)])
            if best is None or found[:2] < best[:2]:
                best = found
        return None if best is None else (best[2], best[3])

    def _overload(self, starts: Any) -> tuple[Hold, ...] | None:
        """The earliest moment at which more is held than there is: one hold more than the capacity."""
        earliest: tuple[int, tuple[Hold, ...]] | None = None
        for group in self.several:
            running: list[tuple[int, Hold]] = []
            spans = sorted(
                (int(starts[h.first]), n, int(starts[h.last]) + h.length, h) for n, h in enumerate(group.holds)
            )
            for start, _, end, hold in spans:
                running = [(e, h) for e, h in running if e > start]
                if end > start:
                    running.append((end, hold))
                if len(running) > group.capacity:
                    if earliest is None or start < earliest[0]:
                        earliest = (start, tuple(h for _, h in running[-group.capacity - 1 :]))
                    break
        return earliest[1] if earliest else None
