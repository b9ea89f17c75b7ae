"""Of equally short schedules the one a cook would choose: food is cooked as late as it can be, and prep is done a little earlier."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Sequence

from scriptkit.shoot.day.scheduling_model import Hold, Network
from scriptkit.shoot.day.sequencing import closure, with_lag

EARLIER = 30
"""Half minutes by which prep is ready before it must be, so that nothing waits for it, and no cut apple for its dish (common practice, no
source)."""


def settled(network: Network, starts: Sequence[int], early: Collection[int]) -> tuple[int, ...]:
    """Starts of the same length that keep the same order on every resource: all as late as the serving allows, the ``early`` activities
    by EARLIER before that, or as soon as they can be. Raises ValueError or Impossible where the given starts break a lag."""
    order = tuple(_order(network, starts))
    fixed = Network(count=network.count, lags=(*network.lags, *order), holds=())
    lags = with_lag(closure(fixed), network.count - 1, 0, -starts[-1])
    if lags is None:  # the starts keep every lag, so their own order contradicts none
        raise ValueError("the starts do not keep the network's lags")
    late = [0 if n == 0 else -int(lags[n, 0]) for n in range(network.count)]
    found = list(late)
    for n in early:
        # as soon as the late ones, which stay where they are, allow it
        soonest = max(int(lags[0, n]), *(late[m] + int(lags[m, n]) for m in range(network.count) if m not in early))
        found[n] = max(soonest, late[n] - EARLIER)
    return tuple(found)


def _order(network: Network, starts: Sequence[int]) -> list[tuple[int, int, int]]:
    """Lags that keep on each unit of each resource the order of these starts."""
    found: list[tuple[int, int, int]] = []
    by_resource: dict[str, list[Hold]] = {}
    for hold in network.holds:
        if starts[hold.last] + hold.length > starts[hold.first]:
            by_resource.setdefault(hold.resource, []).append(hold)
    for name, holds in by_resource.items():
        units: list[list[Hold]] = [[] for _ in range(network.capacity.get(name, 1))]
        for hold in sorted(holds, key=lambda h: starts[h.first]):
            free = next(u for u in units if not u or starts[u[-1].last] + u[-1].length <= starts[hold.first])
            free.append(hold)
        for unit in units:
            found += [(a.last, b.first, a.length) for a, b in itertools.pairwise(unit)]
    return found
