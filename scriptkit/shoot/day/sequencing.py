"""Shortest schedules of activities with time lags and shared resources: branch and bound over who goes first.

The temporal side is a network of ``start[j] - start[i] >= lag`` (a negative lag is a deadline), kept as the longest lags
between all pairs. Two activities that want the same single thing must go one before the other; where a deadline leaves
only one order, it is taken, and where it leaves both, the search tries both. Where there are several of a thing (two cooks,
four burners), the earliest moment at which more is wanted than there is gets repaired in every way there is. The search
counts nodes, not seconds, so that the same kitchen always gives the same plan.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

import numpy as np

from scriptkit.shoot.day.scheduling_model import Hold, Impossible, Network, Timing

NEVER = -(2**40)
"""The lag between activities that do not constrain one another; sums of two still compare as never."""
_NEVER_SUM = NEVER // 2

_Child = tuple[Any, int, int, int]
"""Lags, and the one more that is to be added: from the start of one activity to that of another, so much."""
Lags = Any
"""An int64 array of shape (activities, activities): the longest lag from the start of one to the start of another."""


MOST_CELLS = 2**18
"""Of the sets of holds that overlap pairwise, times the holds: there are as many sets as ways to choose them, and each that is left
out only leaves an order to the search that could have been taken at once."""
_FIRST_BUDGET = 60
"""Nodes for the first try of each deadline; doubled while no try can tell."""


def shortest(network: Network, *, most_nodes: int = 3_000, first: bool = False) -> Timing | None:
    """The shortest schedule, or the best one found with ``most_nodes`` nodes; None where none was found in them. ``first``:
    any schedule will do, to tell whether there is one.

    Raises Impossible where it is proven that there is none.
    """
    return _Search(network, most_nodes).shortest(first)


def closure(network: Network) -> Lags:
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


def with_lag(lags: Lags, i: int, j: int, lag: int) -> Lags | None:
    """The closure with one more lag; None where it contradicts the others."""
    if lags[j, i] + lag > 0:
        return None
    if lags[i, j] >= lag:
        return lags
    through = lags[:, i, None] + (lag + lags[j])
    return np.where(through > _NEVER_SUM, np.maximum(lags, through), lags)


class _Group:
    """The holds of one resource, as arrays; or of all that are there once, ``resource`` then telling which."""

    def __init__(self, holds: Sequence[Hold], capacity: int) -> None:
        self.holds = holds
        self.capacity = capacity
        self.first = np.array([h.first for h in holds], dtype=np.int64)
        self.last = np.array([h.last for h in holds], dtype=np.int64)
        self.length = np.array([h.length for h in holds], dtype=np.int64)
        names = list(dict.fromkeys(h.resource for h in holds))
        resource = np.array([names.index(h.resource) for h in holds])
        self.same = resource[:, None] == resource[None, :]
        np.fill_diagonal(self.same, False)

    def forced(self, lags: Lags) -> list[tuple[int, int]] | None:
        """Pairs (a, b) of which a must now go before b; None where the holds cannot all find room."""
        may = lags[self.first[None, :], self.last[:, None]] + self.length[:, None] <= 0  # [a, b]: a can go before b
        neither = self.same & ~(may | may.T)
        apart = self.same if self.capacity == 1 else self._apart(lags, neither)
        if apart is None or bool((apart & neither).any()):
            return None
        done = lags[self.last[:, None], self.first[None, :]] >= self.length[:, None]
        return [(int(a), int(b)) for a, b in zip(*np.nonzero(apart & may & ~may.T & ~done), strict=True)]

    def _apart(self, lags: Lags, neither: Any) -> Any:
        """[a, b]: whether a and b must not overlap, because as many as there are besides them overlap both and one another
        for certain: stretches of time that overlap pairwise have a moment in common."""
        certain = lags[self.first, self.last] + self.length > 0  # takes time whatever happens
        overlap = neither & certain[:, None] & certain[None, :]
        reached = self._cliques(overlap)
        apart = (reached.T.astype(np.int64) @ reached.astype(np.int64)) > 0
        np.fill_diagonal(apart, False)
        return apart

    def _cliques(self, overlap: Any) -> Any:
        """[c, a]: whether a overlaps for certain all of the c-th set of ``capacity - 1`` holds that overlap pairwise; of very many
        sets only the first."""
        order = np.arange(len(self.holds))
        most = max(MOST_CELLS // len(order), 1)
        overlap = self._dense(overlap)
        latest, reached = order, overlap
        for size in range(1, self.capacity - 1):
            # a set that too few others overlap cannot grow to the size that is asked for
            grows = reached.sum(axis=1) >= self.capacity - 1 - size
            clique, further = np.nonzero(reached & grows[:, None] & (order[None, :] > latest[:, None]))
            clique, further = clique[:most], further[:most]
            latest, reached = further, reached[clique] & overlap[further]
        return reached

    def _dense(self, overlap: Any) -> Any:
        """The overlaps without those of holds that overlap fewer than ``capacity - 1`` others, again and again: they are in no set
        that forces anything."""
        while True:
            few = overlap.any(axis=1) & (overlap.sum(axis=1) < self.capacity - 1)
            if not few.any():
                return overlap
            overlap = overlap & ~few[:, None] & ~few[None, :]

    def overloaded(self, lags: Lags, serving: int) -> bool:
        """Whether more work must be done between two moments than fits; told by the distance from the serving."""
        begin = lags[serving, self.first]
        end = self.length - lags[self.last, serving]
        work = np.maximum(lags[self.first, self.last] + self.length, 0)
        inside = ((begin[None, :] >= begin[:, None]) * work[None, :]) @ (end[:, None] <= end[None, :])
        return bool(((inside > 0) & (inside > self.capacity * (end[None, :] - begin[:, None]))).any())


class _Search:
    def __init__(self, network: Network, most_nodes: int) -> None:
        self.network = network
        self.left = most_nodes
        self.last = network.count - 1
        by_resource: dict[str, list[Hold]] = {}
        for hold in network.holds:
            by_resource.setdefault(hold.resource, []).append(hold)
        groups = [_Group(holds, network.capacity.get(name, 1)) for name, holds in by_resource.items()]
        once = [g for g in groups if g.capacity == 1 and len(g.holds) > 1]
        self.single = _Group([h for g in once for h in g.holds], 1)
        self.several = [g for g in groups if 1 < g.capacity < len(g.holds)]
        self.loaded = [*(g for g in once if len(g.holds) > 2), *self.several]
        self.none = [g for g in groups if g.capacity < 1]
        self.best: list[int] | None = None

    def shortest(self, first: bool) -> Timing | None:
        if self.none:
            raise Impossible
        root = closure(self.network)
        low = int(root[0, self.last]) if first else self._floor(root)
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
            if first and self.best is not None:
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
        stack: list[_Child] = [(root, 0, 0, 0)]
        while stack:
            if budget <= 0 or self.left <= 0:
                return None
            budget -= 1
            self.left -= 1
            made = with_lag(*stack.pop())
            here = None if made is None else self._propagated(made, deadline)
            if here is None:
                continue
            children = self._children(here)
            if children is None:
                return True
            stack.extend(children)
        return False

    def _floor(self, root: Lags) -> int:
        """The shortest deadline that the propagation alone does not refute: no schedule can undercut it."""
        low = int(root[0, self.last])
        high = low + int(sum(h.length for h in self.network.holds)) + 1
        while low < high:
            middle = (low + high) // 2
            if self._propagated(root, deadline=middle) is None:
                low = middle + 1
            else:
                high = middle
        return low

    def _propagated(self, lags: Lags, deadline: int | None) -> Lags | None:
        """Every order that the lags and the deadline leave no choice about, taken; None where none is left."""
        here: Lags | None = lags if deadline is None else with_lag(lags, self.last, 0, -deadline)
        groups = [g for g in (self.single, *self.several) if g.holds]
        changed = True
        while here is not None and changed:
            changed = False
            for group in groups:
                forced = group.forced(here)
                if forced is None:
                    return None
                for a, b in forced:
                    one, other = group.holds[a], group.holds[b]
                    here = with_lag(here, one.last, other.first, one.length)
                    if here is None:
                        return None
                    changed = True
        if here is not None and any(g.overloaded(here, self.last) for g in self.loaded):
            return None
        return here

    def _children(self, here: Lags) -> list[_Child] | None:
        """What to explore next, best last, each to be made when its turn comes; None where the earliest schedule breaks nothing: it is the best so far."""
        starts = here[0]
        pair = self._tightest_pair(here, starts)
        overload = pair or self._overload(starts)
        if overload is None:
            self.best = [int(s) for s in starts]
            return None
        children: list[tuple[int, int, int, _Child]] = []
        for one, other in itertools.permutations(overload, 2):
            i, j, lag = one.last, other.first, one.length
            if here[j, i] + lag > 0:
                continue
            earliest = np.maximum(starts, starts[i] + lag + here[j])  # with_lag's first row, without the rest of it
            children.append((int(earliest[self.last]), int(earliest.sum()), len(children), (here, i, j, lag)))
        return [child for *_, child in sorted(children, key=lambda c: c[:3], reverse=True)]

    def _tightest_pair(self, here: Lags, starts: Any) -> tuple[Hold, Hold] | None:
        """Of the pairs that overlap on a single thing, the one that the deadlines leave the least room."""
        group = self.single
        if not group.holds:
            return None
        begin, end = starts[group.first], starts[group.last] + group.length
        overlap = (begin[:, None] < end[None, :]) & (begin[None, :] < end[:, None])
        overlap &= (end > begin)[:, None] & (end > begin)[None, :]
        overlap &= np.triu(group.same)
        if not overlap.any():
            return None
        room = -(here[group.first[None, :], group.last[:, None]] + group.length[:, None])
        both = np.where(overlap, np.minimum(room, room.T), np.iinfo(np.int64).max)
        a, b = np.unravel_index(int(both.argmin()), both.shape)
        return group.holds[int(a)], group.holds[int(b)]

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
