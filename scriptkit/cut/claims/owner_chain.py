"""What each of a row of figures is most likely of, all of them judged together: a chain, by forward and backward sums."""

from __future__ import annotations

import math
from collections.abc import Sequence


def shares(nodes: Sequence[Sequence[float]], steps: Sequence[Sequence[Sequence[float]]]) -> list[list[float]]:
    """How likely each choice of each place is, 0 to 1. ``nodes[n][c]`` is the weight of choice ``c`` at place ``n`` and
    ``steps[n][b][c]`` that of going from choice ``b`` of place ``n`` to ``c`` of the next, both as logarithms."""
    if not nodes:
        return []
    forward = [list(nodes[0])]
    for n in range(1, len(nodes)):
        before = forward[-1]
        forward.append(
            [
                own + log_sum([before[b] + steps[n - 1][b][c] for b in range(len(before))])
                for c, own in enumerate(nodes[n])
            ]
        )
    backward = [[0.0] * len(nodes[-1])]
    for n in range(len(nodes) - 2, -1, -1):
        after = backward[0]
        row = [
            log_sum([steps[n][b][c] + nodes[n + 1][c] + after[c] for c in range(len(after))])
            for b in range(len(nodes[n]))
        ]
        backward.insert(0, row)
    whole = log_sum(forward[-1])
    return [
        [math.exp(min(0.0, f + b - whole)) for f, b in zip(ahead, back, strict=True)]
        for ahead, back in zip(forward, backward, strict=True)
    ]


def log_sum(values: Sequence[float]) -> float:
    """The logarithm of the sum of what these are logarithms of."""
    top = max(values)
    return top + math.log(sum(math.exp(v - top) for v in values))
