"""Shares of an ingredient that are spoken: *half of the onion now*, *two thirds of this*, held against what goes in at its steps."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from scriptkit.cut.claims.claim import AMOUNT, Claim, Near, claimed
from scriptkit.cut.claims.name_mentions import NameMention, TalkWord
from scriptkit.cut.placement import Placement
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.figures import Figure
from scriptkit.measure.numbers import format_number
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Addition, Dish, Ingredient

_OF_IT = LazyPattern(r"\s*(?:of\s+)?(?P<word>the|your|my|our|it|this|that|these|those|them)\b", re.IGNORECASE)
"""After a share: it is of what is there."""
_ITSELF = frozenset({"it", "this", "that", "these", "those", "them"})
_NAMED_WITHIN, _NAMED_BEFORE = 3, 14
"""Words after *half the*, and before *half of it*, in which the ingredient is named."""
_ROOM, _ABOUT_ROOM = 0.01, 0.06
"""How far a share may be off, and one that is said as about (common practice, no source)."""
_AT_ITS_STEP_MS = 60_000


def part_claims(
    talk: Talk,
    figures: Sequence[Figure],
    near: Near,
    dishes: Sequence[Dish],
    words: Sequence[TalkWord],
    mentions: Sequence[NameMention],
) -> Iterator[Claim]:
    """Right where so much of it goes in at a step; to be listened to beside a step at which another part of it goes in. Where all of it goes
    in at once, it is said of how it is done."""
    for figure in figures:
        if figure.unit or figure.is_range or not 0 < figure.low < 1:
            continue
        meant = _meant(talk, figure, dishes, words, mentions)
        moment = talk.ms_at(figure.start)
        parts = [(p, a) for p in near.by_distance(moment) for a in p.step.additions if _is_a_part(p, a, meant)]
        if parts:
            right = [(p, a) for p, a in parts if _is_as_much(figure, a)]
            at, addition = (right or parts)[0]
            if right or (at.time_ms is not None and abs(at.time_ms - moment) <= _AT_ITS_STEP_MS):
                yield claimed(
                    AMOUNT, talk, figure, addition.ingredient.name, True if right else None,
                    recipe=f"{format_number(addition.share or 0)} of it goes in at step {at.step.number} ({at.step.id})",
                    dish=at.dish, step=at.step,
                )  # fmt: skip


def _meant(
    talk: Talk, figure: Figure, dishes: Sequence[Dish], words: Sequence[TalkWord], mentions: Sequence[NameMention]
) -> list[tuple[Dish, Ingredient]]:
    found = _OF_IT.match(talk.text, figure.end)
    if found is None:
        return []
    at = next((n for n, w in enumerate(words) if w.start >= found.end()), len(words))
    named = next((m for m in mentions if at <= m.first < at + _NAMED_WITHIN), None)
    if named is None and found["word"].casefold() in _ITSELF:
        first = next((n for n, w in enumerate(words) if w.start >= figure.start), len(words))
        named = next((m for m in reversed(mentions) if first - _NAMED_BEFORE <= m.last < first), None)
    return [(dishes[o.dish], dishes[o.dish].ingredients[o.ingredient]) for o in named.owners] if named else []


def _is_a_part(p: Placement, addition: Addition, meant: Sequence[tuple[Dish, Ingredient]]) -> bool:
    own = any(p.dish is dish and addition.ingredient.key == ingredient.key for dish, ingredient in meant)
    return own and addition.share is not None and addition.share < 1


def _is_as_much(figure: Figure, addition: Addition) -> bool:
    room = _ABOUT_ROOM if figure.about else _ROOM
    return abs(float(figure.low) - float(addition.share or 0)) <= room
