"""A figure that stands beside its own food and fits it needs no second owner: *the beans, four hundred and eighty grams, and the tomatoes*."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence

from scriptkit.cut.claims.amount_owners import OwnedAmount
from scriptkit.cut.claims.claim import Near
from scriptkit.cut.claims.due_amounts import due_amounts, off_by
from scriptkit.cut.claims.name_mentions import NameMention, Owner, TalkWord
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.figures import Figure
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Dish

_UP_TO_IT = LazyPattern(
    r"\s*(?:,|(?:go|goes|went|going) in,?|(?:,\s*)?(?:that is|that's|it is|it's))?\s*", re.IGNORECASE
)
_AND_ON = LazyPattern(r"\s*(?:[,.;]|of (?:them|it|those|that)\b|$)", re.IGNORECASE)
_OF_IT = LazyPattern(r"\s*of (?:the )?", re.IGNORECASE)
_SURE = 0.95
_BESIDE_CHARS = 120
"""Further off no name is asked: what may stand between is a few words."""


def of_its_own_food(
    owned: OwnedAmount,
    figure: Figure,
    talk: Talk,
    near: Near,
    dishes: Sequence[Dish],
    words: Sequence[TalkWord],
    mentions: Sequence[NameMention],
) -> OwnedAmount:
    """The figure as of the food that stands beside it, where it fits that one exactly and the likeliest owner not; else as it is."""
    moment = talk.ms_at(figure.start)

    def fits(owner: Owner) -> bool:
        dish = dishes[owner.dish]
        due = due_amounts([(dish, dish.ingredients[owner.ingredient])], near, moment)
        return any(off_by(figure, d.addition, vague=False) == 0 for d in due)

    if not figure.unit or not owned.owners or fits(owned.owners[0][0]):
        return owned
    first = bisect_left(mentions, figure.start - _BESIDE_CHARS, key=lambda m: words[m.first].start)
    for n in range(first, len(mentions)):
        mention = mentions[n]
        if words[mention.first].start > figure.end + _BESIDE_CHARS:
            break
        starts, ends = words[mention.first].start, words[mention.last].end
        before = ends <= figure.start and _UP_TO_IT.fullmatch(talk.text[ends : figure.start])
        after = starts >= figure.end and _OF_IT.fullmatch(talk.text[figure.end : starts])
        if (before and _AND_ON.match(talk.text, figure.end)) or after:
            own = [o for o in mention.owners if fits(o)]
            if own:
                return owned._replace(owners=tuple((o, _SURE / len(own)) for o in own), nobody=0.0, named=True)
    return owned
