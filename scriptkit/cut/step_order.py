"""Which step must come before which: all that a recipe says of its order. What it leaves open, a cut may show in any order."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.cut.naming import Pair
from scriptkit.recipe.dish import Step


def predecessors(pairs: Sequence[Pair]) -> list[frozenset[int]]:
    """For each step the numbers, from 0 in the order of ``pairs``, of those that it must come after: of its own dish the cook
    step before it, or those that ``after:`` names; the prep of what it handles, and prep of the same before it; and all that
    those must come after."""
    known: dict[int, frozenset[int]] = {}
    by_dish: dict[str, list[int]] = {}
    for n, (dish, _) in enumerate(pairs):
        by_dish.setdefault(dish.file + dish.name, []).append(n)
    for numbers in by_dish.values():
        own = sorted(numbers, key=lambda n: (pairs[n][1].stage != "prep", pairs[n][1].number))
        straight: dict[int, set[int]] = {n: set() for n in own}
        cook = [n for n in own if pairs[n][1].stage != "prep"]
        by_id = {pairs[n][1].id: n for n in own}
        for before, n in zip([None, *cook], cook, strict=False):
            named = {by_id[name] for name in pairs[n][1].after if name in by_id and by_id[name] != n}
            straight[n] |= named or ({before} if before is not None and not pairs[n][1].after else set())
        for n in own:
            step = pairs[n][1]
            if step.stage == "prep":
                straight[n] |= {by_id[name] for name in step.after if name in by_id and by_id[name] != n}
                used = _handled(step)
                users = [m for m in own if m != n and used & _handled(pairs[m][1])]
                for m in users:
                    if pairs[m][1].stage != "prep" or pairs[m][1].number > step.number:
                        straight[m].add(n)
        known |= _closed(straight)
    return [known[n] for n in range(len(pairs))]


def _handled(step: Step) -> set[str]:
    return {i.key for i in step.uses} | {a.ingredient.key for a in step.additions}


def _closed(straight: dict[int, set[int]]) -> dict[int, frozenset[int]]:
    """With what comes before those; steps in a circle wait for nothing of it."""
    found: dict[int, frozenset[int]] = {}

    def of(n: int, way: frozenset[int]) -> frozenset[int]:
        if n in found:
            return found[n]
        some = frozenset().union(*({m} | of(m, way | {n}) for m in straight[n] if m not in way)) - {n}
        if not way:
            found[n] = some
        return some

    for n in straight:
        of(n, frozenset())
    return found
