"""Which step must come before which, by all that a recipe says of it. What it leaves open, a cut may show in any order."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from scriptkit.cut.step_names import Pair
from scriptkit.recipe.dish import Step

Before = Sequence[frozenset[int]]
"""For each step, numbered from 0 in the order of the plan, those that it must come after."""


def predecessors(pairs: Sequence[Pair]) -> Before:
    """For each step those that it must come after: of its own dish the cook step before it, or those that ``after:`` names; the
    prep of what it handles, and prep of the same before it; and all that those must come after. In doubt there is none."""
    known: dict[int, frozenset[int]] = {}
    for numbers in of_each_dish(pairs):
        own = sorted(numbers, key=lambda n: (pairs[n][1].stage != "prep", pairs[n][1].number))
        by_id = {pairs[n][1].id: n for n in own}
        straight = {n: {by_id[name] for name in pairs[n][1].after if by_id.get(name, n) != n} for n in own}
        cook = [n for n in own if pairs[n][1].stage != "prep"]
        for before, n in itertools.pairwise(cook):
            if not pairs[n][1].after:
                straight[n].add(before)
        for n in own:
            if pairs[n][1].stage != "prep":
                continue
            for m in own:
                later = pairs[m][1].stage != "prep" or pairs[m][1].number > pairs[n][1].number
                if m != n and later and _handled(pairs[n][1]) & _handled(pairs[m][1]):
                    straight[m].add(n)
        known |= _closed(straight)
    return [known[n] for n in range(len(pairs))]


def of_each_dish(pairs: Sequence[Pair]) -> list[list[int]]:
    """The numbers of each dish's steps, in the order of the plan."""
    found: dict[tuple[str, str], list[int]] = {}
    for n, (dish, _) in enumerate(pairs):
        found.setdefault((dish.file, dish.name), []).append(n)
    return list(found.values())


def _handled(step: Step) -> set[str]:
    return {i.key for i in step.uses} | {a.ingredient.key for a in step.additions}


def _closed(straight: Mapping[int, set[int]]) -> dict[int, frozenset[int]]:
    """With what comes before those; steps in a circle wait for nothing of it."""
    found: dict[int, frozenset[int]] = {}
    for n in straight:
        seen: set[int] = set()
        open_ = list(straight[n])
        while open_:
            if (m := open_.pop()) not in seen:
                seen.add(m)
                open_ += straight[m]
        found[n] = frozenset(seen)
    circle = {n for n, before in found.items() if n in before}
    return {n: before - circle if n in circle else before for n, before in found.items()}
