"""Controlled rounding: a table whose rows and columns add up, printed so that they still do, every figure within a step.

Rounding each figure by itself breaks sums: 1.4 + 1.4 = 2.8 prints as 1 + 1 = 3. A table of parts (fibre, polyols, net
carbs) and their total adds up in two directions, along each row and down each column. Such a table can always be rounded
so that each figure becomes one of its two neighbours and all sums hold (M. Bacharach, “Matrix rounding problems”,
Management Science 12, 1966; L. H. Cox and L. R. Ernst, “Controlled rounding”, INFOR 20, 1982: both cited from memory; the
argument is that a flow through a network with whole bounds can be made whole). Here, in three moves:

1. The whole is rounded by itself, so that it reads the same with its rows and without them.
2. Each row is rounded by itself in the same way.
3. Where a column of rows misses the whole, single steps are moved along the cheapest chain of figures that mends it.

Figures come in millionths of a step, as whole numbers, so that no sum here is off by a float's last digit.
"""

from __future__ import annotations

import heapq
import itertools
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MILLION = 1_000_000
"""Millionths in a step."""

_PASSES = ((MILLION - 1, False), (MILLION, False), (MILLION, True))
"""How far a figure may be from its true value, and whether the whole may be moved too: under a step; where exact halves leave
no other way, a step; and the whole only where its rows could not follow it, which takes a figure that is not known."""

_LACKING = "rows that lack a figure"


@dataclass(frozen=True, slots=True)
class SumLine:
    """True figures of a row or of the whole. ``parts`` ends with net carbs. ``adds`` says that the parts make the total;
    a line that lacks a figure does not, and holds what is known of it."""

    parts: tuple[int, ...]
    total: int
    adds: bool


@dataclass(frozen=True, slots=True)
class Rounded:
    """The same in whole steps."""

    parts: tuple[int, ...]
    total: int


def half_up(millionths: int) -> int:
    """The nearest whole step; a half goes up, as people round by hand."""
    return (millionths + MILLION // 2) // MILLION


def alone(line: SumLine) -> Rounded:
    """One line by itself: of all neighbours of its figures that add up, those with the least sum of squared errors.

    Where the nearest add up, it is those. Else the figure that is nearest to a half gives: with two parts none is off by
    more than two thirds of a step. Where it is all one, fibre gives and net carbs stay, which a cook counts by.
    """
    true = (*line.parts, line.total)
    choices = []
    for printed in itertools.product(*(sorted({t // MILLION, -(-t // MILLION)}) for t in true)):
        if sum(printed[:-1]) == printed[-1] or not line.adds:
            choices.append(printed)

    def cost(printed: tuple[int, ...]) -> tuple[int, ...]:
        *parts, total = (p * MILLION - t for p, t in zip(printed, true, strict=True))
        rest = total - sum(parts)  # of what a line that lacks a figure does not tell; 0 where the line adds
        squares = sum(e * e for e in (*parts, total))
        return (_strain([*parts, rest]), squares, abs(parts[-1]), abs(total), -sum(printed))

    *parts, total = min(choices, key=cost)
    return Rounded(tuple(parts), total)


def _strain(errors: Sequence[int]) -> int:
    """In how many sums of some of the figures the errors heap up to a step: rows could then not follow the whole."""
    sums = (sum(some) for n in range(1, len(errors) + 1) for some in itertools.combinations(errors, n))
    return sum(abs(s) >= MILLION for s in sums)


def together(rows: Sequence[SumLine], whole: SumLine) -> tuple[list[Rounded], Rounded]:
    """Rows and their whole; ``whole`` must be the sum of the rows.

    Columns add up; parts make the total in every line that ``adds``. Each figure lies within a step of its true value, and
    next to it except where halves meet exactly. A whole that adds is as :func:`alone` rounds it; so is one that lacks a
    figure, unless no rows could follow it.
    """
    of_rows = [
        _arcs("total", f"row {number}" if row.adds else _LACKING, row, alone(row)) for number, row in enumerate(rows)
    ]
    goal = alone(whole)
    total = _Arc("whole", "total", goal.total, whole.total, whole=True)
    parts = [
        _Arc(f"part {j}", "whole", printed, true, whole=True)
        for j, (printed, true) in enumerate(zip(goal.parts, whole.parts, strict=True))
    ]
    # The total of rows that lack a figure is not the sum of their parts; this is the difference.
    rest = _Arc(_LACKING, "whole", goal.total - sum(goal.parts), whole.total - sum(whole.parts), whole=True)
    _balance([*itertools.chain.from_iterable(of_rows), total, *parts, rest])
    return [_printed(into, out) for into, *out in of_rows], _printed(total, parts)


@dataclass(slots=True)
class _Arc:
    """A printed figure as a flow between two sums that it is part of: the total, a row, a part's column, the whole."""

    tail: str
    head: str
    printed: int
    true: int
    whole: bool = False

    def can_be(self, printed: int, within: int) -> bool:
        """A zero stays a zero, and nothing changes its sign."""
        if self.true == 0:
            return printed == 0
        return printed * self.true >= 0 and abs(printed * MILLION - self.true) <= within

    def cost(self, printed: int) -> int:
        """Of being printed so: each move counts, and more, up to double, where it leaves the figure far off."""
        return MILLION + abs(printed * MILLION - self.true)


def _arcs(tail: str, node: str, line: SumLine, start: Rounded) -> list[_Arc]:
    """The line's total flows in, its parts flow out."""
    out = [_Arc(node, f"part {j}", start.parts[j], part) for j, part in enumerate(line.parts)]
    return [_Arc(tail, node, start.total, line.total), *out]


def _printed(total: _Arc, parts: Sequence[_Arc]) -> Rounded:
    return Rounded(tuple(arc.printed for arc in parts), total.printed)


def _balance(arcs: Sequence[_Arc]) -> None:
    """Move single steps from sums that have too much to sums that have too little, until none has."""
    excess: dict[str, int] = defaultdict(int)
    for arc in arcs:
        excess[arc.tail] -= arc.printed
        excess[arc.head] += arc.printed
    for within, whole_too in _PASSES:
        touching: dict[str, list[_Arc]] = defaultdict(list)
        for arc in arcs:
            if whole_too or not arc.whole:
                touching[arc.tail].append(arc)
                touching[arc.head].append(arc)
        for node in sorted(n for n, over in excess.items() if over > 0):
            while excess[node] > 0 and (chain := _cheapest_chain(touching, node, excess, within)):
                for arc, change in chain:
                    arc.printed += change
                    excess[arc.tail] -= change
                    excess[arc.head] += change


def _cheapest_chain(
    touching: Mapping[str, Sequence[_Arc]], start: str, excess: Mapping[str, int], within: int
) -> list[tuple[_Arc, int]]:
    """The moves that carry one step from ``start`` to a sum that lacks one; empty where there is no way."""
    cost = {start: 0}
    came: dict[str, tuple[str, _Arc, int]] = {}
    queue = [(0, start)]
    while queue:
        so_far, node = heapq.heappop(queue)
        if so_far > cost[node]:
            continue
        if excess[node] < 0:
            chain = []
            while node != start:
                node, arc, change = came[node]
                chain.append((arc, change))
            return chain
        for arc in touching[node]:
            onward, change = (arc.head, 1) if arc.tail == node else (arc.tail, -1)
            printed = arc.printed + change
            if arc.can_be(printed, within) and (there := so_far + arc.cost(printed)) < cost.get(onward, there + 1):
                cost[onward] = there
                came[onward] = (node, arc, change)
                heapq.heappush(queue, (there, onward))
    return []
