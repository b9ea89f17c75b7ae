"""What is known of the names of a talk beside their words: figures near them, their steps, and whether these have been."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import Protocol

from scriptkit.cut.claims.name_mentions import NameMention
from scriptkit.cut.coverage.amounts_beside import amounts_beside
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.english.effect_features import Around
from scriptkit.recipe.dish import Addition, Dish, Step

_EARLY_MS = 2_000
"""What is named so shortly before its step is named at it (common practice, no source)."""


class NamedTalk(Protocol):
    """A talk with its names, and the additions with the moments of the cut at which their steps stand."""

    talk: Talk
    dishes: tuple[Dish, ...]
    mentions: list[NameMention]
    spans: list[tuple[int, int]]
    additions: list[tuple[Dish, Step, Addition]]
    placed: list[int | None]
    of: dict[tuple[str, str], list[int]]


def around(scene: NamedTalk) -> Around:
    """Of each name what stands around it; of one that several dishes have no step."""
    starts = sorted(
        {
            (ms, dish.file, step.number)
            for (dish, step, _), ms in zip(scene.additions, scene.placed, strict=True)
            if ms is not None
        }
    )
    step_of, when = {}, {}
    for name, mention in enumerate(scene.mentions):
        dishes = {o.dish for o in mention.owners}
        own = [
            n
            for o in mention.owners
            for n in scene.of.get((scene.dishes[o.dish].file, scene.dishes[o.dish].ingredients[o.ingredient].key), ())
        ]
        if len(dishes) == 1 and own:
            step_of[name] = next(iter(dishes)), min(scene.additions[n][1].number for n in own)
        timed = [ms for n in own if (ms := scene.placed[n]) is not None]
        if timed:
            when[name] = _when(scene.talk.ms_at(scene.spans[name][0]), timed, [ms for ms, _, _ in starts])
    return Around(amounts_beside(scene.talk.text, scene.mentions, scene.spans, scene.dishes), step_of, when)


def _when(ms: int, own: Sequence[int], starts: Sequence[int]) -> str:
    """Whether the moment is at one of its own steps, else before the first or after."""
    if ms < min(own) - _EARLY_MS:
        return "before"
    running = starts[max(0, bisect_right(starts, ms) - 1)]
    return "own" if running in own or ms <= max(own) else "after"
